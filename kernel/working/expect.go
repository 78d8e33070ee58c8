package working

import (
	"fmt"
	"math"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/unit"
)

// An extent is a value for comparing: a number is a bracket without width.
type extent struct{ low, high float64 }

func extentOf(v program.Value) extent {
	if v.IsBracket {
		return extent{v.Bracket.Lo, v.Bracket.Hi}
	}
	return extent{v.Number, v.Number}
}

// expect judges a plausibility check. A check of brackets holds if it holds
// for every value in them.
func (e *evaluation) expect(n *notation.Expect) {
	e.like = e.it.info.Type
	switch {
	case n.Low != nil:
		e.expectInside(n.X, n.Low, n.High)
	case n.Bracket != nil:
		e.expectWithin(n)
	case n.Approx != nil:
		e.expectApprox(n)
	default:
		e.expectCond(n.Cond)
	}
}

func (e *evaluation) extent(x notation.Expr) (extent, bool) {
	v, ok := e.value(x)
	return extentOf(v), ok
}

func (e *evaluation) expectInside(x, low, high notation.Expr) {
	v, ok1 := e.extent(x)
	a, ok2 := e.extent(low)
	b, ok3 := e.extent(high)
	if !ok1 || !ok2 || !ok3 {
		return
	}
	// The two ends may be given in either order: which one is the smaller can
	// be the very thing a reader tries out.
	if a.high > b.low && a.low >= b.high {
		a, b = b, a
	}
	e.judgeInside(v, extent{a.high, b.low})
}

func (e *evaluation) expectWithin(n *notation.Expect) {
	v, ok1 := e.extent(n.X)
	b, ok2 := e.extent(n.Bracket)
	if ok1 && ok2 {
		e.judgeInside(v, b)
	}
}

// nextTo is the share of a bound by which a value may lie beyond it and still
// count as on it: what is left of two routes to one value after rounding.
const nextTo = 1e-12

// judgeInside decides whether v lies in b and how far from the nearer end, as a
// share of b's width.
func (e *evaluation) judgeInside(v, b extent) {
	below, above := v.low-b.low, b.high-v.high
	width := b.high - b.low
	switch {
	case below < 0 && -below <= nextTo*math.Abs(b.low), above < 0 && -above <= nextTo*math.Abs(b.high):
		e.verdict(true, "on the bound itself, apart from rounding")
	case below < 0:
		e.verdict(false, "below the lower bound %s by %s", e.text(b.low), e.text(-below))
	case above < 0:
		e.verdict(false, "above the upper bound %s by %s", e.text(b.high), e.text(-above))
	case width == 0:
		e.verdict(true, "on the bound itself")
	case below <= above:
		e.verdict(true, "%s above the lower bound, %s of the width", e.text(below), percent(below/width))
	default:
		e.verdict(true, "%s below the upper bound, %s of the width", e.text(above), percent(above/width))
	}
}

func (e *evaluation) expectApprox(n *notation.Expect) {
	x, ok1 := e.extent(n.X)
	y, ok2 := e.extent(n.Approx)
	tolerance, ok3 := e.extent(n.Tolerance)
	if !ok1 || !ok2 || !ok3 {
		return
	}
	off := apart(x, y)
	allowed := math.Abs(tolerance.low)
	relative := e.isShare(n.Tolerance)
	if relative {
		allowed *= math.Max(math.Abs(y.low), math.Abs(y.high))
	}
	margin := e.text(off)
	if scale := math.Max(math.Abs(y.low), math.Abs(y.high)); relative && scale > 0 {
		margin = percent(off / scale)
	}
	if off <= allowed {
		e.verdict(true, "they differ by %s", margin)
		return
	}
	e.verdict(false, "they differ by %s", margin)
}

// isShare reports whether a tolerance is a share of the value, as 0.5 % is. A
// pure number is a share unless the compared values are pure numbers and the
// tolerance is not written with %.
func (e *evaluation) isShare(tolerance notation.Expr) bool {
	if q, ok := notation.Unparen(tolerance).(*notation.Quantity); ok {
		return q.Unit.Unit.Text == "%"
	}
	t, _ := e.w.checker.Expr(tolerance)
	return t.Dim.IsNumber() && !e.like.Dim.IsNumber()
}

// expectCond judges a condition; for one comparison it gives the margin.
func (e *evaluation) expectCond(cond notation.Expr) {
	if c, ok := notation.Unparen(cond).(*notation.Compare); ok && len(c.Xs) == 2 {
		e.expectCompare(c)
		return
	}
	v, ok := e.value(cond)
	if !ok {
		return
	}
	if v.Truth {
		e.verdict(true, "")
		return
	}
	e.verdict(false, "the condition is false")
}

func (e *evaluation) expectCompare(c *notation.Compare) {
	x, ok1 := e.extent(c.Xs[0])
	y, ok2 := e.extent(c.Xs[1])
	if !ok1 || !ok2 {
		return
	}
	if t, list := e.w.checker.Expr(c.Xs[0]); !list.HasErrors() {
		e.like = t
	}
	op := c.Ops[0]
	if op == notation.OpGreater || op == notation.OpGreaterEq {
		x, y = y, x
	}
	var holds bool
	switch op {
	case notation.OpLess, notation.OpGreater:
		holds = x.high < y.low
	case notation.OpLessEq, notation.OpGreaterEq:
		holds = x.high <= y.low
	case notation.OpEqual:
		holds = apart(x, y) <= nextTo*math.Max(math.Abs(x.high), math.Abs(y.high))
	case notation.OpNotEqual:
		holds = x.high < y.low || y.high < x.low
	}
	gap := y.low - x.high
	if op == notation.OpEqual || op == notation.OpNotEqual {
		gap = apart(x, y)
		e.verdict(holds, "they differ by %s", e.text(gap))
		return
	}
	if holds {
		e.verdict(true, "with %s to spare", e.share(gap, y))
		return
	}
	e.verdict(false, "off by %s", e.share(-gap, y))
}

// apart is the greatest distance between a value of x and one of y.
func apart(x, y extent) float64 {
	return math.Max(math.Abs(x.high-y.low), math.Abs(y.high-x.low))
}

// share writes a difference with its share of the value compared with.
func (e *evaluation) share(gap float64, of extent) string {
	scale := math.Max(math.Abs(of.low), math.Abs(of.high))
	if scale == 0 {
		return e.text(gap)
	}
	return fmt.Sprintf("%s (%s)", e.text(gap), percent(gap/scale))
}

// text writes a value like the left side of the check.
func (e *evaluation) text(v float64) string {
	return unit.Format(v, e.w.unitFor(v, e.like), unit.Rounding{Figures: 3})
}

func percent(share float64) string {
	return unit.FormatNumber(100*share, unit.Rounding{Figures: 2}) + " %"
}

func (e *evaluation) verdict(holds bool, format string, args ...any) {
	e.r.Verdict = &Verdict{Holds: holds, Margin: fmt.Sprintf(format, args...)}
	e.r.Text = "holds"
	if !holds {
		e.r.Text = "fails"
	}
}
