package exercises

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
)

func expected(t *testing.T, v *Variant, part string) Expected {
	t.Helper()
	e, err := v.Expected(context.Background(), part)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// The values are those printed in the books; both use θ = TL/(JG) for a solid
// shaft of one diameter. A slip leads to the printed value times the factor that
// it means.
func TestExpectedHoldsWithPrintedAnswers(t *testing.T) {
	for _, c := range []struct {
		name, block, unit string
		printed           float64
		slips             map[string]float64
	}{
		{
			// F.L. Singer and A. Pytel, Strength of Materials, problem 304 (the answer
			// from memory).
			name: "twist of a shaft of 4 in",
			block: "title: A\ngiven:\n  T: 15 kip·ft\n  L: 3 ft\n  d: 4 in\n  G: 12·10^6 psi\nask: The twist\n" +
				"answer: T·L/(G·π/32·d^4)\nunit: deg\ntolerance: 3 figures\nslips: [radius-for-diameter, bending-for-torsion]\n",
			unit: "deg", printed: 1.23,
			slips: map[string]float64{"radius-for-diameter": 16, "bending-for-torsion": 2},
		},
		{
			// J.M. Gere, Mechanics of Materials, 6th ed., problem 3.3-8: the torque at
			// 2° in 3 m (looked up).
			name: "torque at a limit of twist",
			block: "title: A\ngiven:\n  θ: 2 deg\n  L: 3 m\n  d: 100 mm\n  G: 80 GPa\nask: The torque\n" +
				"answer: G·π/32·d^4·θ/L\nunit: N·m\ntolerance: 3 figures\nslips: [radius-for-diameter]\n",
			unit: "N·m", printed: 9140,
			slips: map[string]float64{"radius-for-diameter": 1.0 / 16},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			near := func(what, text string, want float64) {
				t.Helper()
				if got := amount(t, text, c.unit); math.Abs(got-want) > 0.005*want { // three figures are printed
					t.Errorf("%s is %s; from the book it is %g %s", what, text, want, c.unit)
				}
			}
			e := expected(t, set(t, c.block), "")
			near("the value", e.Value, c.printed)
			if amount(t, e.From, c.unit) > c.printed || amount(t, e.To, c.unit) < c.printed {
				t.Errorf("%g %s is printed, and right is from %s to %s", c.printed, c.unit, e.From, e.To)
			}
			for _, w := range e.Slips {
				if len(w.Values) != 1 {
					t.Fatalf("%s leads to %v", w.Name, w.Values)
				}
				near(w.Name, w.Values[0], c.printed*c.slips[w.Name])
			}
			if len(e.Slips) != len(c.slips) {
				t.Errorf("%d slips, not %d", len(e.Slips), len(c.slips))
			}
		})
	}
}

// amount reads a value in a unit.
func amount(t *testing.T, text, unit string) float64 {
	t.Helper()
	var x float64
	if _, err := fmt.Sscanf(text, "%g "+unit, &x); err != nil {
		t.Fatalf("%q is not in %s: %s", text, unit, err)
	}
	return x
}

// Every value that is said for a slip is marked as that slip, and the ends of
// what is right are right while what lies just beyond is not.
func TestExpectedAgreesWithMarking(t *testing.T) {
	v := set(t, quill)
	e := expected(t, v, "twist")
	if got := mark(t, v, "twist", e.Value); got.Kind != marking.Right {
		t.Errorf("%s: %+v", e.Value, got)
	}
	for _, w := range e.Slips {
		for _, value := range w.Values {
			if got := mark(t, v, "twist", value); !slices.Contains(got.Slips, w.Name) {
				t.Errorf("%s for %s: %+v", value, w.Name, got)
			}
		}
	}
	right := quillTwist * 180 / math.Pi
	if low, high := amount(t, e.From, "deg"), amount(t, e.To, "deg"); math.Abs(low-0.995*right) > 1e-5 || math.Abs(high-1.005*right) > 1e-5 {
		t.Errorf("right from %s to %s of %g deg", e.From, e.To, right)
	}
	if e.Within != "0.5 %" {
		t.Errorf("within %s", e.Within)
	}
	if e.Low.Is != "the uniform shaft of the thick end" || e.Low.Value != inFour(uniformTwist(0.054)) || e.High.Value != inFour(uniformTwist(0.036)) {
		t.Errorf("bounds %+v and %+v", *e.Low, *e.High)
	}
	if e.Route == nil || e.Route.Result != e.Value {
		t.Errorf("the second way is %+v", e.Route)
	}
	if want := []string{"G = G", "solid d_0 to d_1 for L", "hold at 0 mm", "torque T at L"}; !slices.Equal(e.Shaft, want) {
		t.Errorf("the shaft is %q", e.Shaft)
	}
}

func inFour(rad float64) string { return fmt.Sprintf("%.4g deg", rad*180/math.Pi) }

func TestExpectedSteps(t *testing.T) {
	v := set(t, `title: A
given:
  T: 420 N·m
  L: 0.8 m
  d: 36 mm
work: |
  θ_s = T·L/(G·J(d))
  J(x) = π/32·x^4
  G = 79 GPa
  other = 2·L
ask: The twist
answer: 1.5·θ_s
unit: deg
`)
	var got []string
	for _, s := range expected(t, v, "").Steps {
		line := s.Symbol + " = " + notation.Print(s.Formula)
		if s.Numbers != nil {
			line += " = " + notation.Print(s.Numbers)
		}
		got = append(got, line+" = "+s.Result)
	}
	// 420·0.8/(79·10⁹·π/32·0.036⁴) = 0.025793 rad, by hand.
	want := []string{
		"θ_s = T·L/(G·J(d)) = 420 N·m · 0.8 m / (79 GPa · J(36 mm)) = 0.02579 rad",
		"J(x) = π/32·x^4 = ",
		"G = 79 GPa = 79 GPa",
		" = 1.5·θ_s = 1.5·0.02579 rad = 2.217 deg",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A working may end in a name; its line is then the last.
func TestExpectedEndsInAName(t *testing.T) {
	v := set(t, `title: A
given:
  D: 48 mm
  b: 32 mm
work: |
  size = √(D·b)
  half = b/2
ask: The mean diameter
answer: size
unit: cm
`)
	steps := expected(t, v, "").Steps
	if len(steps) != 1 || steps[0].Symbol != "size" || steps[0].Result != "3.919 cm" {
		t.Errorf("%+v", steps)
	}
}

func TestExpectedPickAndFormula(t *testing.T) {
	v := set(t, quill)
	pick := expected(t, v, "which")
	if pick.Value != "At the thin end" || pick.Why == "" || len(pick.Steps) != 0 || len(pick.Slips) == 0 || pick.Slips[0].Says == "" {
		t.Errorf("%+v", pick)
	}
	formula := expected(t, v, "formula")
	if formula.From != "" || formula.Within != "" || len(formula.Steps) != 1 || formula.Value != inFour(uniformTwist(0.036)) {
		t.Errorf("%+v", formula)
	}
	if len(formula.Slips) != 2 || !slices.Equal(formula.Slips[0].Values, []string{inFour(2 * uniformTwist(0.036))}) {
		t.Errorf("%+v", formula.Slips)
	}
	if _, err := v.Expected(context.Background(), "nowhere"); err == nil {
		t.Error("a part that is not there has an answer")
	}
}
