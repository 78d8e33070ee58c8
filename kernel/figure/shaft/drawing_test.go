package shaft

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

func TestShaftErrors(t *testing.T) {
	change := func(f func(*Drawing)) *Drawing {
		s := twisted()
		f(s)
		return s
	}
	for _, c := range []struct {
		name  string
		shaft *Drawing
		want  string
	}{
		{"no pieces", &Drawing{}, "the shaft has no pieces"},
		{"backward", change(func(s *Drawing) { s.Pieces[0].To = -1 }), "piece 1 has no length"},
		{"gap", change(func(s *Drawing) { s.Pieces[1].From = 210 }), "piece 2 does not begin where piece 1 ends"},
		{"no outline", change(func(s *Drawing) { s.Pieces[2].Outer = nil }), "piece 3 has no outline"},
		{"diameter zero", change(func(s *Drawing) { s.Pieces[1].Outer[0].D = 0 }), "piece 2 has an outer diameter of 0 mm"},
		{"order", change(func(s *Drawing) { s.Pieces[1].Outer[1].X = 0 }), "out of order"},
		{"not a number", change(func(s *Drawing) { s.Pieces[1].Outer[0].D = math.NaN() }), "piece 2 has a value of its numbers that is not a number"},
		{"off the shaft", change(func(s *Drawing) { s.Torques[0].X = 1200 }), "torque 1 is at 1200 mm, off the shaft"},
		{"hold off", change(func(s *Drawing) { s.Supports[0].X = -1 }), "hold 1 is at −1 mm, off the shaft"},
		{"spread backward", change(func(s *Drawing) { s.DistributedTorques = []DistributedTorque{{From: 5, To: 5}} }), "distributed torque 1 does not run forward"},
		{"twist", change(func(s *Drawing) { s.Twist.Angle[3] = math.Inf(1) }), "the twist has an infinite value"},
		{"magnification", change(func(s *Drawing) { s.Twist.Times = 1e305 }), "the twist has a value of its numbers too large"},
		{"diagram", change(func(s *Drawing) { s.Diagrams[1].Y = nil }), "diagram “twist” has 116 values of x and 0 of y"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.shaft.SVG(figure.Options{})
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			c.shaft.Description()
			c.shaft.Data()
		})
	}
}

// TestToScale checks the one thing a drawing must not get wrong.
func TestToScale(t *testing.T) {
	for _, c := range []struct {
		name  string
		shaft *Drawing
		said  string
	}{
		{"one scale", layShaft(), ""},
		{"diameters larger", quill(), "3 times larger"},
		{"break lines", wheelShaft(), "break lines"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := c.shaft.plan(figure.Options{})
			p := &c.shaft.Pieces[1]
			length, d := l.drawnX(p.To)-l.drawnX(p.From), 2*l.drawnRadius(p.Outer[0].D)
			want := (p.To - p.From) / p.Outer[0].D / l.times
			if got := length / d; math.Abs(got-want) > 1e-9 {
				t.Errorf("drawn %g long for each diameter, want %g", got, want)
			}
			if c.said == "" && (l.times != 1 || len(l.breaks) > 0) {
				t.Errorf("drawn %g times larger, %d breaks; nothing asks for it", l.times, len(l.breaks))
			}
			if !strings.Contains(c.shaft.Description(), c.said) || !strings.Contains(strings.Join(l.notes, " "), c.said) {
				t.Errorf("%q is not said", c.said)
			}
		})
	}
}

// TestTurnSense holds the picture to the right-hand rule: under a positive
// torque at the free end, the line that faced the reader goes down.
func TestTurnSense(t *testing.T) {
	s := twisted()
	l := s.plan(figure.Options{})
	seen, behind := l.surface(1)
	if len(behind) > 0 {
		t.Errorf("%d lines have gone behind", len(behind))
	}
	front := slices.Concat(seen...)
	if first, last := front[0], front[len(front)-1]; first.Y != l.axisY || last.Y <= l.axisY {
		t.Errorf("the front line runs from y = %g to %g about the axis at %g; it should go down", first.Y, last.Y, l.axisY)
	}
	still, _ := l.surface(0)
	for _, q := range slices.Concat(still...) {
		if q.Y != l.axisY {
			t.Fatalf("without load the front line is at %g, not on the axis at %g", q.Y, l.axisY)
		}
	}
	// The dial of the far end turns as far as the line: from the front, on its
	// left, downwards.
	dials := l.dials()
	_, pointer := dials[1].turned(1)
	if turned := (pointer[1].Y - pointer[0].Y) / dialRadius; math.Abs(turned-(front[len(front)-1].Y-l.axisY)/l.drawnRadius(54)) > 1e-6 || pointer[1].X >= pointer[0].X {
		t.Errorf("the pointer goes from %v to %v", pointer[0], pointer[1])
	}
	// θ = 1.11° at the end, 40 times: 44.4°; the front line is at R·sin of it.
	want := l.drawnRadius(54) * math.Sin(40*s.Twist.Angle[115])
	last := front[len(front)-1]
	if got := last.Y - l.axisY; math.Abs(got-want) > 1e-6 {
		t.Errorf("the front line ends %g below the axis, want %g", got, want)
	}
}

// TestFrame checks that a frame under the full load is what the picture shows.
func TestFrame(t *testing.T) {
	s := twisted()
	svg, err := s.SVG(figure.Options{Width: 500})
	if err != nil {
		t.Fatal(err)
	}
	_, moving, _ := strings.Cut(string(svg), `<g class="fig-moving">`)
	moving, _, _ = strings.Cut(moving, "</g>")
	frame, err := s.Frame(figure.Options{Width: 500}, 1)
	if err != nil {
		t.Fatal(err)
	}
	parts := strings.Split(moving, ` d="`)[1:]
	texts := strings.Split(moving, "<text ")[1:]
	if len(parts)+len(texts) != len(frame) {
		t.Fatalf("%d and %d elements move, %d are given", len(parts), len(texts), len(frame))
	}
	for i, text := range texts {
		_, text, _ = strings.Cut(text, ">")
		if text, _, _ = strings.Cut(text, "<"); text != frame[len(parts)+i] {
			t.Errorf("text %q differs from %q", text, frame[len(parts)+i])
		}
	}
	for i := range parts {
		if d, _, _ := strings.Cut(parts[i], `"`); d != frame[i] {
			t.Errorf("element %d differs", i)
		}
	}
	if half, err := s.Frame(figure.Options{Width: 500}, 0.5); err != nil || half[0] == frame[0] {
		t.Errorf("half the load draws the same (error %v)", err)
	}
	if _, err := quill().Frame(figure.Options{}, 1); err == nil {
		t.Error("a drawing without twist gave a frame")
	}
	if _, err := s.Frame(figure.Options{}, math.NaN()); err == nil {
		t.Error("a fraction that is not a number gave a frame")
	}
}

func TestHatch(t *testing.T) {
	c := canvas.NewSVG(nil, 100)
	p := canvas.NewPen(c, 100)
	p.Hatch(canvas.InkThin, 5, false, []canvas.Point{canvas.PointAt(0, 0), canvas.PointAt(50, 0), canvas.PointAt(50, 20), canvas.PointAt(25, 20), canvas.PointAt(25, 40), canvas.PointAt(0, 40)})
	var n int
	for _, part := range strings.Split(string(c.Bytes()), "M")[1:] {
		var x, y, dx, dy float64
		part = strings.NewReplacer("l", " ", "-", " -").Replace(strings.TrimSuffix(part, `"/>`))
		if _, err := fmt.Sscan(part, &x, &y, &dx, &dy); err != nil {
			t.Fatalf("%q: %v", part, err)
		}
		n++
		if math.Abs(math.Abs(dx)-math.Abs(dy)) > 0.02 {
			t.Errorf("a line goes %g across and %g down, not at 45°", dx, dy)
		}
		mid := canvas.PointAt(x+dx/2, y+dy/2)
		if mid.X < 0 || mid.X > 50 || mid.Y < 0 || mid.Y > 40 || mid.X > 25.02 && mid.Y > 20.02 {
			t.Errorf("a line passes (%g, %g), outside", mid.X, mid.Y)
		}
	}
	if n < 10 {
		t.Errorf("%d lines", n)
	}
}

func TestManySegments(t *testing.T) {
	s := segmented(5000)
	svg, err := s.SVG(figure.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(svg) > 32<<10 {
		t.Errorf("%d bytes", len(svg))
	}
	if !bytes.Contains(svg, []byte("5000 segments, one in 17 drawn")) {
		t.Error("the picture does not say that segments are left out")
	}
}

// TestShaftsStayReadable draws shafts of any proportion: text must not touch
// text, and everything must lie in the figure.
func TestShaftsStayReadable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := &Drawing{Heading: "h", LengthUnit: "mm"}
		x := 0.0
		for range rapid.IntRange(1, 4).Draw(t, "pieces") {
			to := x + float64(rapid.IntRange(40, 2000).Draw(t, "length"))
			d0 := float64(rapid.IntRange(20, 120).Draw(t, "d"))
			d1 := d0
			if rapid.Bool().Draw(t, "taper") {
				d1 = float64(rapid.IntRange(20, 120).Draw(t, "d1"))
			}
			p := Piece{From: x, To: to, Outer: straight(x, to, d0, d1)}
			if rapid.Bool().Draw(t, "hollow") {
				p.Bore = straight(x, to, d0/3, d1/3)
			}
			s.Pieces = append(s.Pieces, p)
			x = to
		}
		if rapid.Bool().Draw(t, "hold") {
			s.Supports = []Support{{X: 0}}
		}
		s.Torques = []Torque{{X: x, Value: 1, Label: "420 N·m"}}
		width := float64(rapid.IntRange(320, 1280).Draw(t, "width"))
		for _, o := range overlaps(s, width) {
			t.Error(o)
		}
		svg, err := s.SVG(figure.Options{Width: width})
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(svg, []byte("NaN")) {
			t.Fatal("not a number in the drawing")
		}
		if n := bytes.Count(svg, []byte(" d=\"\"")); n > 0 {
			t.Fatalf("%d empty paths", n)
		}
	})
}

// TestShaftData checks the table against the drawing's own numbers.
func TestShaftData(t *testing.T) {
	d := twisted().Data()
	var rows []string
	for _, r := range d.Rows {
		rows = append(rows, strings.Join(r, "|"))
	}
	want := "piece 1|0|200|36|||\npiece 2|200|1000|36 to 54|||\npiece 3|1000|1150|54|20||\nhold|0|0||||\ntorque|1150|1150||||420 N·m about +x"
	if got := strings.Join(rows, "\n"); got != want {
		t.Errorf("rows:\n%s\nwant:\n%s", got, want)
	}
	if len(d.Further) != 3 || d.Further[0].Headers[1] != "internal torque / (N·m)" || d.Further[0].Rows[0][1] != "420" {
		t.Errorf("the tables of the diagrams: %v", d.Further)
	}
}
