package reader

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/web/app/derivation"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// sheetCell is the id of the derivation on the page for one's own.
const sheetCell = "own"

// examples are what a learner can begin with. The second holds a slip.
var examples = []page.DerivationExample{
	{Name: "taper", Title: "a tapered quill, with the last line left to you", Text: `# twist of a solid shaft that tapers from d_0 to d_1
given T: torque > 0, G: stress > 0, L: length > 0, d_1 > d_0 > 0 mm
k = (d_1 − d_0)/L
θ = integral of T/(G·π/32·(d_0 + k·x)^4) for x from 0 m to L
  = 32·T/(π·G) · (integral of 1/(d_0 + k·x)^4 for x from 0 m to L)   because the constants come out
  = 32·T/(π·G) · (1/d_0^3 − 1/d_1^3)/(3·k)                           because ∫u⁻⁴du = −u⁻³/3 and du = k·dx
  = ?                                                                because k = (d_1 − d_0)/L
`},
	{Name: "slip", Title: "a lay shaft in two pieces, with one wrong line to find", Text: `# the angle in the middle of a shaft held at both ends, from its two pieces
given T: torque > 0, G: stress > 0, a: length > 0, b: length > 0, J_a: m^4, J_b: m^4, J_a > 0 m^4, J_b > 0 m^4
k_a = G·J_a/a
k_b = G·J_b/b
θ = T/(k_a + k_b)
  = T/(G·J_a/a + G·J_b/b)                  because each piece has the stiffness G·J over its length
  = T/G · 1/(J_a/a + J_b/b)
  = T·a·b/(G·(J_a·a + J_b·b))              because of the common denominator
  = T/(G·(J_a/b + J_b/a))
`},
}

func (h *Handlers) derivationRoutes() []request.Route {
	return []request.Route{
		{Pattern: "GET /derivation", Handle: h.derivation},
		{Pattern: "POST /derivation", Handle: h.postDerivation},
	}
}

// derivation sends an empty sheet, or one that holds an example.
func (h *Handlers) derivation(w http.ResponseWriter, r *http.Request) {
	name := r.URL.Query().Get("example")
	if name == "" {
		h.sendDerivation(w, r, derivation.Input{}, false)
		return
	}
	for _, e := range examples {
		if e.Name == name {
			h.sendDerivation(w, r, derivation.Input{Text: e.Text}, true)
			return
		}
	}
	h.Fail(w, r, request.ErrNotFound)
}

// postDerivation judges what a form sends, so that everything but the judging
// while one types works without a script.
func (h *Handlers) postDerivation(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		h.Fail(w, r, request.Unreadable(err))
		return
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
	h.sendDerivation(w, r, sent, true)
}

func (h *Handlers) sendDerivation(w http.ResponseWriter, r *http.Request, sent derivation.Input, posted bool) {
	var seen *page.Judged
	err := turns.Do(r.Context(), turns.Judge, func(ctx context.Context) (err error) {
		seen, err = JudgeDerivation(ctx, sheetCell, sent)
		return err
	})
	if errors.Is(err, derivation.ErrTooLong) {
		err = request.NewRefusal(http.StatusRequestEntityTooLarge, "too-long", "This derivation is too long", err.Error()+".")
	}
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	body, err := page.Render("derivation", page.DerivationPage{
		Frame:      h.Frame("Check a derivation", "Check each step of a derivation as you write it."),
		Derivation: page.DerivationCell{ID: sheetCell, Text: sent.Text, Own: true, Seen: seen},
		Examples:   examples,
		Posted:     posted,
	})
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Type", request.HTMLType)
	_, _ = w.Write(body) // a reader that has gone away is no fault of ours
}

// JudgeDerivation returns what is to be said of the derivation in a cell.
func JudgeDerivation(ctx context.Context, cell string, s derivation.Input) (*page.Judged, error) {
	o, err := derivation.Judge(ctx, s)
	if err != nil {
		return nil, err
	}
	return page.Judge(cell, o), nil
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
