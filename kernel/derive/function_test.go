package derive

import (
	"context"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// A line that is proved for T(x) takes the place of its integral below, also where
// x is restricted, if it holds for every x: no integral is left within another.
func TestProvedLineOfAFunctionIsUsed(t *testing.T) {
	const given = "given q: N·m/m > 0, G: stress > 0, L: length > 0, J: m^4 > 0, x: length\ngiven 0 m ≤ x ≤ L\n"
	for _, test := range []struct {
		name, text string
		inside     int // integrals in the first line of θ
	}{
		{"sine", given + "T(x) = integral of q·sin(π·s/L) for s from x to L\n= q·L/π·(1 + cos(π·x/L))\nθ = integral of T(x)/(G·J) for x from 0 m to L", 1},
		{"triangle", given + "T(x) = integral of q·s/L for s from x to L\n= q·(L^2 − x^2)/(2·L)\nθ = integral of T(x)/(G·J) for x from 0 m to L", 1},
		{"not proved", given + "T(x) = integral of q·sin(π·s/L) for s from x to L\n= q·L/π·(1 − cos(π·x/L))\nθ = integral of T(x)/(G·J) for x from 0 m to L", 2},
		{"for the range only", given + "T(x) = integral of q·√(s^2)/L for s from x to L\n= q·(L^2 − x^2)/(2·L)\nθ = integral of T(x)/(G·J) for x from 0 m to L", 2},
	} {
		t.Run(test.name, func(t *testing.T) {
			cell, list := notation.ParseDerivation(source.NewText("", test.text))
			if list.HasErrors() {
				t.Fatal(list.FirstError().Render())
			}
			j := newJudge(context.Background(), cell, Settings{})
			for _, line := range cell.Lines {
				j.line(line)
			}
			if n := len(binds(j.above.full, notation.Integral)); n != test.inside {
				t.Errorf("%d integrals, want %d", n, test.inside)
			}
		})
	}
}
