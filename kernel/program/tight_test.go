package program

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
)

// defined is a scope that knows its definitions, as that of a lesson does.
type defined struct {
	names
	formulas map[string]notation.Expr
}

func (d defined) Definition(ident string) (notation.Expr, bool) {
	e, ok := d.formulas[ident]
	return e, ok
}

// lines reads definitions "J = π/32·d^4; f(x) = 2·x" in order.
func lines(t testing.TB, text string) defined {
	t.Helper()
	d := defined{names{}, map[string]notation.Expr{}}
	for _, line := range strings.Split(text, ";") {
		left, right, _ := strings.Cut(line, "=")
		left, right = strings.TrimSpace(left), strings.TrimSpace(right)
		e := parse(t, right)
		if call, ok := parse(t, left).(*notation.Call); ok {
			f := &Function{Body: e}
			for _, a := range call.Args {
				f.Params = append(f.Params, a.(*notation.Name).Ident)
			}
			d.names[call.Fun.Ident] = f
			continue
		}
		v, list := Evaluate(newRun(), e, d)
		if list.HasErrors() {
			t.Fatal(line, list)
		}
		ident := notation.Canonical(left)
		d.formulas[ident] = e
		if d.names[ident] = Scalar(v.Number); v.IsBracket {
			d.names[ident] = Interval(v.Bracket)
		}
	}
	return d
}

// written are the brackets of a scope that were written as such.
func (d defined) written() (idents []string, at []interval.Interval) {
	for ident, e := range d.formulas {
		if _, ok := e.(*notation.PlusMinus); ok {
			idents, at = append(idents, ident), append(at, interval.Interval(d.names[ident].(Interval)))
		}
	}
	return idents, at
}

// at returns the scope with other objects for some names, and everything that
// depends on them worked out anew, in the order of the lines.
func (d defined) at(t testing.TB, text string, idents []string, values []interval.Interval) names {
	t.Helper()
	s := names{}
	for ident, o := range d.names {
		s[ident] = o
	}
	for i, ident := range idents {
		s[ident] = Interval(values[i])
	}
	for _, line := range strings.Split(text, ";") {
		left, _, _ := strings.Cut(line, "=")
		ident := notation.Canonical(strings.TrimSpace(left))
		e, ok := d.formulas[ident]
		if _, is := e.(*notation.PlusMinus); !ok || is {
			continue
		}
		w := newWalker(newRun(), s)
		if !w.holdsBracket(e) {
			continue
		}
		b, ok := w.interval(e)
		if !ok {
			t.Fatal(line, w.problem)
		}
		s[ident] = Interval(b)
	}
	return s
}

// extent encloses an expression at places of the box of written brackets: ends
// and steps between them. inner lies within the true range, but for rounding;
// visit sees the enclosure of each value.
func (d defined) extent(t testing.TB, text string, e notation.Expr, steps int, visit func(interval.Interval)) (inner interval.Interval) {
	t.Helper()
	e = d.withEnds(e)
	idents, box := d.written()
	places := 1
	for range idents {
		places *= steps + 1
	}
	inner = interval.Interval{Lo: math.Inf(1), Hi: math.Inf(-1)}
	for k := range places {
		at := make([]interval.Interval, len(box))
		for i, x := range box {
			p := x.Lo + (x.Hi-x.Lo)*float64(k%(steps+1))/float64(steps)
			at[i] = point(min(max(p, x.Lo), x.Hi))
			k /= steps + 1
		}
		w := newWalker(newRun(), d.at(t, text, idents, at))
		b, ok := w.interval(e)
		if !ok {
			t.Fatal(w.problem)
		}
		visit(b)
		inner = interval.Interval{Lo: min(inner.Lo, b.Mid()), Hi: max(inner.Hi, b.Mid())}
	}
	return inner
}

// withEnds puts in what an expression reads from its brackets: low(x) is one
// number, whichever value x has.
func (d defined) withEnds(e notation.Expr) notation.Expr {
	if c, ok := e.(*notation.Call); ok && isBracketReader(c.Fun.Ident) {
		if v, list := Evaluate(newRun(), c, d); !list.HasErrors() {
			n := &notation.Number{Value: v.Number}
			n.At = c.Span()
			return n
		}
	}
	return notation.Map(e, d.withEnds)
}

// TestBracketsAreTight compares the width of a bracket with that of values
// taken in it, which is never more than the true one.
func TestBracketsAreTight(t *testing.T) {
	const shop = "T = 420 N·m ± 12 N·m; L = 800 mm; G = 79 GPa; d = 36 mm ± 0.1 mm; b = 54 mm ± 0.1 mm; J(x) = π/32·x^4; J_d = J(d)"
	const fixed = "T = 420 N·m; L = 800 mm; G = 79 GPa; d = 36 mm ± 0.1 mm; b = 54 mm ± 0.1 mm; J(x) = π/32·x^4; J_d = π/32·d^4; closed(a, b) = 32·T·L/(3·π·G)·(a^2 + a·b + b^2)/(a^3·b^3)"
	for name, c := range map[string]struct {
		lines, text string
		most        float64
	}{
		"stress":            {fixed, "T·(d/2)/J(d)", 1.05},
		"through a name":    {fixed, "T·(d/2)/J_d", 1.05},
		"through two names": {shop + "; r = d/2; W = J_d/r", "T/W", 1.05},
		"hollow":            {"T = 420 N·m; D = 40 mm ± 0.1 mm; d = 22 mm; J = π/32·(D^4 − d^4)", "T·D/(2·J)", 1.05},
		"closed taper":      {fixed, "32·T·L/(3·π·G)·(d^2 + d·b + b^2)/(d^3·b^3)", 1.05},
		"thick end":         {"T = 420 N·m; L = 800 mm; G = 79 GPa; d = 30 mm; b = 54 mm ± 0.1 mm", "32·T·L/(3·π·G)·(d^2 + d·b + b^2)/(d^3·b^3)", 1.05},
		"thin end alone":    {"T = 420 N·m; L = 800 mm; G = 79 GPa; d = 36 mm ± 0.1 mm; b = 54 mm; closed(a, b, L) = 32·T·L/(3·π·G)·(a^2 + a·b + b^2)/(a^3·b^3)", "closed(d, b, L)", 1.02},
		"taper as function": {fixed, "closed(d, b)", 1.02},
		"integral":          {fixed, "integral of T/(G·J(d + (b − d)·x/L)) for x from 0 m to L", 1.05},
		"wide taper":        {"T = 420 N·m ± 50 N·m; L = 800 mm; G = 79 GPa ± 5 GPa; d = 36 mm ± 5 mm; b = 54 mm ± 5 mm", "32·T·L/(3·π·G)·(d^2 + d·b + b^2)/(d^3·b^3)", 1.05},
		"wide stress":       {"T = 420 N·m ± 12 N·m; d = 36 mm ± 20 mm", "T·(d/2)/(π/32·d^4)", 1.05},
		"wide hollow":       {"T = 420 N·m; D = 50 mm ± 5 mm; d = 30 mm ± 5 mm; J = π/32·(D^4 − d^4)", "T·D/(2·J)", 1.05},
		"wide integral":     {"T = 420 N·m; L = 800 mm; G = 79 GPa; d = 36 mm ± 3 mm; b = 54 mm ± 3 mm", "integral of T/(G·π/32·(d + (b − d)·x/L)^4) for x from 0 m to L", 1.05},
		"integral of d":     {"L = 800 mm; d = 36 mm ± 1 mm; b = 54 mm ± 1 mm", "(integral of d + (b − d)·x/L for x from 0 m to L)/L", 1.05},
		"integral plus":     {"L = 800 mm; d = 36 mm ± 1 mm; b = 54 mm ± 1 mm", "(integral of (d + (b − d)·x/L)^2 for x from 0 m to L)/(L·b^2)", 1.05},
		"segments":          {"L = 800 mm; d = 36 mm ± 1 mm; b = 54 mm ± 1 mm", "sum of 1/(d + (b − d)·(i − 1/2)/50)^4 for i from 1 to 50", 1.05},
		"largest":           {"d = 36 mm ± 1 mm; b = 54 mm ± 1 mm", "largest of d·x − b·x^2 for x from 0 to 1", 1.05},
		"ratio":             {fixed, "d/(d + 1 mm)", 1.05},
		"twist":             {shop, "T·L/(G·J_d)", 1.02},
		"difference":        {fixed, "d − d + 1 mm·d/d", math.Inf(1)}, // of no width
		"turns":             {"x = 1 ± 0.5", "x·(2 − x)", 1.05},
		"turns twice":       {"x = 0 ± 1.2; y = 1 ± 0.2", "y·x^3 − x·y", 1.05},
		"kinks":             {"x = 1 ± 0.5; y = 1.2 ± 0.1", "|x − y| + x·y", 1.05},
		"jumps":             {"x = 1 ± 0.5", "if x < 1.2 then x·(3 − x) else 2 − x/4 + x·0.1", 1.05},
		"brackets of such":  {"x = 1 ± 0.1; y = x ± 0.2", "y − x", 1.05},
		"reads an end":      {"x = 1 ± 0.1", "x/low(x) − x", 1.05},
	} {
		t.Run(name, func(t *testing.T) {
			d := lines(t, c.lines)
			e := parse(t, c.text)
			got, list := EvaluateBracket(newRun(), e, nil, d)
			if list.HasErrors() {
				t.Fatal(list)
			}
			steps := 20
			if idents, _ := d.written(); len(idents) > 2 || strings.Contains(c.text, "of") {
				steps = 4
			}
			inner := d.extent(t, c.lines, e, steps, func(b interval.Interval) {
				if b.Hi < got.Lo || b.Lo > got.Hi {
					t.Fatalf("%v misses %v", got, b)
				}
			})
			w := newWalker(newRun(), names(d.names))
			before, _ := w.interval(e)
			truth := inner.Hi - inner.Lo
			ratio := (got.Hi - got.Lo) / truth
			t.Logf("%s: %.4g times its range, natural %.4g", c.text, ratio, (before.Hi-before.Lo)/truth)
			if ratio > c.most {
				t.Errorf("%s: %v, %.4g times as wide as %v", c.text, got, ratio, inner)
			}
		})
	}
	d := lines(t, "q = 1 ± 0.5; r(u) = high(u)")
	for text, want := range map[string]float64{"integral of low(q·x) + x for x from 0 to 2": 3, "integral of r(q·x) for x from 0 to 2": 3, "integral of width(q·x) for x from 0 to 2": 2} {
		if b, list := EvaluateBracket(newRun(), parse(t, text), nil, d); list.HasErrors() || !b.Contains(want) {
			t.Errorf("%s is %v %v, want %v", text, b, list, want)
		}
	}
	d = lines(t, "x = 1 ± 0.5; y = 2·x")
	if b, _ := EvaluateBracket(newRun(), parse(t, "y − 2·x"), nil, d); b.Hi-b.Lo > 1e-14 || !b.Contains(0) {
		t.Errorf("y − 2·x is %v", b)
	}
}

// TestTightBracketsNeverMiss: whatever the formula, its value for values of the
// brackets that it depends on, itself enclosed, is not outside of its bracket.
func TestTightBracketsNeverMiss(t *testing.T) {
	if testing.Short() {
		t.Skip("tries hundreds of formulas")
	}
	formulas, refused, outer := 0, 0, t
	rapid.Check(t, func(t *rapid.T) {
		for range 4 {
			var text strings.Builder
			for _, name := range []string{"x", "y"} {
				fmt.Fprintf(&text, "%s = %v ± %v; ", name, rapid.IntRange(-8, 16).Draw(t, name), float64(rapid.IntRange(1, 12).Draw(t, "half"))/8)
			}
			fmt.Fprintf(&text, "c = 1.25; f(u) = %s; ", randomFormula(t, 2, "u", "x", "c"))
			fmt.Fprintf(&text, "g(u, v) = %s", randomFormula(t, 2, "u", "v"))
			formula := randomFormula(t, 4, "x", "y", "c")
			z := randomFormula(t, 2, "x", "y", "f(x)", "g(x, y)")
			if checkNeverMissed(outer, t, text.String(), z, formula) {
				formulas++
			} else {
				refused++
			}
		}
	})
	t.Logf("%d formulas, %d without a value on all of their box", formulas, refused)
	if formulas < 300 {
		t.Errorf("only %d formulas had a value", formulas)
	}
}

func checkNeverMissed(tb testing.TB, t *rapid.T, text, z, formula string) bool {
	d := lines(tb, text)
	if v, list := Evaluate(newRun(), parse(tb, z), d); !list.HasErrors() && v.IsBracket {
		text += "; z = " + z
		d = lines(tb, text)
		formula = "(" + formula + ") − z·x"
	}
	e := parse(tb, formula)
	got, list := EvaluateBracket(newRun(), e, nil, d)
	if list.HasErrors() {
		return false
	}
	d.extent(tb, text, e, 6, func(b interval.Interval) {
		if b.Hi < got.Lo || b.Lo > got.Hi {
			t.Fatalf("%s with %s: %v misses %v", formula, text, got, b)
		}
	})
	return true
}

// randomFormula writes a formula of names that nests as deep as depth.
func randomFormula(t *rapid.T, depth int, names ...string) string {
	if depth == 0 {
		return rapid.SampledFrom(append([]string{"2", "0.3"}, names...)).Draw(t, "leaf")
	}
	part := func() string { return "(" + randomFormula(t, depth-1, names...) + ")" }
	switch rapid.IntRange(0, 15).Draw(t, "operation") {
	case 0, 1:
		return part() + " + " + part()
	case 2, 3:
		return part() + " − " + part()
	case 4, 5:
		return part() + "·" + part()
	case 6:
		return part() + "/(" + part() + "^2 + 1)"
	case 7:
		return part() + "/" + part()
	case 8:
		return part() + "^" + rapid.SampledFrom([]string{"2", "3", "4", "(−1)", "(1/2)"}).Draw(t, "power")
	case 9:
		return rapid.SampledFrom([]string{"sin", "cos", "atan", "exp", "ln", "sqrt", "floor", "abs"}).Draw(t, "function") + part()
	case 10:
		return rapid.SampledFrom([]string{"min", "max", "atan2"}).Draw(t, "function") + "(" + part() + ", " + part() + ")"
	case 11:
		return "(if " + part() + " < " + part() + " then " + part() + " else " + part() + ")"
	case 12:
		return "(sum of i·" + part() + "^i for i from 1 to 3)"
	case 13:
		return "(derivative of w·" + part() + " + w^3 for w at " + part() + ")"
	case 14:
		if names[0] == "x" && len(names) == 3 && depth > 2 {
			return "(low" + part() + "·" + part() + ")"
		}
	case 15:
		return "(integral of |w − " + part() + "| + w^2·" + part() + " for w from 0 to 1)"
	}
	return part()
}
