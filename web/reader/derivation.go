package reader

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"shaftbook/exercises/store"
	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/web/app/derivation"
	"shaftbook/web/app/ownpage"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// ownCell is the id of the derivation on a page of the learner's own.
const ownCell = "own"

// unnamed is the name of a derivation that has none of its own.
const unnamed = "Derivation"

func (h *Handlers) derivationRoutes() []request.Route {
	return []request.Route{
		{Pattern: "GET /derivation", Handle: h.derivations},
		{Pattern: "POST /derivation", Handle: h.postDerivation},
	}
}

// derivations sends the page that lists the starting points and the learner's own
// derivations. A server that keeps nothing sends a starting point itself.
func (h *Handlers) derivations(w http.ResponseWriter, r *http.Request) {
	if key := r.URL.Query().Get("start"); key != "" && h.own == nil {
		start, ok := ownpage.StartOf(key)
		if !ok {
			h.Fail(w, r, request.ErrNotFound)
			return
		}
		h.sendUnkept(w, r, start.Name, derivation.Input{Text: start.Text}, start.Text != "")
		return
	}
	view := page.DerivationList{
		Frame:    h.ownFrame("Check a derivation", "Check each step of a derivation as you write it."),
		Starts:   startLines(),
		Verdicts: page.VerdictLegend(),
		Most:     ownpage.MostPages,
	}
	if h.own != nil {
		view.Keeps = true
		there, deleted, err := h.own.List(r.Context(), learnerFrom(r))
		if err != nil {
			h.FailStore(w, r, err)
			return
		}
		view.All = len(there)
		view.Pages, view.Deleted = ownLines(ofKind(there, store.KindDerivation)), ownLines(ofKind(deleted, store.KindDerivation))
		for i := range view.Deleted {
			if view.Deleted[i].ID == r.URL.Query().Get("deleted") {
				view.Gone = &view.Deleted[i]
			}
		}
	}
	h.SendPage(w, r, http.StatusOK, "derivations", view)
}

func startLines() (lines []page.DerivationStart) {
	for _, s := range ownpage.Starts {
		lines = append(lines, page.DerivationStart{Key: s.Key, Name: s.Name, About: s.About})
	}
	return lines
}

// postDerivation makes a derivation of the learner's own from a starting point or
// from a text, such as that of a lesson. A server that keeps nothing judges the
// text and shows it.
func (h *Handlers) postDerivation(w http.ResponseWriter, r *http.Request) {
	sent, err := inputOf(r)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	if h.own == nil {
		h.sendUnkept(w, r, unnamed, sent, true)
		return
	}
	text := derivation.WithGaps(sent.Text, sent.Gaps)
	name := ownpage.NameOf(text, unnamed)
	if key := r.PostForm.Get("start"); key != "" {
		start, ok := ownpage.StartOf(key)
		if !ok {
			h.Fail(w, r, request.ErrNotFound)
			return
		}
		name, text = start.Name, start.Text
	} else if !r.PostForm.Has("text") {
		h.Fail(w, r, errNoDerivation)
		return
	}
	learner := h.namedLearner(w, r)
	if !h.Attempts.MaySave(learner) {
		h.Fail(w, r, errTooFast)
		return
	}
	p, err := h.own.New(r.Context(), learner, name, text, sent.Data)
	if err != nil {
		h.failOwn(w, r, err)
		return
	}
	http.Redirect(w, r, page.OwnPagePath(p.ID), http.StatusSeeOther)
}

// inputOf reads a derivation from a form.
func inputOf(r *http.Request) (derivation.Input, error) {
	if err := r.ParseForm(); err != nil {
		return derivation.Input{}, request.Unreadable(err)
	}
	sent := derivation.Input{Text: strings.ReplaceAll(r.PostForm.Get("text"), "\r\n", "\n"), Data: map[string]string{}}
	for field, values := range r.PostForm {
		if name, ok := strings.CutPrefix(field, "data-"); ok {
			sent.Data[name] = values[0]
		}
		if number, ok := strings.CutPrefix(field, "gap-"); ok {
			n, err := strconv.Atoi(number)
			if err != nil || n < 1 || n > derivation.LineLimit {
				continue
			}
			for len(sent.Gaps) < n {
				sent.Gaps = append(sent.Gaps, "")
			}
			sent.Gaps[n-1] = values[0]
		}
	}
	return sent, nil
}

// sendUnkept judges a derivation and shows it, where the server keeps none. posted
// is whether the text goes before what the browser has kept.
func (h *Handlers) sendUnkept(w http.ResponseWriter, r *http.Request, name string, sent derivation.Input, posted bool) {
	var seen *page.Judged
	err := turns.Do(r.Context(), turns.Judge, func(ctx context.Context) (err error) {
		seen, err = JudgeDerivation(ctx, ownCell, sent)
		return err
	})
	if errors.Is(err, derivation.ErrTooLong) {
		err = request.NewRefusal(http.StatusRequestEntityTooLarge, "too-long", "This derivation is too long", err.Error()+".")
	}
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	h.SendPage(w, r, http.StatusOK, "derivation", page.DerivationPage{
		Frame:      h.ownFrame("Check a derivation", "Check each step of a derivation as you write it."),
		Name:       name,
		Derivation: page.DerivationCell{ID: ownCell, Text: sent.Text, Own: true, Action: page.DerivationsPath, Seen: seen},
		Verdicts:   page.VerdictLegend(),
		Posted:     posted,
	})
}

// ownFrame is the frame of a page of one's own derivations.
func (h *Handlers) ownFrame(title, description string) page.Frame {
	f := h.Frame(title, description)
	f.Styles = []string{h.OwnStyle}
	return f
}

// JudgeDerivation returns what is to be said of the derivation in a cell.
func JudgeDerivation(ctx context.Context, cell string, s derivation.Input) (*page.Judged, error) {
	o, err := derivation.Judge(ctx, s)
	if err != nil {
		return nil, err
	}
	return page.Judge(ctx, cell, o), nil
}

// numbersOf returns the numbers that the cells of a lesson have for names, as
// text: those that are written down, and those that a slider sets.
func numbersOf(cells []kernel.Cell, working *kernel.Working) map[string]string {
	numbers := map[string]string{}
	for _, c := range cells {
		for _, r := range working.Results(c.ID) {
			if r.Failed() {
				continue
			}
			if r.Kind == kernel.KindVary {
				numbers[r.Name] = r.Text
			}
			d, ok := r.Node.(*notation.Define)
			if !ok {
				continue
			}
			switch d.Expr.(type) {
			case *notation.Quantity, *notation.Number:
				numbers[d.Name.Ident] = d.Expr.Span().Content()
			}
		}
	}
	return numbers
}
