package classroom

import (
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/page"
)

// showItems shows what a class did at each part of an assignment: of the one
// that the address asks for, or the latest that is due.
func (h *marks) showItems(w http.ResponseWriter, r *http.Request) {
	assigned, chosen, err := h.choose(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.Items{ClassFrame: h.classFrame(r, "Question analysis", "Question analysis"), Least: class.LeastForDiscrimination}
	if len(assigned) == 0 {
		h.SendPage(w, r, http.StatusOK, "class-items", view)
		return
	}
	if chosen < 0 {
		chosen = 0
		for i, a := range assigned { // in the order in which they are due
			if !a.Withdrawn && a.TermsFor(nil).PastDue(h.Now()) {
				chosen = i
			}
		}
	}
	a := assigned[chosen]
	items, err := h.gradebook().Items(r.Context(), a)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view.Choices = choicesOf("", assigned, chosen)
	view.Heading, view.Students, view.Began = a.Title, items.Students, items.Began
	for i := range items.Exercises {
		e := &items.Exercises[i]
		shown := page.ItemsExercise{Title: e.Title, Room: page.RoomPath(&a, "", e.Cell.ID, false)}
		for _, it := range items.Items {
			if it.Exercise == e.Cell.ID {
				shown.Parts = append(shown.Parts, itemsPart(e, &it, items))
			}
		}
		view.Exercises = append(view.Exercises, shown)
	}
	h.SendPage(w, r, http.StatusOK, "class-items", view)
}

func itemsPart(e *gradebook.Exercise, it *class.Item, all *gradebook.Items) page.ItemsPart {
	part := page.ItemsPart{
		Label: itemsLabel(e, it.Part), Answered: it.Answered, FirstRight: it.FirstRight, FirstLow: 100 * it.Low, FirstHigh: 100 * it.High,
		Mean: 100 * it.Share, MeanWords: whole(it.Share), Tries: strconv.FormatFloat(it.Tries, 'f', -1, 64), Hinted: it.Hinted,
	}
	if it.Answered > 0 {
		share := float64(it.FirstRight) / float64(it.Answered)
		part.First = 100 * share
		part.FirstWords = fmt.Sprintf("%d of %d: %s", it.FirstRight, it.Answered, whole(share))
		part.FirstRange = fmt.Sprintf("%.0f to %s", 100*it.Low, whole(it.High))
	}
	switch {
	case it.Discriminates:
		part.WithRest = strings.Replace(strconv.FormatFloat(it.Discrimination, 'f', 2, 64), "-", "−", 1)
	case len(all.Items) < 2:
		part.WithoutRest = "only one part"
	case all.Tried < class.LeastForDiscrimination:
		part.WithoutRest = "too few"
	default:
		part.WithoutRest = "all alike"
	}
	for _, n := range it.Slips {
		part.Slips = append(part.Slips, itemsCount(slipWords(e.Asks(it.Part), n.Name), n.Count, it.Answered))
	}
	for _, n := range it.Last {
		part.Last = append(part.Last, itemsCount(marking.VerdictKind(n.Name).Word(), n.Count, it.Answered))
	}
	return part
}

// itemsLabel is what a part asks. Where students were asked different things, it
// is one of them, and says so.
func itemsLabel(e *gradebook.Exercise, part string) template.HTML {
	asks := e.Asks(part)
	if len(asks) == 0 {
		return partLabel(nil, part)
	}
	label := partLabel(asks[0], part)
	if n := len(e.Set.Structures); n > 1 && slices.ContainsFunc(asks, func(a *exercises.Part) bool { return a.Text != asks[0].Text }) {
		return template.HTML("Asked in "+strconv.Itoa(n)+" versions, one of which is: ") + label
	}
	return label
}

// slipWords returns slips in the words of whichever way of setting a part has more
// to say than their names.
func slipWords(asks []*exercises.Part, kept string) string {
	plain := (*exercises.Part)(nil).SlipWords(kept)
	for _, a := range asks {
		if words := a.SlipWords(kept); words != plain {
			return words
		}
	}
	return plain
}

func itemsCount(name string, count, of int) page.ItemsCount {
	return page.ItemsCount{Name: name, Count: count, Share: 100 * float64(count) / float64(of)}
}

// whole writes a share as a whole percentage, which is all that a class of some
// dozens can tell.
func whole(share float64) string { return strconv.FormatFloat(100*share, 'f', 0, 64) + "\u00a0%" }
