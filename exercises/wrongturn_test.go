package exercises

import (
	"context"
	"fmt"
	"math"
	"testing"

	"shaftbook/kernel/source"
)

// TestWrongTurn compares the line at which each slip is shown with the line in which
// somebody who makes it goes wrong (common practice, no source); −1 where it may be more
// than one.
func TestWrongTurn(t *testing.T) {
	const (
		given   = "title: t\nask: The value\n"
		uniform = given + "given: {T: 420 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}\nanswer: T·L/(G·π/32·d^4)\nunit: deg\n" +
			"solution:\n  - J = π/32·d^4 because it is round\n  - θ = T·L/(G·J) in deg because it is uniform\n"
		oneLine = given + "given: {T: 420 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}\nanswer: T·L/(G·π/32·d^4)\nunit: deg\nsolution: [T·L/(G·π/32·d^4) because it is uniform]\n"
		radius  = given + "given: {T: 420 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}\nanswer: T·L/(G·π/32·d^4)\n" +
			"solution:\n  - r = d/2 because it is half\n  - J = π/2·r^4 because it is round\n  - θ = T·L/(G·J) because it is uniform\n"
		taper = given + "given: {T: 420 N·m, L: 0.8 m, d_0: 60 mm, d_1: 30 mm, G: 79 GPa}\nanswer: 32·T·L/(3·π·G·(d_1 − d_0))·(1/d_0^3 − 1/d_1^3)\n" +
			"solution:\n  - d(x) = d_0 + (d_1 − d_0)·x/L because it grows evenly\n  - J(x) = π/32·d(x)^4 because it is round\n  - θ = integral of T/(G·J(x)) for x from 0 m to L because thin slices add up\n"
		hollow = given + "given: {T: 420 N·m, L: 0.8 m, D: 60 mm, b: D − 20 mm, G: 79 GPa}\nanswer: T·L/(G·π/32·(D^4 − b^4))\n" +
			"solution:\n  - J = π/32·(D^4 − b^4) because the bore is missing\n  - θ = T·L/(G·J) because it is uniform\n"
		halves = given + "given: {T: 420 N·m, L: 0.8 m, D: 60 mm, b: D − 20 mm, G: 79 GPa}\nanswer: T·L/(G·π/32·(D^4 − b^4))\n" +
			"solution:\n  - J_D = π/32·D^4 because it is round\n  - J_b = π/32·b^4 because it is round\n  - θ = T·L/(G·(J_D − J_b)) because it is uniform\n"
		power = given + "given: {P: 20 kW, n: 720 rpm, d: 36 mm}\nanswer: 16·P/n/(π·d^3)\n" +
			"solution:\n  - T = P/n because power is torque times speed\n  - τ = 16·T/(π·d^3) because it is round\n"
		angle = given + "given: {T: 420 N·m, θ: 1.2 deg, L: 0.8 m, d: 36 mm}\nanswer: T·L/(θ·π/32·d^4)\nunit: GPa\n" +
			"solution:\n  - J = π/32·d^4 because it is round\n  - G = T·L/(θ·J) because it is uniform\n"
		twoEnds = given + "given: {T_1: 420 N·m, T_2: −120 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}\nanswer: (T_1 + T_2)·L/(G·π/32·d^4)\n" +
			"solution:\n  - T = T_1 + T_2 because both act on it\n  - J = π/32·d^4 because it is round\n  - θ = T·L/(G·J) because it is uniform\n"
		twice = given + "given: {T: 420 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}\nanswer: T·L/(G·π/32·d^4) + T·L/2/(G·π/32·d^4)\n" +
			"solution:\n  - J = π/32·d^4 because it is round\n  - θ_1 = T·L/(G·J) because it is uniform\n  - θ_2 = T·L/2/(G·J) because it is half as long\n  - θ = θ_1 + θ_2 because they add up\n"
	)
	for _, c := range []struct {
		name, block, slip string
		line              int
		factor            float64 // of the line's value; 0 for a function
	}{
		{"uniform", uniform, "radius-for-diameter", 0, 1. / 16},
		{"uniform", uniform, "diameter-for-radius", 0, 16},
		{"uniform", uniform, "bending-for-torsion", 0, 0.5},
		{"uniform", uniform, "young-for-shear", 1, 1 / 2.6},
		{"uniform", uniform, "torque-twice", 1, 2},
		{"uniform", uniform, "radians-for-degrees", 1, math.Pi / 180},
		{"uniform", uniform, "degrees-for-radians", -1, 0},
		{"uniform", uniform, "millimetres", -1, 0},
		{"uniform", uniform, "power-of-ten", -1, 0},
		{"in one line", oneLine, "radius-for-diameter", 0, 16},
		{"in one line", oneLine, "bending-for-torsion", 0, 2},
		{"by the radius", radius, "radius-for-diameter", -1, 0}, // r halved, or r halved again
		{"by the radius", radius, "bending-for-torsion", 1, 0.5},
		{"taper", taper, "small-end", 0, 0},
		{"taper", taper, "mean-diameter", 0, 0},
		{"taper", taper, "taper-reversed", 0, 0},
		{"taper", taper, "mean-of-twists", -1, 0},
		{"taper", taper, "mean-of-moments", -1, 0},
		{"taper", taper, "bending-for-torsion", 1, 0},
		{"taper", taper, "radius-for-diameter", 0, 0},
		{"taper", taper, "torque-twice", 2, 2},
		{"hollow", hollow, "bore-forgotten", 0, 81. / 65},
		{"hollow", hollow, "bore-before-power", 0, 1. / 65},
		{"hollow in two lines", halves, "bore-before-power", -1, 0},
		{"hollow in two lines", halves, "bore-forgotten", 1, 0},
		{"power", power, "revolutions-for-radians", 0, 2 * math.Pi / 60},
		{"power", power, "radius-for-diameter", 1, 8},
		{"angle given", angle, "degrees-for-radians", 1, math.Pi / 180},
		{"angle given", angle, "radius-for-diameter", 0, 1. / 16},
		{"two ends", twoEnds, "torque-sign", 0, 1.8},
		{"in two pieces", twice, "torque-twice", -1, 0}, // in both lines
		{"in two pieces", twice, "radius-for-diameter", 0, 1. / 16},
		{"in two pieces", twice, "one-piece", -1, 0},
		{"in two pieces", twice, "young-for-shear", -1, 0},
	} {
		t.Run(c.name+" "+c.slip, func(t *testing.T) {
			v := set(t, c.block)
			s, ok := v.markers[0].SlipNamed(c.slip)
			if !ok {
				t.Fatal("no such slip")
			}
			line, factor := -1, 0.0
			if values, err := v.markers[0].SlipValues(context.Background(), s); err == nil {
				w := turnAt(t, v, "part-1", c.slip, values[0])
				if w != nil {
					line, factor = w.Line, w.Factor
				}
			} else if c.line >= 0 {
				t.Fatal(err)
			}
			if line != c.line || math.Abs(factor-c.factor) > 1e-6*math.Abs(c.factor) && c.factor != 0 {
				t.Errorf("line %d, %g times; want line %d, %g times", line, factor, c.line, c.factor)
			}
		})
	}
}

func turnAt(t testing.TB, v *Variant, part, slip string, value float64) *WrongTurn {
	t.Helper()
	i, err := v.partIndex(part)
	if err != nil {
		t.Fatal(err)
	}
	w, err := v.WrongTurn(context.Background(), part, slip, value/v.markers[i].Key.Value)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// TestWrongTurnOfFormula wants a wrong formula of an author at the line that it differs
// from, and at none where its factor may have come in anywhere.
func TestWrongTurnOfFormula(t *testing.T) {
	const block = "title: t\ngiven: {T: 420 N·m, L: 0.8 m, D: 60 mm, b: D − 20 mm, G: 79 GPa, E: 206 GPa}\nask: The value\nanswer: T·L/(G·π/32·(D^4 − b^4))\n" +
		"solution:\n  - J = π/32·(D^4 − b^4) because the bore is missing\n  - θ = T·L/(G·J) because it is uniform\nslips: [{name: own, says: Wrong., formula: \"%s\"}]\n"
	for _, c := range []struct {
		formula string
		line    int
	}{
		{"T·L/(G·π/64·(D^4 − b^4))", 0},
		{"T·L/(G·π/32·(D − b)^4)", 0},
		{"T·L/(E·π/32·(D^4 − b^4))", 1},
		{"T·(2·L)/(G·π/32·(D^4 − b^4))", -1}, // the 2 may be of either line
		{"T·(L + D)/(G·π/32·(D^4 − b^4))", 1},
		{"T·L/(E·π/32·(D − b)^4)", -1}, // two slips at once
		{"T·L/G/(π/32)/(D^4 + b^4)", 0},
	} {
		t.Run(c.formula, func(t *testing.T) {
			e, list := Parse("t", source.NewText("block", fmt.Sprintf(block, c.formula)))
			if list.HasErrors() {
				t.Fatal(list.Err())
			}
			v, err := e.Variant(context.Background(), HeadlessKey, "Student 01", 0)
			if err != nil {
				t.Fatal(err)
			}
			line := -1
			if w := turnAt(t, v, "part-1", "own", v.markers[0].Key.Slips[0].Values[0]); w != nil {
				line = w.Line
			}
			if line != c.line {
				t.Errorf("line %d, want %d", line, c.line)
			}
		})
	}
}
