package derive

import (
	"math/big"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// This file reads what is usual on a blackboard though the dimensions of its parts do
// not fit: d(0) for d(0 m), and differences of logarithms of lengths.

// homogeneous returns an expression of a line with such parts written out.
func (j *judge) homogeneous(e notation.Expr) notation.Expr {
	return j.differencesOfLogarithms(j.zeroArguments(e))
}

// zeroArguments gives an argument 0 of the learner's functions the dimension with
// which the function has a value: d(0) is d(0 m).
func (j *judge) zeroArguments(e notation.Expr) notation.Expr {
	e = notation.Map(e, j.zeroArguments)
	call, ok := e.(*notation.Call)
	if !ok {
		return e
	}
	symbol, known := j.scope.symbols[call.Fun.Ident]
	if !known || symbol.Kind != check.Function {
		return e
	}
	for i, a := range call.Args {
		if t, _ := j.scope.typeOf(a); !t.Zero || j.scope.isSound(call) {
			continue
		}
		for _, d := range j.scope.dimensions() {
			c := *call
			c.Args = append([]notation.Expr(nil), call.Args...)
			c.Args[i] = makerAt(a).inUnit(0, d)
			if j.scope.isSound(&c) {
				call = &c
				break
			}
		}
	}
	return call
}

// isSound reports whether an expression has a type without any error.
func (s *scope) isSound(e notation.Expr) bool {
	t, errs := s.typeOf(e)
	return t.IsQuantity() && !source.List(errs).HasErrors()
}

// dimensions returns the dimensions of the names known so far, each once, in the order
// in which they came in.
func (s *scope) dimensions() []unit.Dimension {
	seen := map[unit.Dimension]bool{}
	var list []unit.Dimension
	for _, ident := range s.order {
		symbol := s.symbols[ident]
		if symbol == nil || symbol.Kind != check.Value || !symbol.Type.IsQuantity() || seen[symbol.Type.Dim] {
			continue
		}
		seen[symbol.Type.Dim] = true
		list = append(list, symbol.Type.Dim)
	}
	return list
}

// inUnit makes a number of SI units of a dimension.
func (m maker) inUnit(n int, d unit.Dimension) notation.Expr {
	if d.IsNumber() {
		return m.number(n)
	}
	ref := &notation.UnitRef{Text: d.String(), Unit: unit.Unit{Text: d.String(), Factor: 1, Dim: d}}
	ref.At = m.at
	q := &notation.Quantity{Number: m.number(n).(*notation.Number), Unit: ref}
	q.At = m.at
	return q
}

// A logTerm is a term c·ln(x) of a sum, with a dimension under the logarithm.
type logTerm struct {
	call        *notation.Call
	coefficient notation.Expr // of the call, with its sign
	dim         unit.Dimension
}

// differencesOfLogarithms divides each length under a logarithm by 1 m where the
// lengths of a sum of logarithms cancel: in ln(d_1) − ln(d_0), not in ln(d_1) alone,
// whose value would depend on the unit.
func (j *judge) differencesOfLogarithms(e notation.Expr) notation.Expr {
	if len(find(e, isLogarithm)) == 0 {
		return e
	}
	var found []logTerm
	j.logTerms(e, makerAt(e).number(1), &found)
	if len(found) > 0 && cancel(found) {
		e = perUnit(e, found)
	}
	return notation.Map(e, j.differencesOfLogarithms)
}

func isLogarithm(c *notation.Call) bool {
	return len(c.Args) == 1 && (c.Fun.Ident == "ln" || c.Fun.Ident == "log10")
}

// logTerms collects the logarithms of dimensioned values among the terms of a sum.
func (j *judge) logTerms(e, factor notation.Expr, found *[]logTerm) {
	m := makerAt(e)
	switch sum := e.(type) {
	case *notation.Paren:
		j.logTerms(sum.X, factor, found)
		return
	case *notation.Unary:
		if sum.Op == notation.OpNeg {
			factor = m.neg(m.paren(factor))
		}
		j.logTerms(sum.X, factor, found)
		return
	case *notation.Binary:
		if sum.Op == notation.OpAdd || sum.Op == notation.OpSub {
			j.logTerms(sum.X, factor, found)
			if sum.Op == notation.OpSub {
				factor = m.neg(m.paren(factor))
			}
			j.logTerms(sum.Y, factor, found)
			return
		}
	}
	for _, c := range numeratorFactors(e) {
		call, ok := c.(*notation.Call)
		if !ok || !isLogarithm(call) {
			continue
		}
		t, errs := j.scope.typeOf(call.Args[0])
		if source.List(errs).HasErrors() || !t.IsQuantity() || t.Dim.IsNumber() {
			continue
		}
		rest := replace(e, notation.Expr(call), m.number(1))
		*found = append(*found, logTerm{call, m.mul(m.paren(factor), m.paren(rest)), t.Dim})
		return
	}
}

// numeratorFactors returns the factors above the bar of a product.
func numeratorFactors(e notation.Expr) []notation.Expr {
	switch e := e.(type) {
	case *notation.Paren:
		return numeratorFactors(e.X)
	case *notation.Unary:
		return numeratorFactors(e.X)
	case *notation.Binary:
		switch e.Op {
		case notation.OpMul:
			return append(numeratorFactors(e.X), numeratorFactors(e.Y)...)
		case notation.OpDiv:
			return numeratorFactors(e.X)
		}
	}
	return []notation.Expr{e}
}

// cancel reports whether the units of the terms cancel: Σ c·dim is 0, the
// coefficients being multiples of the first, all to one base.
func cancel(terms []logTerm) bool {
	sum := unit.Dimension{}
	for _, t := range terms {
		if t.call.Fun.Ident != terms[0].call.Fun.Ident {
			return false
		}
		r, ok := algebra.Quotient(t.coefficient, terms[0].coefficient, nil)
		if !ok {
			return false
		}
		power, ok := raised(t.dim, r)
		if !ok {
			return false
		}
		if sum, ok = sum.Mul(power); !ok {
			return false
		}
	}
	return sum.IsNumber()
}

func raised(d unit.Dimension, r *big.Rat) (unit.Dimension, bool) {
	if !r.Num().IsInt64() || !r.Denom().IsInt64() || r.Num().CmpAbs(big.NewInt(64)) > 0 || r.Denom().Int64() > 64 {
		return d, false
	}
	power, ok := unit.NewRational(int(r.Num().Int64()), int(r.Denom().Int64()))
	if !ok {
		return d, false
	}
	return d.Pow(power)
}

// perUnit divides what is under each logarithm by one SI unit.
func perUnit(e notation.Expr, terms []logTerm) notation.Expr {
	for _, t := range terms {
		m := makerAt(t.call)
		c := *t.call
		c.Args = []notation.Expr{m.div(m.paren(t.call.Args[0]), m.inUnit(1, t.dim))}
		e = replace(e, notation.Expr(t.call), &c)
	}
	return e
}

// absorbed does the same for an antiderivative by x, in which a factor under a
// logarithm belongs to the constant: ∫ dx/x = ln(x) + C.
func (j *judge) absorbed(e notation.Expr, x string) notation.Expr {
	var found []logTerm
	j.logTerms(e, makerAt(e).number(1), &found)
	kept := found[:0]
	for _, t := range found {
		if !isFree(t.coefficient, x) {
			kept = append(kept, t)
		}
	}
	return perUnit(e, kept)
}
