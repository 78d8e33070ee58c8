package figure

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestTraceSaysWhatTheSVGSays holds the trace of every kind of figure against
// its SVG: the same size, the same texts in the same order, nothing outside.
func TestTraceSaysWhatTheSVGSays(t *testing.T) {
	for _, g := range galleryPictures {
		t.Run(g.name, func(t *testing.T) {
			o := Options{ID: "f", Width: 480}
			trace, err := g.pic().Trace(o)
			if err != nil {
				t.Fatal(err)
			}
			svg, err := g.pic().SVG(o)
			if err != nil {
				t.Fatal(err)
			}
			if box := fmt.Sprintf(`viewBox="0 0 %g %g"`, trace.Width, trace.Height); !strings.Contains(string(svg), box) {
				t.Errorf("the SVG is not %s", box)
			}
			texts := textsOf(t, svg)
			lines := 0
			for _, m := range trace.Strokes {
				if m.Runs == nil {
					lines++
					m.checkInside(t, trace)
					continue
				}
				text := ""
				for _, r := range m.Runs {
					text += r.Text
				}
				if len(texts) == 0 || texts[0] != text {
					t.Fatalf("the trace has the text %q where the SVG has %q", text, texts)
				}
				texts = texts[1:]
			}
			if len(texts) > 0 || lines == 0 {
				t.Errorf("%d lines and areas; texts left in the SVG: %q", lines, texts)
			}
		})
	}
}

// textsOf lists the text elements of an SVG without their marks.
func textsOf(t *testing.T, svg []byte) []string {
	t.Helper()
	var list []string
	for _, part := range strings.Split(string(svg), "<text ")[1:] {
		_, part, _ = strings.Cut(part, ">")
		part, _, _ = strings.Cut(part, "</text>")
		text := ""
		for part != "" {
			before, rest, _ := strings.Cut(part, "<")
			text += before
			_, part, _ = strings.Cut(rest, ">")
		}
		list = append(list, strings.NewReplacer("&lt;", "<", "&gt;", ">", "&quot;", `"`, "&amp;", "&").Replace(text))
	}
	return list
}

func (m *Stroke) checkInside(t *testing.T, of *Trace) {
	t.Helper()
	for _, s := range m.Steps {
		if s.Kind != ClosePath && !(s.X > -3 && s.X < of.Width+3 && s.Y > -3 && s.Y < of.Height+3) {
			t.Errorf("a line leads to %g, %g of %g, %g", s.X, s.Y, of.Width, of.Height)
		}
	}
	if !m.Fill && !(m.Width > 0) {
		t.Errorf("a line is %g wide", m.Width)
	}
}

// A circle of four cubic curves leaves the true one by 2.7·10⁻⁴ of its radius
// at most (the known figure for the usual control points; from memory).
func TestTraceOfACircle(t *testing.T) {
	c := &traceCanvas{t: &Trace{Height: 100}, state: traceState{m: affine{a: 1, d: 1}}}
	newPen(c, 100).disc(inkMain, xy{40, 30}, 10)
	steps := c.t.Strokes[0].Steps
	curves := 0
	x, y := steps[0].X, steps[0].Y
	for _, s := range steps {
		if s.Kind == CurveTo {
			curves++
			// The middle of a cubic curve.
			mx, my := (x+3*s.X1+3*s.X2+s.X)/8, (y+3*s.Y1+3*s.Y2+s.Y)/8
			if r := math.Hypot(mx-40, my-30); math.Abs(r-10) > 2.8e-3 {
				t.Errorf("the middle of a curve is %g from the centre", r)
			}
		}
		x, y = s.X, s.Y
	}
	if curves != 4 || steps[len(steps)-1].Kind != ClosePath {
		t.Errorf("%d curves: %+v", curves, steps)
	}
}

// On paper a drawing is to one of the usual scales and names it: what is
// measured on it, times the scale, is the length that it stands for.
func TestPaperIsToScale(t *testing.T) {
	for _, c := range []struct {
		name  string
		shaft *ShaftDrawing
		says  string
	}{
		{"a taper, thickened", quill(), "Scale of lengths 1:10. Diameters drawn 4 times larger than lengths."},
		{"short and thick", layShaft(), "Scale 1:5."},
		{"shortened", wheelShaft(), "Scale 1:5. Shortened at the break lines."},
		{"a thin bar", &ShaftDrawing{LengthUnit: "mm", Pieces: []Piece{{From: 0, To: 800, Outer: straight(0, 800, 36, 36)}}}, "Scale 1:2. Shortened at the break lines."},
		{"a pin", &ShaftDrawing{LengthUnit: "mm", Pieces: []Piece{{From: 0, To: 20, Outer: straight(0, 20, 6, 4)}}}, "Scale 5:1."},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := c.shaft.plan(Options{Paper: true})
			if got := strings.Join(l.notes, " "); !strings.Contains(got, c.says) {
				t.Errorf("says %q, not %q", got, c.says)
			}
			scale := scaleIn(t, l.scaleText())
			if d, drawn := c.shaft.greatestDiameter(), 2*l.radius*MillimetresPerUnit; math.Abs(drawn-d*scale*l.times) > 1e-9*d {
				t.Errorf("a diameter of %g mm is drawn %g mm large at %s, %g times larger", d, drawn, l.scaleText(), l.times)
			}
			if a, b := c.shaft.ends(); len(l.breaks) == 0 {
				if drawn := (l.u(b) - l.u(a)) * MillimetresPerUnit; math.Abs(drawn-(b-a)*scale) > 1e-9*b {
					t.Errorf("%g mm are drawn %g mm long at %s", b-a, drawn, l.scaleText())
				}
			}
			if out := overlapsOn(l); len(out) > 0 {
				t.Error(out)
			}
			svg, err := c.shaft.SVG(Options{Paper: true})
			if err != nil || !strings.Contains(string(svg), `width="160mm"`) {
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
