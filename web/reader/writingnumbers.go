package reader

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// A numbered is a learner whose numbers are shown.
type numbered struct{ id, name, path string }

// showNumbers sends the table of an exercise: the numbers of all learners, what is expected
// of them, and which slips cannot be told apart with them.
func (h *Handlers) showNumbers(w http.ResponseWriter, r *http.Request) {
	p, err := h.writtenPage(r)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	cell, ok := p.lesson.Cell(r.PathValue("cell"))
	if !ok || cell.Kind != lessons.Exercise {
		h.Fail(w, r, request.ErrNotFound)
		return
	}
	view := page.WritingNumbers{Slug: p.lesson.Slug, Heading: p.lesson.Title, Exercise: titleOf(h, cell)}
	view.Frame = h.writingFrame(view.Exercise)
	learners, err := h.numberedLearners(r, p.lesson.Slug, cell.ID, &view)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	if err := h.fillNumbers(r.Context(), &view, p.lesson, cell, learners); err != nil {
		h.Fail(w, r, err)
		return
	}
	h.SendPage(w, r, http.StatusOK, "writing-numbers", view)
}

// numberedLearners returns whose numbers are shown: students 1 to 30, or those of a class
// of the visitor's.
func (h *Handlers) numberedLearners(r *http.Request, slug, cell string, view *page.WritingNumbers) (list []numbered, err error) {
	here := writtenPath(slug) + "/numbers/" + cell
	chosen := r.URL.Query().Get("class")
	if h.Classes != nil {
		classes, mine, err := h.Classes.ClassesOf(r.Context(), request.VisitorFrom(r).Person.ID)
		if err != nil {
			return nil, err
		}
		for i, c := range classes {
			if mine[i].Role != class.Staff || mine[i].Left {
				continue
			}
			view.Classes = append(view.Classes, page.Linked{Title: c.FullName(), Path: here + "?" + url.Values{"class": {c.ID}}.Encode()})
			if c.ID != chosen {
				continue
			}
			view.Class = c.FullName()
			people, members, err := h.Classes.Members(r.Context(), c.ID)
			if err != nil {
				return nil, err
			}
			for i, person := range people {
				if members[i].Role == class.Student && !members[i].Left {
					list = append(list, numbered{id: person.ID, name: person.Name})
				}
			}
		}
		if view.Classes != nil {
			view.Classes = append([]page.Linked{{Title: "students 1 to 30", Path: here}}, view.Classes...)
		}
	}
	if view.Class != "" {
		return list, nil
	}
	if chosen != "" {
		return nil, request.ErrNotFound
	}
	for n := 1; n <= mostStudents; n++ {
		list = append(list, numbered{student(n), "Student " + strconv.Itoa(n), writtenPath(slug) + "?student=" + strconv.Itoa(n) + "#" + cell})
	}
	return list, nil
}

func (h *Handlers) fillNumbers(ctx context.Context, view *page.WritingNumbers, l *lessons.Lesson, cell lessons.Cell, learners []numbered) error {
	parts := map[string]int{} // of the view, by name and way
	for _, who := range learners {
		meets := false
		err := h.Attempts.With(ctx, attempt.Place{Learner: who.id, Lesson: l, Cell: cell}, func(ctx context.Context, v *exercises.Variant) error {
			for i, a := range v.Structure.Parts {
				key := v.Structure.Name + " " + a.Name
				at, ok := parts[key]
				if !ok {
					at = len(view.Parts)
					parts[key] = at
					view.Parts = append(view.Parts, numbersPart(v, a, i))
				}
				row, meeting, err := numbersRow(ctx, v, a)
				if err != nil {
					return err
				}
				row.Learner, row.Path = who.name, who.path
				meets = meets || meeting
				part := &view.Parts[at]
				part.Bounded = part.Bounded || row.Low != ""
				part.Rows = append(part.Rows, row)
			}
			return nil
		})
		var unset *attempt.Unset
		if errors.As(err, &unset) {
			view.Trouble = "The numbers cannot be drawn: " + unset.Err.Error() + "."
			return nil
		}
		if err != nil {
			return err
		}
		if meets {
			view.Collisions++
		}
	}
	slices.SortStableFunc(view.Parts, func(a, b page.NumbersPart) int { return strings.Compare(a.Name, b.Name) })
	return nil
}

func numbersPart(v *exercises.Variant, a *exercises.Part, i int) page.NumbersPart {
	part := page.NumbersPart{Name: "Part " + string(rune('a'+i)), Ask: page.Inline(a.Asks())}
	if v.Structure.Name != "" {
		part.Name = strings.ToUpper(v.Structure.Name[:1]) + v.Structure.Name[1:] + ": " + strings.ToLower(part.Name[:1]) + part.Name[1:]
	}
	for _, s := range a.Slips {
		part.Slips = append(part.Slips, a.SlipWords(s.Name))
	}
	return part
}

// numbersRow returns what one learner is asked in a part, and whether a slip meets another
// value.
func numbersRow(ctx context.Context, v *exercises.Variant, a *exercises.Part) (row page.NumbersRow, meets bool, err error) {
	for _, g := range v.Given {
		row.Given = append(row.Given, page.Given(g))
	}
	e, err := v.Expected(ctx, a.Name)
	if ctx.Err() != nil {
		return row, false, ctx.Err()
	}
	if err != nil {
		row.Trouble = err.Error()
		return row, false, nil
	}
	row.Answer, row.From, row.To = e.Value, e.From, e.To
	if e.Low != nil && e.High != nil {
		row.Low, row.High = e.Low.Value, e.High.Value
	}
	meetings, err := v.Meetings(a.Name)
	if err != nil {
		return row, false, err
	}
	for _, s := range a.Slips {
		cell := page.NumbersSlip{Meets: words.And(meetings[s.Name])}
		for _, wrong := range e.Slips {
			if wrong.Name == s.Name {
				cell.Values = strings.Join(wrong.Values, ", ")
			}
		}
		meets = meets || cell.Meets != ""
		row.Slips = append(row.Slips, cell)
	}
	return row, meets, nil
}
