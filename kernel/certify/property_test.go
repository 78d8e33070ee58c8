package certify

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/interval"
)

// A formula is a random expression in two forms: as operations of a Builder,
// and in arithmetic of 192 bits, which serves as the judge.
type formula struct {
	text  string
	build func(b *Builder, x Expr) Expr
	exact bigfloat.Func
}

// breakAt is where all kinks and jumps of random formulas lie.
const breakAt = 0.375

func exactFloat(v float64) bigfloat.Value {
	x, err := bigfloat.Float(v)
	if err != nil {
		panic(err)
	}
	return x
}

func unaryFormula(name string, u formula, build func(b *Builder, x Expr) Expr, exact func(bigfloat.Value) (bigfloat.Value, error)) formula {
	return formula{
		text:  name + "(" + u.text + ")",
		build: func(b *Builder, x Expr) Expr { return build(b, u.build(b, x)) },
		exact: func(x bigfloat.Value) (bigfloat.Value, error) {
			v, err := u.exact(x)
			if err != nil {
				return v, err
			}
			return exact(v)
		},
	}
}

func binaryFormula(op string, u, v formula, build func(b *Builder, x, y Expr) Expr, exact func(x, y bigfloat.Value) (bigfloat.Value, error)) formula {
	return formula{
		text:  "(" + u.text + " " + op + " " + v.text + ")",
		build: func(b *Builder, x Expr) Expr { return build(b, u.build(b, x), v.build(b, x)) },
		exact: func(x bigfloat.Value) (bigfloat.Value, error) {
			p, err := u.exact(x)
			if err != nil {
				return p, err
			}
			q, err := v.exact(x)
			if err != nil {
				return q, err
			}
			return exact(p, q)
		},
	}
}

func constantFormula(c float64) formula {
	return formula{
		text:  fmt.Sprint(c),
		build: func(b *Builder, _ Expr) Expr { return b.Number(c) },
		exact: func(bigfloat.Value) (bigfloat.Value, error) { return exactFloat(c), nil },
	}
}

var variableFormula = formula{
	text:  "x",
	build: func(_ *Builder, x Expr) Expr { return x },
	exact: func(x bigfloat.Value) (bigfloat.Value, error) { return x, nil },
}

func squared(u formula) formula {
	return unaryFormula("sq", u, func(b *Builder, x Expr) Expr { return b.PowInt(x, 2) },
		func(v bigfloat.Value) (bigfloat.Value, error) { return bigfloat.PowInt(v, 2) })
}

func sum(u, v formula) formula {
	return binaryFormula("+", u, v, (*Builder).Add, bigfloat.Add)
}

// positive returns c + u², which no root, logarithm or quotient minds.
func positive(t *rapid.T, u formula) formula {
	return sum(constantFormula(float64(rapid.IntRange(1, 40).Draw(t, "c"))/16), squared(u))
}

func randomFormula(t *rapid.T, depth int) formula {
	if depth == 0 {
		if rapid.Bool().Draw(t, "x") {
			return variableFormula
		}
		return constantFormula(float64(rapid.IntRange(-64, 64).Draw(t, "c")) / 16)
	}
	u := randomFormula(t, depth-1)
	sine := unaryFormula("sin", u, (*Builder).Sin, bigfloat.Sin)
	switch rapid.IntRange(0, 13).Draw(t, "op") {
	case 0:
		return sum(u, randomFormula(t, depth-1))
	case 1:
		return binaryFormula("−", u, randomFormula(t, depth-1), (*Builder).Sub, bigfloat.Sub)
	case 2, 3:
		return binaryFormula("·", u, randomFormula(t, depth-1), (*Builder).Mul, bigfloat.Mul)
	case 4, 5:
		return binaryFormula("/", u, positive(t, randomFormula(t, depth-1)), (*Builder).Div, bigfloat.Div)
	case 6:
		return sine
	case 7:
		return unaryFormula("cos", u, (*Builder).Cos, bigfloat.Cos)
	case 8:
		return unaryFormula("exp", sine, (*Builder).Exp, bigfloat.Exp)
	case 9:
		return unaryFormula("sqrt", positive(t, u), (*Builder).Sqrt, bigfloat.Sqrt)
	case 10:
		return unaryFormula("ln", positive(t, u), (*Builder).Ln, bigfloat.Ln)
	case 11:
		return unaryFormula("atan", u, (*Builder).Atan, bigfloat.Atan)
	case 12:
		n := rapid.IntRange(-4, 4).Draw(t, "n")
		return unaryFormula(fmt.Sprintf("pow%d", n), positive(t, u), func(b *Builder, x Expr) Expr { return b.PowInt(x, n) },
			func(v bigfloat.Value) (bigfloat.Value, error) { return bigfloat.PowInt(v, int64(n)) })
	}
	shifted := binaryFormula("−", variableFormula, constantFormula(breakAt), (*Builder).Sub, bigfloat.Sub)
	if rapid.Bool().Draw(t, "kink") {
		kink := unaryFormula("abs", shifted, (*Builder).Abs, func(v bigfloat.Value) (bigfloat.Value, error) { return bigfloat.Abs(v), nil })
		return sum(u, kink)
	}
	v := randomFormula(t, depth-1)
	return formula{
		text: "(if x < 0.375 then " + u.text + " else " + v.text + ")",
		build: func(b *Builder, x Expr) Expr {
			return b.If(b.Less(x, b.Number(breakAt)), u.build(b, x), v.build(b, x))
		},
		exact: func(x bigfloat.Value) (bigfloat.Value, error) {
			d, err := bigfloat.Sub(x, exactFloat(breakAt))
			if err != nil {
				return d, err
			}
			if d.Sign() < 0 {
				return u.exact(x)
			}
			return v.exact(x)
		},
	}
}

// The enclosure of the integral of a random formula holds the value that a
// quadrature of 192 bits finds, which knows where the breaks are.
func TestRandomIntegrals(t *testing.T) {
	judged := 0
	rapid.Check(t, func(t *rapid.T) {
		f := randomFormula(t, rapid.IntRange(1, 4).Draw(t, "depth"))
		a := float64(rapid.IntRange(-32, 0).Draw(t, "a")) / 16
		b := float64(rapid.IntRange(7, 32).Draw(t, "b")) / 16
		e, err := Integrate(function(f.build), nil, point(a), point(b), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !e.Certain {
			t.Skip(f.text, e.Reason)
		}
		var parts [2]bigfloat.Value
		for i, r := range [...][2]float64{{a, breakAt}, {breakAt, b}} {
			parts[i], err = bigfloat.Integrate(f.exact, exactFloat(r[0]), exactFloat(r[1]))
			if err != nil {
				t.Skip(f.text, err)
			}
		}
		want, err := bigfloat.Add(parts[0], parts[1])
		if err != nil {
			t.Skip(err)
		}
		// What the judge itself does not know counts for the enclosure.
		exact, doubt := want.Float64(), want.Radius()+1e-25*math.Abs(want.Float64())+spacing(want.Float64())
		if exact+doubt < e.Low || exact-doubt > e.High {
			t.Fatalf("∫ %s from %g to %g: %v misses %s ± %g", f.text, a, b, e.Interval(), want.Text(25), doubt)
		}
		judged++
	})
	if judged < 20 {
		t.Errorf("only %d integrals were judged", judged)
	}
}

// Over a disc the continuation holds the values of the function on the real
// part of it, and over an interval its values there; the slope holds quotients
// of differences.
func TestRandomRanges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := randomFormula(t, rapid.IntRange(1, 5).Draw(t, "depth"))
		g := function(f.build)
		m := float64(rapid.IntRange(-40, 40).Draw(t, "m")) / 16
		r := math.Ldexp(1, -rapid.IntRange(0, 12).Draw(t, "r"))
		fr := g.take()
		defer fr.give()
		x := interval.Interval{Lo: m - r, Hi: m + r}
		v := fr.over([]interval.Interval{x})
		slope := fr.slopes()
		d := fr.within(makeDisc(m, 0, r, 0))
		previous, at := bigfloat.Value{}, 0.0
		for i := range 9 {
			place := m - r + 2*r*float64(i)/8
			y, err := f.exact(exactFloat(place))
			if err != nil {
				t.Skip(err)
			}
			value, doubt := y.Float64(), y.Radius()+spacing(y.Float64())
			if isSound(v) && (value+doubt < v.Lo || value-doubt > v.Hi) {
				t.Fatalf("%s at %g: %g is not in %v", f.text, place, value, v)
			}
			if d.ok() && math.Hypot(value-d.x, d.y) > d.r+doubt {
				t.Fatalf("%s at %g: %g is not in %v", f.text, place, value, d)
			}
			if d.ok() && math.Abs(value)+doubt < d.lo {
				t.Fatalf("%s at %g: |%g| is below %g", f.text, place, value, d.lo)
			}
			if i > 0 && isSound(slope) {
				difference, err := bigfloat.Sub(y, previous)
				if err != nil {
					t.Skip(err)
				}
				q := difference.Float64() / (place - at)
				if slack := 1e-12*math.Abs(q) + difference.Radius()/r*8 + 1e-300; q+slack < slope.Lo || q-slack > slope.Hi {
					t.Fatalf("%s near %g: the slope %g is not in %v", f.text, place, q, slope)
				}
			}
			previous, at = y, place
		}
	})
}
