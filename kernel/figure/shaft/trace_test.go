package shaft

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/figure"
)

// On paper a drawing is to one of the usual scales and names it: what is
// measured on it, times the scale, is the length that it stands for.
func TestPaperIsToScale(t *testing.T) {
	for _, c := range []struct {
		name  string
		shaft *Drawing
		says  string
	}{
		{"a taper, thickened", quill(), "1:10; diameters drawn 3 times"},
		{"short and thick", layShaft(), "Scale 1:5."},
		{"shortened", wheelShaft(), "Scale 1:5. Shortened at the break lines."},
		{"a thin bar", &Drawing{LengthUnit: "mm", Pieces: []Piece{{From: 0, To: 800, Outer: straight(0, 800, 36, 36)}}}, "Scale 1:2. Shortened at the break lines."},
		{"a pin", &Drawing{LengthUnit: "mm", Pieces: []Piece{{From: 0, To: 20, Outer: straight(0, 20, 6, 4)}}}, "Scale 5:1."},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := c.shaft.plan(figure.Options{Paper: true})
			if got := strings.Join(l.notes, " "); !strings.Contains(got, c.says) {
				t.Errorf("says %q, not %q", got, c.says)
			}
			scale := scaleIn(t, l.scaleText())
			if d, drawn := c.shaft.greatestDiameter(), 2*l.radius*figure.MillimetresPerUnit; math.Abs(drawn-d*scale*l.times) > 1e-9*d {
				t.Errorf("a diameter of %g mm is drawn %g mm large at %s, %g times larger", d, drawn, l.scaleText(), l.times)
			}
			if a, b := c.shaft.ends(); len(l.breaks) == 0 {
				if drawn := (l.drawnX(b) - l.drawnX(a)) * figure.MillimetresPerUnit; math.Abs(drawn-(b-a)*scale) > 1e-9*b {
					t.Errorf("%g mm are drawn %g mm long at %s", b-a, drawn, l.scaleText())
				}
			}
			if out := overlapsOn(l); len(out) > 0 {
				t.Error(out)
			}
			svg, err := c.shaft.SVG(figure.Options{Paper: true})
			if err != nil || !strings.Contains(string(svg), `width="159.6mm"`) {
				t.Errorf("the SVG does not say its size: %v %.120s", err, svg)
			}
		})
	}
}

func scaleIn(t *testing.T, text string) float64 {
	t.Helper()
	var a, b float64
	if _, err := fmt.Sscanf(text, "%g:%g", &a, &b); err != nil {
		t.Fatal(text, err)
	}
	return a / b
}

func TestUsualScale(t *testing.T) {
	for r, want := range map[float64]float64{
		1: 1, 0.99: 0.5, 0.5: 0.5, 0.3: 0.2, 0.2: 0.2, 0.11: 0.1, 0.1: 0.1, 0.021: 0.02, 0.0101: 0.01, 0.0099: 0.005,
		1.9: 1, 2: 2, 4.9: 2, 5: 5, 9.9: 5, 10: 10, 25: 20, 70: 50,
	} {
		if got := usualScale(r); math.Abs(got-want) > 1e-12 {
			t.Errorf("below %g: %g, not %g", r, got, want)
		}
	}
}
