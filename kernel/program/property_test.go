package program

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawFormula makes a formula of one name and constants, rich in what the
// scheduler fuses: products and quotients with constants, squares of squares,
// sums with constants, factors that occur twice.
func drawFormula(t *rapid.T, name string, depth int) string {
	if depth == 0 || rapid.IntRange(0, 4).Draw(t, "leaf") == 0 {
		if rapid.Bool().Draw(t, "name") {
			return name
		}
		return rapid.SampledFrom([]string{"2", "3", "0.5", "7", "π/32", "c", "(1/2)"}).Draw(t, "constant")
	}
	x := drawFormula(t, name, depth-1)
	switch rapid.IntRange(0, 10).Draw(t, "form") {
	case 0:
		return fmt.Sprintf("(%s)^%s", x, rapid.SampledFrom([]string{"2", "3", "4", "−1", "−4", "0.5"}).Draw(t, "power"))
	case 1:
		return fmt.Sprintf("(−(%s))", x)
	case 2:
		return fmt.Sprintf("((%s)·(%s))", x, x)
	}
	y := drawFormula(t, name, depth-1)
	switch rapid.IntRange(0, 9).Draw(t, "function") {
	case 0:
		return fmt.Sprintf("√|%s|", x)
	case 1:
		return fmt.Sprintf("min(%s, %s)", x, y)
	case 2:
		return fmt.Sprintf("(if %s < %s then %s else %s)", x, y, y, x)
	}
	op := rapid.SampledFrom([]string{"+", "−", "·", "/"}).Draw(t, "operator")
	return fmt.Sprintf("((%s)%s(%s))", x, op, y)
}

// Whatever the scheduler fuses, every lane of a block has the bits that the
// walker gets, and where the walker has no value the block has none.
func TestBlocksAgreeWithWalkerOnAnyFormula(t *testing.T) {
	s := names{"c": Scalar(79e9)}
	xs := []float64{0.036, 0.5, 1, 1.75, 2, 3, 12, 0.1, 41, 5e-3, 9}
	rapid.Check(t, func(rt *rapid.T) {
		text := drawFormula(rt, "x", 5)
		e := parse(t, text)
		p, list := Compile(e, []string{"x"}, s)
		if list.HasErrors() {
			return
		}
		for i, x := range xs {
			w := newWalker(newRun(), s)
			w.bind("x", x)
			want, ok := w.number(e)
			got := make([]float64, len(xs))
			same := make([]float64, len(xs))
			for k := range same {
				same[k] = x
			}
			if err := p.Block(newRun(), got, same); (err == nil) != ok {
				rt.Fatalf("%s at %v: block error %v, walker has a value: %v", text, x, err, ok)
			}
			if ok && got[i] != want.x {
				rt.Fatalf("%s at %v: block %v, walker %v", text, x, got[i], want.x)
			}
		}
	})
}

// A sum over an index is the sum of what the walker gets for each index.
func TestSumsAgreeWithWalkerOnAnyFormula(t *testing.T) {
	s := names{"c": Scalar(79e9), "n": Scalar(23)}
	rapid.Check(t, func(rt *rapid.T) {
		text := drawFormula(rt, "(i − 1/2)", 4)
		if rapid.Bool().Draw(rt, "plain index") {
			text = drawFormula(rt, "i", 4)
		}
		body := parse(t, text)
		want, scale, ok := 0.0, 0.0, true
		for i := 1; i <= 23 && ok; i++ {
			w := newWalker(newRun(), s)
			w.bind("i", float64(i))
			v, has := w.number(body)
			want, scale, ok = want+v.x, scale+math.Abs(v.x), has
		}
		got, list := Evaluate(newRun(), parse(t, "sum of "+text+" for i from 1 to n"), s)
		if list.HasErrors() == ok && scale < 1e300 {
			rt.Fatalf("%s: %v, walker has all terms: %v", text, list.Err(), ok)
		}
		if ok && !list.HasErrors() && math.Abs(got.Number-want) > 1e-13*scale {
			rt.Fatalf("%s: %v, term by term %v", text, got.Number, want)
		}
	})
}
