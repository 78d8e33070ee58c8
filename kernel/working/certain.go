package working

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"

	"shaftbook/kernel/check"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// certainWork bounds what it may cost to find out how well one value is known,
// in the unit of program.Limits.Work. It counts work, so that every machine
// comes to the same answer.
const certainWork = 50_000_000

// A Certainty says how well a value is known.
type Certainty struct {
	// Certain: the exact value of the text lies from Low to High, in SI base
	// units, which are closer together than half a unit of the last digit shown,
	// and what is shown is the rounding of a value between them.
	Certain   bool
	Low, High float64
	// Reason says in a sentence without its full stop why a value that is not
	// certain is an estimate.
	Reason string
}

// A lazyCertainty is worked out when a page asks for it, and once.
type lazyCertainty struct {
	once sync.Once
	find func() Certainty
	is   Certainty
}

func (l *lazyCertainty) get() Certainty {
	l.once.Do(func() { l.is, l.find = l.find(), nil })
	return l.is
}

// Certainty reports how well the value of the statement is known. It is worked
// out when it is first asked for, which must be before the working is edited or
// evaluated again, by the goroutine that does these. ok is false for a
// statement without a number of its own: a bracket is guaranteed as it is.
func (r *Result) Certainty() (c Certainty, ok bool) {
	if r.certainty == nil || r.Failed() {
		return Certainty{}, false
	}
	return r.certainty.get(), true
}

// Estimated reports whether what is shown is an estimate, and why.
func (r *Result) Estimated() (reason string, is bool) {
	c, ok := r.Certainty()
	return c.Reason, ok && !c.Certain
}

// Mark is what is written before an estimate.
const Mark = "≈ "

// Shown returns the text of the value, with Mark before an estimate.
func (r *Result) Shown() string {
	if _, is := r.Estimated(); is {
		return Mark + r.Text
	}
	return r.Text
}

// Marked returns the rows of the table, with Mark before each estimate.
func (t *Table) Marked() [][]string {
	if t.certain == nil {
		return t.Rows
	}
	t.once.Do(func() { t.marked = t.mark(t.certain) })
	return t.marked
}

// mark asks for each cell of the table whether it is certain.
func (t *Table) mark(certain func(row, column int) bool) [][]string {
	marked := make([][]string, len(t.Rows))
	for i, row := range t.Rows {
		marked[i] = make([]string, len(row))
		for k, text := range row {
			if !certain(i, k) {
				text = Mark + text
			}
			marked[i][k] = text
		}
	}
	return marked
}

// An enclosure is the bracket of the exact value of a definition.
type enclosure struct {
	stamp int // of the item when it was found; 0 if it was not
	b     interval.Interval
	err   error
}

// stampOf returns when an item or something that it needs was last evaluated.
func (w *Working) stampOf(it *item) int {
	if it.stampedAt == w.clock && it.stamp > 0 {
		return it.stamp
	}
	it.stampedAt, it.stamp = w.clock, max(it.evaluatedAt, 1) // a cycle ends here
	latest := it.stamp
	for _, ident := range it.needed() {
		if d := w.definers[ident]; len(d) > 0 {
			latest = max(latest, w.stampOf(d[0]))
		}
	}
	it.stamp = latest
	return latest
}

// Enclosure implements program.Encloser: the bracket of the exact value of the
// text that defines a name, found when it is first asked for.
func (s scope) Enclosure(ident string) (interval.Interval, error) {
	d := s.w.definers[ident]
	if len(d) == 0 {
		return interval.Interval{}, errors.New("it is not defined")
	}
	it := d[0]
	stamp := s.w.stampOf(it)
	if it.enclosed.stamp != stamp {
		b, err := s.w.encloseItem(it)
		it.enclosed = enclosure{stamp, b, err}
	}
	return it.enclosed.b, it.enclosed.err
}

// compareEnclosure notes where the float64 of a name is the same as before, but
// not the bracket of its exact value, which others have used.
func (w *Working) compareEnclosure(it *item) {
	before := it.enclosed
	after, err := scope{w}.Enclosure(it.defines)
	if after != before.b || (err == nil) != (before.err == nil) {
		it.valueRev = w.clock
	}
}

func (w *Working) encloseItem(it *item) (interval.Interval, error) {
	switch n := it.node.(type) {
	case *notation.Define:
		return w.encloseExpr(n.Expr, scope{w})
	case *notation.Vary:
		if it.formula != nil {
			return w.encloseExpr(it.formula, scope{w})
		}
	}
	x, ok := it.object.(program.Scalar)
	if !ok {
		return interval.Interval{}, errors.New("it is not a number")
	}
	// A decimal in a unit was rounded up to three times: itself, the size of the
	// unit, and their product.
	slack := 3 * 0x1p-52 * abs(float64(x))
	if whole(float64(x)) {
		slack = 0
	}
	return interval.New(float64(x)-slack, float64(x)+slack)
}

// encloseExpr encloses the exact value of an expression, on a budget of its own.
func (w *Working) encloseExpr(x notation.Expr, names program.Scope) (interval.Interval, error) {
	run := program.NewRun(context.WithoutCancel(w.ctx), program.Limits{Work: certainWork}) // it is kept, so never cut off
	b, list := program.EvaluateBracket(run, x, nil, names)
	if d := list.FirstError(); d != nil {
		return b, errors.New(whyEstimate(d))
	}
	return b, nil
}

// whyEstimate words why a value could not be enclosed.
func whyEstimate(d *source.Diagnostic) string {
	switch d.Code {
	case program.CodeWorkLimit, program.CodeTermLimit, program.CodeMemoryLimit:
		return "to bound its error takes more work than is allowed"
	}
	return strings.TrimSuffix(d.Message, ".")
}

// certainty returns how well a number is known that is shown as text in u.
func (w *Working) certainty(x notation.Expr, names program.Scope, text string, u unit.Unit, r unit.Rounding) Certainty {
	b, err := w.encloseExpr(x, names)
	if err != nil {
		return Certainty{Reason: err.Error()}
	}
	if unit.Certain(b.Lo, b.Hi, text, u, r) {
		return Certainty{Certain: true, Low: b.Lo, High: b.Hi}
	}
	if unit.Contradicts(b.Lo, b.Hi, text, u, r) {
		return Certainty{Low: b.Lo, High: b.Hi, Reason: contradiction(b, u)}
	}
	return Certainty{Low: b.Lo, High: b.Hi, Reason: "its error is only known to be less than " + unit.Format(b.Hi-b.Lo, u, unit.Rounding{Figures: 2})}
}

// contradiction is the reason where the number shown lies outside the bounds of
// the exact value: the difference of two near float64 may do that, and else a
// fault in this program.
func contradiction(b interval.Interval, u unit.Unit) string {
	show := func(v float64) string { return unit.Format(v, u, unit.Rounding{Figures: 6}) }
	return fmt.Sprintf("it does not lie within the bounds of its exact value, %s and %s: either rounding has cost too many figures, or there is a fault in this program", show(b.Lo), show(b.Hi))
}

// setCertainty lets the result find out how well its number is known.
func (e *evaluation) setCertainty(x notation.Expr, t check.Type, d notation.Display) {
	v, w, text := e.r.Value, e.w, e.r.Text
	if v.IsBracket || v.IsTruth || text == "" {
		return
	}
	if d == (notation.Display{}) {
		if _, ok := literalText(x); ok {
			e.r.certainty = &lazyCertainty{find: func() Certainty { return w.asWritten(x) }}
			return
		}
	}
	u := w.unitOf(v.Number, t, d)
	e.r.certainty = &lazyCertainty{find: func() Certainty { return w.certainty(x, scope{w}, text, u, roundingOf(d)) }}
}

// asWritten returns the certainty of a literal that is shown as it was written.
func (w *Working) asWritten(x notation.Expr) Certainty {
	b, err := w.encloseExpr(x, scope{w})
	if err != nil {
		return Certainty{Reason: err.Error()}
	}
	return Certainty{Certain: true, Low: b.Lo, High: b.Hi}
}
