package derive

import (
	"math"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// innerSlopeLost recognises a derivative that lacks the slope of an inner function,
// and an integral without limits that was not divided by it: then the derivative
// of the claim has the slope once too often.
func (j *judge) innerSlopeLost(a, b *statement, m measured) (string, Slip) {
	for _, s := range []struct {
		of    notation.Expr
		power int
		words func(slope, inner string) string
	}{
		{a.full, -1, func(q, p string) string {
			return "the chain-rule factor " + bracketed(q) + " is missing: it is the derivative of " + p
		}},
		{b.full, 1, func(q, p string) string {
			return "the chain-rule factor 1/" + bracketed(q) + " is missing: " + q + " is the derivative of " + p
		}},
	} {
		for _, d := range binds(s.of, notation.Derivative) {
			for _, p := range innerFunctions(d.Body, d.Var.Ident) {
				slope, err := algebra.Derivative(p, d.Var.Ident, nil)
				if err != nil {
					continue
				}
				slope = put(slope, d.Var.Ident, d.From)
				if f, ok := j.ratioOver(m, slope, s.power); !ok || math.Abs(f-1) > 1e-9 {
					continue
				}
				if isOne, decided := algebra.EqualExactly(slope, makerAt(d).number(1), nil); isOne || !decided {
					continue
				}
				return s.words(j.called(slope), notation.Print(p)), ChainRule
			}
		}
	}
	return "", NoSlip
}

// innerFunctions lists what functions, roots and powers in e are taken of, if that
// depends on x and is not x itself.
func innerFunctions(e notation.Expr, x string) []notation.Expr {
	var list []notation.Expr
	add := func(p notation.Expr) {
		p = notation.Unparen(p)
		if _, plain := p.(*notation.Name); !plain && isFree(p, x) {
			list = append(list, p)
		}
	}
	notation.Inspect(e, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.Bind:
			return false
		case *notation.Root:
			add(n.X)
		case *notation.Call:
			if len(n.Args) == 1 {
				add(n.Args[0])
			}
		case *notation.Binary:
			if n.Op == notation.OpPow || n.Op == notation.OpDiv {
				add(map[bool]notation.Expr{true: n.X, false: n.Y}[n.Op == notation.OpPow])
			}
		}
		return true
	})
	return list
}
