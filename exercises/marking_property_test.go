package exercises

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/exercises/marking"
)

// tapers has bounds that lie close to the answer, so that rounding crosses them.
const tapers = `title: A slight taper
given:
  T: {from: 200 N·m, to: 500 N·m, by: 1 N·m}
  L: {from: 0.4 m, to: 1.2 m, by: 0.01 m}
  d_0: {from: 30 mm, to: 40 mm, by: 0.5 mm}
  c: {from: 0.1 mm, to: 6 mm, by: 0.1 mm}
  d_1: d_0 + c
  G: {from: 70 GPa, to: 82 GPa, by: 0.5 GPa}
ask: The twist
answer: 32·T·L/(3·π·G)·(d_0^2 + d_0·d_1 + d_1^2)/(d_0^3·d_1^3)
unit: deg
tolerance: 0.01 %
bounds: {low: T·L/(G·π/32·d_1^4), high: T·L/(G·π/32·d_0^4)}
`

// TestNothingOutsideTheBoundsIsRightBut draws variants and answers, written to
// one to five figures, around the answer and its bounds: what is said to be right
// but rounded is inside the certain bounds, and it rounds from the exact value at
// the digits written or from a value that was rounded on the way.
func TestNothingOutsideTheBoundsIsRightBut(t *testing.T) {
	e := set(t, tapers).Exercise
	early, outside := 0, 0
	for i := range 1000 {
		v, err := e.Variant(t.Context(), HeadlessKey, fmt.Sprintf("Student %d", i), 0)
		if err != nil {
			t.Fatal(err)
		}
		k := v.markers[0].Key
		x := k.Value * 180 / math.Pi
		low, high := k.Low*180/math.Pi, k.High*180/math.Pi
		for figures := 1; figures <= 4; figures++ {
			for _, at := range [][]float64{{x, low}, {x, high}, {0.97 * x, low}, {x, 1.05 * x}}[(i+figures)%4] {
				answer := fmt.Sprintf("%.*g deg", figures, at)
				got := mark(t, v, "", answer)
				var typed float64
				fmt.Sscanf(answer, "%g", &typed)
				isOutside := typed < low*(1-1e-12) || typed > high*(1+1e-12)
				if isOutside {
					outside++
				}
				if got.Kind != marking.RoundedEarly {
					continue
				}
				early++
				if isOutside {
					t.Errorf("%s with bounds %.6g and %.6g: %s", answer, low, high, got.Message)
				}
			}
		}
	}
	if early < 200 || outside < 200 {
		t.Errorf("%d rounded, %d outside: too few to mean something", early, outside)
	}
}

// TestEveryTextIsRead types what rapid makes of digits, marks and units: there is a
// verdict on all of it, what was read has one reading, and it gives the same.
func TestEveryTextIsRead(t *testing.T) {
	v := set(t, quill)
	pieces := []string{"0", "1", "12", "693", ",", ".", " ", "=", "≈", "deg", "rad", "°", "′", "'", "\"", "(", ")", "T", "θ", "·", "-", "−", "×10", "^", "e", "N", "m", "lb", "ft", "/", "%", "x", "±", "²"}
	rapid.Check(t, func(t *rapid.T) {
		text := ""
		for _, piece := range rapid.SliceOfN(rapid.SampledFrom(pieces), 1, 9).Draw(t, "pieces") {
			text += piece
		}
		for _, part := range []string{"twist", "formula"} {
			got, err := v.Mark(t.Context(), part, text)
			if err != nil || got.Kind == "" || got.Message == "" {
				t.Fatalf("%q: %+v, %v", text, got, err)
			}
			if got.Text == "" {
				continue
			}
			again, err := v.MarkText(t.Context(), part, got.Text, text)
			if err != nil || again.Kind != got.Kind || again.Text != got.Text {
				t.Fatalf("%q is read as %q: %s, and that as %s, %v", text, got.Text, got.Kind, again.Kind, err)
			}
		}
	})
}
