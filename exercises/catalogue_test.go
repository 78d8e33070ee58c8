package exercises

import (
	"context"
	"math"
	"testing"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// TestCatalogueFactors compares what each slip does to an answer with the
// factor that is known for it.
//
// The factors on a uniform shaft follow from θ = 32·T·L/(π·G·d⁴) (Gere,
// Mechanics of Materials, Eq. 3-15) and τ = 16·T/(π·d³) (Eq. 3-14); equation
// numbers from memory. Those on a taper of 60 mm to 30 mm, three figures, were
// worked out from Eq. 3-27 of the same book:
// mean diameter 0.677, mean of J 0.403, mean of the two flexibilities 1.821.
func TestCatalogueFactors(t *testing.T) {
	const (
		uniform = "given: {T: 420 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}\nanswer: T·L/(G·π/32·d^4)\n"
		taper   = "given: {T: 420 N·m, L: 0.8 m, d_0: 60 mm, d_1: 30 mm, G: 79 GPa}\nanswer: 32·T·L/(3·π·G·(d_1 − d_0))·(1/d_0^3 − 1/d_1^3)\n"
		inShaft = "given: {T: 420 N·m, L: 0.8 m, d_0: 60 mm, d_1: 30 mm, G: 79 GPa}\nanswer: S.twist\nshaft: |\n  G = G\n  solid d_0 to d_1 for L\n  hold at 0 mm\n  torque T at L\n"
		stress  = "given: {T: 420 N·m, L: 0.8 m, d_0: 60 mm, d_1: 30 mm}\nanswer: S.stress_max\nshaft: |\n  G = 79 GPa\n  solid d_0 to d_1 for L\n  hold at 0 mm\n  torque T at L\n"
		hollow  = "given: {T: 420 N·m, L: 0.8 m, D: 60 mm, b: D − 20 mm, G: 79 GPa}\nanswer: T·L/(G·π/32·(D^4 − b^4))\n"
		held    = "given: {T: 420 N·m, a: 0.5 m, c: 0.3 m, d_a: 40 mm, d_c: 30 mm, G: 79 GPa}\nanswer: −S.reaction(0 m)\nshaft: |\n  G = G\n  solid d_a for a\n  solid d_c for c\n  hold at 0 mm\n  hold at a + c\n  torque T at a\n"
		power   = "given: {P: 20 kW, n: 720 rpm}\nanswer: P/n\n"
		twoEnds = "given: {T_1: 420 N·m, T_2: −120 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}\nanswer: (T_1 + T_2)·L/(G·π/32·d^4)\n"
		angleIn = "given: {T: 420 N·m, θ: 1.2 deg, L: 0.8 m, d: 36 mm}\nanswer: T·L/(θ·π/32·d^4)\nunit: GPa\n"
		cosine  = "given: {a: 2 m, α: 30 deg}\nanswer: a·cos(α)\n"
		share   = "given: {d: 36 mm, D: 54 mm}\nanswer: (d/D)^4\n"
		signed  = "given: {T: 420 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}\nsign: The sense of T counts as positive\nanswer: T·L/(G·π/32·d^4)\nunit: deg\n"
		pieces  = "given: {T: 420 N·m, L: 0.8 m, d_0: 60 mm, d_1: 30 mm, G: 79 GPa}\nanswer: S.twist\nunit: deg\nshaft: |\n  G = G\n  solid d_0 for L\n  solid d_1 for L/2\n  hold at 0 mm\n  torque T at L + L/2\n"
		inSum   = "given: {T: 420 N·m, L: 0.8 m, d_0: 60 mm, d_1: 30 mm, G: 79 GPa}\nwork: first = T·L/(G·π/32·d_0^4)\nanswer: first + T·(L/2)/(G·π/32·d_1^4)\nunit: deg\n"
		series  = "given: {T: 420 N·m, L: 0.8 m, d_a: 60 mm, d_b: 30 mm, G: 79 GPa}\nanswer: T·L/(G·π/32·d_a^4) + T·(L/2)/(G·π/32·d_b^4)\nunit: deg\n"
		loads   = "given: {T_a: 420 N·m, T_b: 140 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}\nanswer: T_a·L/(G·π/32·d^4) + T_b·L/(G·π/32·d^4)\nunit: deg\n"
		stiff   = "given: {L: 0.8 m, d: 36 mm, G: 79 GPa}\nanswer: G·π/32·d^4/L\nunit: N·m/rad\n"
		radius  = "given: {T: 420 N·m, L: 0.8 m, r: 18 mm, G: 79 GPa}\nanswer: T·L/(G·π/2·r^4)\n"
	)
	solidShare := math.Pow(40, 4) * 0.3 / (math.Pow(40, 4)*0.3 + math.Pow(30, 4)*0.5) // of the hold at x = 0
	for _, c := range []struct {
		slip, block string
		factor      float64
		within      float64
	}{
		{"radius-for-diameter", uniform, 16, 1e-12},
		{"radius-for-diameter", taper, 16, 1e-9},
		{"radius-for-diameter", inShaft, 16, 1e-9},
		{"radius-for-diameter", hollow, 16, 1e-9},
		{"radius-for-diameter", stress, 8, 1e-9},
		{"diameter-for-radius", radius, 1. / 16, 1e-12},
		{"diameter-for-radius", uniform, 1. / 16, 1e-12},
		{"bending-for-torsion", uniform, 2, 1e-12},
		{"bending-for-torsion", inShaft, 2, 1e-9},
		{"bending-for-torsion", stress, 2, 1e-9},
		{"young-for-shear", uniform, 1 / 2.6, 1e-12}, // 1/(2·(1+ν)), ν = 0.3
		{"radians-for-degrees", uniform, math.Pi / 180, 1e-12},
		{"degrees-for-radians", uniform, 180 / math.Pi, 1e-12},
		{"radians-for-degrees", angleIn, 180 / math.Pi, 1e-12}, // θ is in the denominator
		{"degrees-for-radians", angleIn, math.Pi / 180, 1e-12},
		{"degrees-for-radians", cosine, math.Cos(30) / math.Cos(math.Pi/6), 1e-9},
		{"percent-for-fraction", share, 100, 1e-12},
		{"flipped-sign", signed, -1, 1e-12},
		{"power-of-ten", uniform, 10, 1e-12},
		{"one-piece", pieces, 1. / 9, 1e-9}, // 1 of 1 + 2⁴/2
		{"one-piece", inSum, 1. / 9, 1e-9},
		{"millimetres", uniform, 1000, 1e-12},
		{"decimal-place", uniform, 10, 1e-12}, // L, the first length
		{"mean-diameter", taper, 0.677, 1e-3},
		{"mean-diameter", inShaft, 0.677, 1e-3},
		{"mean-of-moments", taper, 0.403, 1e-3},
		{"mean-of-moments", inShaft, 0.403, 1e-3},
		{"mean-of-twists", taper, 1.821, 1e-3},
		{"small-end", inShaft, 24. / 7, 1e-9}, // 3β³/(β² + β + 1), β = 2
		{"large-end", inShaft, 3. / 14, 1e-9}, // the same over 2⁴
		{"wrong-end", stress, 1. / 8, 1e-9},   // (d_small/d_large)³
		{"torque-twice", uniform, 2, 1e-12},   // T enters once
		{"torque-sign", twoEnds, 1.8, 1e-12},  // 540/300
		{"bore-forgotten", hollow, 65. / 81, 1e-9},
		{"bore-before-power", hollow, 65, 1e-9}, // (60⁴ − 40⁴)/20⁴
		{"split-by-length", held, 0.375 / solidShare, 1e-9},
		{"revolutions-for-radians", power, 2 * math.Pi / 60, 1e-12},
		{"stiffnesses-added", series, 8. / 81, 1e-9}, // twists 1 and 8: (1·8/9)/9
		{"one-torque-everywhere", loads, 1.5, 1e-12}, // 840/560
		{"wrong-power", taper, 3, 1e-12},             // without the /3 of u⁻³/−3
		{"chain-rule", taper, 0.0375, 1e-9},          // k = 30 mm/800 mm
		{"stiffness-per-degree", stiff, math.Pi / 180, 1e-12},
		{"dropped-factor", uniform, 3, 1e-12},
	} {
		t.Run(c.slip, func(t *testing.T) {
			v := set(t, "title: t\nask: The value\n"+c.block)
			general, _ := marking.LookupSlip(c.slip)
			s := &marking.Slip{Name: c.slip, General: general}
			if s.General.TakesFactor {
				s.Factor, _ = notation.ParseExpr(source.NewText("", "3"))
			}
			k := v.markers[0].Key
			got, err := v.markers[0].SlipValues(context.Background(), s)
			if err != nil {
				t.Fatal(err)
			}
			if r := got[0] / k.Value; math.Abs(r-c.factor) > c.within*math.Abs(c.factor) {
				t.Errorf("factor %.9g, want %.9g", r, c.factor)
			}
			if again, _ := v.eval.Value(context.Background(), v.Structure.Parts[0].Answer); again.Value.Number != k.Value {
				t.Errorf("the answer is %g after the slip and was %g before", again.Value.Number, k.Value)
			}
		})
	}
}

// TestCatalogueWords wants of every slip what went wrong and what to look at,
// in sentences.
func TestCatalogueWords(t *testing.T) {
	for _, name := range marking.Catalogue() {
		g, _ := marking.LookupSlip(name)
		for _, s := range []string{g.Says, g.Next} {
			if len(s) < 20 || s[len(s)-1] != '.' && s[len(s)-1] != '?' {
				t.Errorf("%s says %q", name, s)
			}
		}
	}
}
