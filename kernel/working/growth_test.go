package working_test

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
)

// chain writes definitions y1, y2, … each by the formula, in which y is the one
// before.
func chain(n int, formula string) string {
	var b strings.Builder
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, "y%d = %s\n", i, strings.ReplaceAll(formula, "y", fmt.Sprintf("y%d", i-1)))
	}
	return b.String()
}

// functions writes functions g1, g2, … each by the formula, in which g is the one
// before.
func functions(n int, formula string) string {
	var b strings.Builder
	for i := 1; i <= n; i++ {
		fmt.Fprintf(&b, "g%d(x) = %s\n", i, strings.ReplaceAll(formula, "g", fmt.Sprintf("g%d", i-1)))
	}
	return b.String()
}

func nested(n int, f, inner string) string {
	return strings.Repeat(f+"(", n) + inner + strings.Repeat(")", n)
}

func slopeOfSlopes(n int) string {
	s := "sin(x)·x^2/(1 + x)"
	for range n {
		s = "(derivative of " + s + " for x at x)"
	}
	return s
}

func rootsInRoots(n int) string {
	s := "x_0^2 − 2"
	for i := range n {
		s = fmt.Sprintf("(root of %s − x_%d for x_%d from 0 to 9)·x_%d", s, i+1, i, i+1)
	}
	return s
}

// growing are texts of a few lines whose formulas, written out, would have more parts
// than any machine holds: each level doubles what is below it.
var growing = []struct{ name, text string }{
	{"a chain of brackets", "y0 = 2 ± 0.5\n" + chain(200, "y·(1 − y/4)")},
	{"a chain with a table of tolerances", "y0 = 2 ± 0.5\n" + chain(60, "y·(1 − y/4)") + "table of tolerances of y60"},
	{"choices", "y0 = 2 ± 0.5\n" + chain(60, "max(min(y, 3 − y), if y > 1 then y/2 else y)")},
	{"sums", "y0 = 2 ± 0.5\n" + chain(40, "sum of y/(i + y) for i from 1 to 3")},
	{"ends that are read", "y0 = 2 ± 0.5\n" + chain(40, "low(y) ± width(y)/high(y)")},
	{"ends read of ends", "y0 = 2 ± 0.5\nE = " + nested(20, "low", "y0 ± 0.1")},
	{"functions of a bracket", "a = 2 ± 0.5\nf(x) = x^2 − x\ng0(x) = f(f(x/2))\n" + functions(12, "g(g(x/2))") + "E = g4(a)\nF = g12(a)\ntable of tolerances of g4(a)"},
	{"nested calls of a bracket", "a = 2 ± 0.5\nf(x) = x^2 − x\nE = " + nested(30, "f", "a/2")},
	{"the slope of nested calls", "f(x) = x^2 − x\nE = derivative of " + nested(30, "f", "x/2") + " for x at 1"},
	{"the slope of nested branches", "f(x) = |x^2 − x|\nE = derivative of " + nested(20, "f", "x/2") + " for x at 1"},
	{"a plot of slopes", "f(x) = x^2 − x\nplot derivative of " + nested(20, "f", "x/2") + " for x at u for u from 1 to 2"},
	{"a function that does not change", "g0(x) = 3\n" + functions(28, "g(x/2) + g(1)") + "E = derivative of t·g3(2) + 0·(if t > 2 then g28(2) else t) for t at 1"},
	{"slopes of slopes", "E = derivative of " + slopeOfSlopes(9) + " for x at 1"},
	{"roots in roots", "E = derivative of " + rootsInRoots(12) + " for x_12 at 2"},
	{"a sum of functions", "g0(x) = x\n" + functions(14, "g(x/2) + g(x/3)") + "E = sum of g14(i) for i from 1 to 100"},
	{"powers in an exponent", "y0 = 3\n" + chain(9, "y^16") + "E = 1.000001^y9"},
	{"definitions in an end", "y0 = 3\n" + chain(7, strings.Repeat("y + ", 300)+"y") + "E = low(y7 ± 1)"},
	{"definitions at a seam", "y0 = 1\n" + chain(7, strings.Repeat("y + ", 200)+"y") + "E = derivative of max(x − y7, 0)·|x − y7| for x at y7"},
	{"long fractions", "z = 1" + strings.Repeat(" + 1/3.1415926535897932384626433832795028841971", 300) + "\nE = low(z ± 1)"},
	{"trials", "vary k from 1 to 5 by 1\ny0 = k/10 ± 0.1\n" + chain(40, "y·(1 − y/4)") + "trials of y40 for k at 1, 2, 3"},
	{"dimensions that clash", "y0 = 3 mm\n" + chain(100, "y + y·(1 s)/(2 s)") + "z = y100 + 1 s"},
}

// mostAllocated bounds what one of these may allocate in all, which counts work and
// not time.
const mostAllocated = 3 << 30

func TestFormulasThatGrow(t *testing.T) {
	for _, c := range growing {
		t.Run(c.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			w := newWorking(t, calcCell("a", c.text))
			for _, r := range w.Results("a") {
				r.Shown()
				if r.Table != nil {
					r.Table.Marked()
				}
				d := r.Diagnostics.FirstError()
				if d != nil && (!d.Span.IsValid() || d.Message == "") {
					t.Errorf("%s: an error without a place or words: %+v", r.Name, d)
				}
			}
			runtime.ReadMemStats(&after)
			if got := after.TotalAlloc - before.TotalAlloc; got > mostAllocated {
				t.Errorf("%d MB were allocated", got>>20)
			}
		})
	}
}

// A chain of brackets still has bounds that hold what its ends come to.
func TestALongChainOfBracketsHoldsItsValues(t *testing.T) {
	w := newWorking(t, calcCell("a", "y0 = 2 ± 0.5\n"+chain(100, "y·(1 − y/4)")))
	for _, start := range []float64{1.5, 1.75, 2, 2.25, 2.5} {
		y := start
		for i := 1; i <= 100; i++ {
			y *= 1 - y/4
			v := find(t, w, "a", fmt.Sprintf("y%d", i)).Value
			if v == nil || !v.IsBracket || !(v.Low <= y*(1+1e-12) && v.High >= y*(1-1e-12)) {
				t.Fatalf("from %v, y%d = %v is not in %+v", start, i, y, v)
			}
			if i == 100 && v.High-v.Low > 0.01 {
				t.Errorf("y100 is known only within %v", v.High-v.Low)
			}
		}
	}
}
