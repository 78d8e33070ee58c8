package program

import (
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
)

// encloseChoice evaluates an if: where the brackets do not decide, both
// branches count.
func (w *walker) encloseChoice(e *notation.If) (interval.Interval, bool) {
	holds, decided, ok := w.decide(e.Cond)
	if !ok {
		return interval.Interval{}, false
	}
	if decided && holds {
		return w.interval(e.Then)
	}
	if decided {
		return w.interval(e.Else)
	}
	a, ok := w.interval(e.Then)
	if !ok {
		return a, false
	}
	b, ok := w.interval(e.Else)
	return interval.Hull(a, b), ok
}

// decide evaluates a condition on brackets, which they may leave open.
func (w *walker) decide(e notation.Expr) (holds, decided, ok bool) {
	switch e := e.(type) {
	case *notation.Paren:
		return w.decide(e.X)
	case *notation.Compare:
		return w.decideCompare(e, w.interval)
	case *notation.Logic:
		x, sure, ok := w.decide(e.X)
		switch {
		case !ok:
			return false, false, false
		case e.Op == notation.OpNot:
			return !x, sure, true
		case sure && (e.Op == notation.OpAnd) != x:
			return x, true, true // the other side cannot change it
		}
		y, sureY, ok := w.decide(e.Y)
		if sureY && (e.Op == notation.OpAnd) != y {
			return y, true, ok
		}
		return y, sure && sureY, ok
	}
	return false, false, w.fail(e, CodeUnknown, "this is not a condition")
}

func (w *walker) decideCompare(e *notation.Compare, enclose func(notation.Expr) (interval.Interval, bool)) (holds, decided, ok bool) {
	values := make([]interval.Interval, len(e.Xs))
	for i, x := range e.Xs {
		if values[i], ok = enclose(x); !ok {
			return false, false, false
		}
	}
	decided = true
	for i, op := range e.Ops {
		a, b := values[i], values[i+1]
		var certain, impossible bool
		switch op {
		case notation.OpLess:
			certain, impossible = a.Hi < b.Lo, a.Lo >= b.Hi
		case notation.OpLessEq:
			certain, impossible = a.Hi <= b.Lo, a.Lo > b.Hi
		case notation.OpGreater:
			certain, impossible = a.Lo > b.Hi, a.Hi <= b.Lo
		case notation.OpGreaterEq:
			certain, impossible = a.Lo >= b.Hi, a.Hi < b.Lo
		case notation.OpEqual:
			certain, impossible = a.IsPoint() && a == b, a.Hi < b.Lo || b.Hi < a.Lo
		case notation.OpNotEqual:
			certain, impossible = a.Hi < b.Lo || b.Hi < a.Lo, a.IsPoint() && a == b
		default:
			return false, false, w.fail(e, CodeUnknown, "%s cannot be used in a condition", op)
		}
		if impossible {
			return false, true, true
		}
		decided = decided && certain
	}
	return true, decided, true
}

// compareBrackets decides a comparison on brackets or reports that they do not.
func (w *walker) compareBrackets(e *notation.Compare) (holds, ok bool) {
	holds, decided, ok := w.decideCompare(e, w.tight)
	if !ok {
		return false, false
	}
	if !decided {
		w.failAt(e.Span(), CodeUndecided, "make the bracket narrower, or compare its low(…) or high(…)", "the brackets leave open whether %s holds", w.piece(e))
		return false, false
	}
	return holds, true
}
