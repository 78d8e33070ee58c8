package program

import (
	"math/big"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// A bracketEnd is low, high, mid or width of a bracket that is written as a ± b or
// between a and b: a formula of plain numbers.
type bracketEnd struct {
	formula notation.Expr
	// lesson: the formula is that of a name, and the names in it are the lesson's.
	lesson bool
}

// endOf returns the formula that a reader of brackets stands for. ok is false for
// a bracket that is computed.
func endOf(reader string, e notation.Expr, s Scope, isLocal func(string) bool, holdsBracket func(e notation.Expr, lesson bool) bool) (end bracketEnd, ok bool) {
	for range deepestDefinition {
		switch b := notation.Unparen(e).(type) {
		case *notation.PlusMinus:
			if holdsBracket(b.Mid, end.lesson) || holdsBracket(b.Half, end.lesson) {
				return end, false
			}
			end.formula = endOfPlusMinus(reader, b)
			return end, true
		case *notation.Between:
			if holdsBracket(b.Low, end.lesson) || holdsBracket(b.High, end.lesson) {
				return end, false
			}
			end.formula = endOfBetween(reader, b)
			return end, true
		case *notation.Name:
			d, defined := s.(Definer)
			if !defined || !end.lesson && isLocal(b.Ident) {
				return end, false
			}
			if e, ok = d.Definition(b.Ident); !ok {
				return end, false
			}
			end.lesson = true
		default:
			return end, false
		}
	}
	return end, false
}

func endOfPlusMinus(reader string, b *notation.PlusMinus) notation.Expr {
	half := &notation.Abs{X: b.Half}
	half.At = b.Half.Span()
	switch reader {
	case "low":
		return binaryOf(notation.OpSub, b.Mid, half)
	case "high":
		return binaryOf(notation.OpAdd, b.Mid, half)
	case "mid":
		return b.Mid
	}
	return binaryOf(notation.OpMul, &notation.Number{Text: "2", Value: 2}, half)
}

func endOfBetween(reader string, b *notation.Between) notation.Expr {
	switch reader {
	case "low":
		return b.Low
	case "high":
		return b.High
	case "mid":
		return binaryOf(notation.OpDiv, binaryOf(notation.OpAdd, b.Low, b.High), &notation.Number{Text: "2", Value: 2})
	}
	return binaryOf(notation.OpSub, b.High, b.Low)
}

func minus(x, y notation.Expr) notation.Expr { return binaryOf(notation.OpSub, x, y) }

func binaryOf(op notation.Op, x, y notation.Expr) notation.Expr {
	b := &notation.Binary{Op: op, X: inParen(x), Y: inParen(y)}
	b.At = x.Span()
	return b
}

// endOf returns the formula of an end of a bracket.
func (w *walker) endOf(e *notation.Call) (bracketEnd, bool) {
	holdsBracket := func(x notation.Expr, lesson bool) bool {
		if lesson {
			defer w.inLesson()()
		}
		return w.holdsBracket(x)
	}
	return endOf(e.Fun.Ident, e.Args[0], w.scope, w.isLocal, holdsBracket)
}

// writtenEnd evaluates an end of a written bracket: to the nearest float64 where
// it is a fraction, else like any formula.
func (w *walker) writtenEnd(end bracketEnd) (number, bool) {
	if end.lesson {
		defer w.inLesson()()
	}
	if r, ok := fractionOf(end.formula, w.scope, w.isLocal); ok {
		if x, _ := r.Float64(); finite(x) {
			return number{x: x, noise: roundoff}, true
		}
	}
	return w.number(end.formula)
}

// encloseEnd encloses the exact end of a written bracket.
func (w *walker) encloseEnd(end bracketEnd) (interval.Interval, bool) {
	if end.lesson {
		defer w.inLesson()()
	}
	if b, ok := encloseFraction(end.formula, w.scope, w.isLocal); ok {
		return b, true
	}
	return w.interval(end.formula)
}

// inLesson hides the locals until leave is called.
func (w *walker) inLesson() (leave func()) {
	base := w.base
	w.base = len(w.locals)
	return func() { w.base = base }
}

// encloseFraction encloses a formula that is an exact fraction: as one point if
// that is a float64, else between neighbours.
func encloseFraction(e notation.Expr, s Scope, isLocal func(string) bool) (interval.Interval, bool) {
	r, ok := fractionOf(e, s, isLocal)
	if !ok {
		return interval.Interval{}, false
	}
	x, exact := r.Float64()
	switch {
	case !finite(x):
		return interval.Interval{}, false
	case exact:
		return interval.Interval{Lo: x, Hi: x}, true
	}
	return interval.Interval{Lo: x - spacing(x), Hi: x + spacing(x)}, true
}

// mostFractions bounds the operations of one fraction, with the definitions of its
// names put in.
const mostFractions = 2_000

// A fraction evaluates sums, products and quotients of decimals, in units whose
// factors are fractions, exactly in SI base units.
type fraction struct {
	scope   Scope
	isLocal func(string) bool
	left    *int // operations that may still be done
	depth   int  // names that may still be replaced by their formulas
}

// fractionOf returns the value of an expression that is an exact fraction.
func fractionOf(e notation.Expr, s Scope, isLocal func(string) bool) (*big.Rat, bool) {
	left := mostFractions
	return fraction{s, isLocal, &left, deepestDefinition}.of(e)
}

func (f fraction) of(e notation.Expr) (*big.Rat, bool) {
	if *f.left--; *f.left < 0 {
		return nil, false
	}
	switch e := e.(type) {
	case *notation.Number:
		return notation.StaticRational(e, noDefinitions)
	case *notation.Quantity:
		return fractionOfQuantity(e)
	case *notation.Paren:
		return f.of(e.X)
	case *notation.Abs:
		x, ok := f.of(e.X)
		if !ok {
			return nil, false
		}
		return new(big.Rat).Abs(x), true
	case *notation.Unary:
		x, ok := f.of(e.X)
		if ok && e.Op == notation.OpNeg {
			x = new(big.Rat).Neg(x)
		}
		return x, ok
	case *notation.Name:
		return f.name(e)
	case *notation.Binary:
		x, ok := f.binary(e)
		return x, ok && notation.ShortRational(x)
	}
	return nil, false
}

func fractionOfQuantity(e *notation.Quantity) (*big.Rat, bool) {
	x, ok := notation.StaticRational(e.Number, noDefinitions)
	factor, pi, exact := unit.ExactFactor(e.Unit.Unit)
	if !ok || !exact || pi != 0 {
		return nil, false
	}
	return new(big.Rat).Mul(x, factor), true
}

func (f fraction) name(e *notation.Name) (*big.Rat, bool) {
	d, ok := f.scope.(Definer)
	if !ok || f.depth == 0 || f.isLocal(e.Ident) {
		return nil, false
	}
	formula, ok := d.Definition(e.Ident)
	if !ok {
		return nil, false
	}
	f.depth--
	f.isLocal = func(string) bool { return false }
	return f.of(formula)
}

func (f fraction) binary(e *notation.Binary) (*big.Rat, bool) {
	x, okX := f.of(e.X)
	y, okY := f.of(e.Y)
	if !okX || !okY {
		return nil, false
	}
	switch {
	case e.Op == notation.OpAdd:
		return new(big.Rat).Add(x, y), true
	case e.Op == notation.OpSub:
		return new(big.Rat).Sub(x, y), true
	case e.Op == notation.OpMul:
		return new(big.Rat).Mul(x, y), true
	case e.Op == notation.OpDiv && y.Sign() != 0:
		return new(big.Rat).Quo(x, y), true
	}
	return nil, false
}
