package shaft

import (
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/figuretest"
)

// solid, hollow and cored are round sections. The numbers of cored are those of R. C.
// Hibbeler, Mechanics of Materials, chapter 5: a steel tube on a brass core (from memory).
func solidSection() *Section {
	return &Section{
		Heading: "Section of the spindle", LengthUnit: "mm", StressUnit: "MPa", Torque: 420, TorqueText: "T = 420 N·m",
		Finding: "The shear stress grows in a straight line to 45.85 MPa at the surface",
		Layers:  []Layer{{0, 18, 0, 45.85, "0 MPa", "45.85 MPa", false}},
		Ring:    &Ring{11, 28.02, "28.02 MPa"},
	}
}

func hollowSection() *Section {
	return &Section{
		Heading: "Section of the tube", LengthUnit: "mm", StressUnit: "MPa", Torque: -4080, TorqueText: "T = −4080 N·m",
		Layers: []Layer{{20, 30, 80, 120, "80 MPa", "120 MPa", false}}, Ring: &Ring{25, 100, "100 MPa"},
	}
}

func coredSection() *Section {
	return &Section{
		LengthUnit: "in", StressUnit: "psi", Torque: 250, TorqueText: "T = 250 lbf·ft",
		Layers: []Layer{{0, 0.5, 0, 451, "0 psi", "451 psi", false}, {0.5, 1, 989, 1977, "989 psi", "1977 psi", false}},
		Ring:   &Ring{0.75, 1483, "1483 psi"},
	}
}

// stiffCore has the greater stress in its core.
func stiffCore() *Section {
	s := coredSection()
	s.Layers = []Layer{{0, 0.7, 0, 2100, "0 psi", "≈ 2100 psi", false}, {0.7, 1, 958, 1369, "≈ 958.0 psi", "≈ 1369 psi", false}}
	s.Ring.R, s.Ring.Stress = 0.85, 1163
	return s
}

// yieldingSection and yieldingTube have a ring that yields; the numbers are those of
// the kernel for G = 79 GPa and a yield stress of 150 MPa.
func yieldingSection() *Section {
	return &Section{
		Heading: "Section of the gate shaft", LengthUnit: "mm", StressUnit: "MPa", Torque: 1650, TorqueText: "T = 1650 N·m",
		Layers: []Layer{{0, 13.235, 0, 150, "0 MPa", "150 MPa", false}, {13.235, 18, 150, 150, "150 MPa", "150 MPa", true}},
		Left:   []Left{{0, 0, "0 MPa", "0 MPa"}, {13.235, 17.57, "17.57 MPa", "150 MPa"}, {18, -30.11, "−30.11 MPa", "150 MPa"}},
		Ring:   &Ring{8.2, 92.9, "92.94 MPa"},
	}
}

func yieldingTube() *Section {
	return &Section{
		LengthUnit: "mm", StressUnit: "MPa", Torque: -5750, TorqueText: "T = −5750 N·m",
		Layers: []Layer{{20, 24.1, 124.6, 150, "124.6 MPa", "150 MPa", false}, {24.1, 30, 150, 150, "150 MPa", "150 MPa", true}},
		Left:   []Left{{20, 11.9, "11.90 MPa", "124.6 MPa"}, {24.1, 14.2, "14.20 MPa", "150 MPa"}, {30, -19.04, "−19.04 MPa", "150 MPa"}},
		Ring:   &Ring{22, 137, "137.0 MPa"},
	}
}

func shaped(kind string, sizes ...float64) *Section {
	f := ShapeOf(kind, sizes)
	f.Text = "38.41 MPa"
	return &Section{LengthUnit: "mm", StressUnit: "MPa", Torque: 420, TorqueText: "T = 420 N·m", Shape: f}
}

func cutShaft() *Cut {
	return &Cut{
		Heading: "Free bodies of the lay shaft", X: 500,
		Left: Body{Found: []int{0, 1}, Held: []Support{{X: 0}}, Balance: "−300 N·m + 300 N·m = 0", Drawing: &Drawing{LengthUnit: "mm",
			Pieces:  []Piece{{From: 0, To: 400, Outer: straight(0, 400, 50, 50)}, {From: 400, To: 500, Outer: straight(400, 500, 36, 39)}},
			Torques: []Torque{{0, -300, "support −300 N·m"}, {500, 300, "T = +300 N·m"}}}},
		Right: Body{Found: []int{2}, Balance: "420 N·m − 120 N·m − 300 N·m = 0", Drawing: &Drawing{LengthUnit: "mm",
			Pieces:  []Piece{{From: 500, To: 1000, Outer: straight(500, 1000, 39, 54)}},
			Torques: []Torque{{1000, 420, "+420 N·m"}, {800, -120, "−120 N·m"}, {500, -300, "T = −300 N·m"}}}},
	}
}

func turning() *Bars {
	pieces := [][]Sample{straight(0, 800, 36, 36)}
	return &Bars{
		Heading: "Before and after", LengthUnit: "mm", Times: 25, Marks: true,
		Bars:  []Bar{{Label: "before", Pieces: pieces}, {Label: "after", Pieces: pieces, X: []float64{0, 800}, Angle: []float64{0, 0.0258}}},
		Notes: []string{"θ = 1.478°, by which the far end turns relative to x = 0, which is drawn at rest.", "γ = (d/2)·dθ/dx = 0.03326° at x = 0."},
	}
}

func between3() *Bars {
	x := []float64{0, 200, 400, 600, 800}
	return &Bars{
		Heading: "Between uniform companions", LengthUnit: "mm", Times: 30,
		Bars: []Bar{
			{"thick", "twists by 0.292°", [][]Sample{straight(0, 800, 54, 54)}, []float64{0, 800}, []float64{0, 0.0051}, 0},
			{"spindle", "twists by 0.6933°", [][]Sample{straight(0, 800, 36, 54)}, x, []float64{0, 0.0052, 0.0086, 0.0107, 0.0121}, 0},
			{"thin", "twists by 1.478°", [][]Sample{straight(0, 400, 36, 36), straight(400, 800, 40, 40)}, []float64{0, 800}, []float64{0, -0.0258}, 0},
		},
	}
}

// betweenTubes is a hollow taper between tubes of its ends.
func betweenTubes() *Bars {
	x := []float64{0, 600}
	return &Bars{
		Heading: "Between uniform companions", LengthUnit: "mm", Times: 100,
		Bars: []Bar{
			{"stiff, ⌀60 mm, bore ⌀44 mm", "twists by 0.1444°", [][]Sample{straight(0, 600, 60, 60)}, x, []float64{0, 0.00252}, 44},
			{"cone", "twists by 0.2435°", [][]Sample{straight(0, 600, 60, 44)}, x, []float64{0, 0.00425}, 26},
			{"soft, ⌀44 mm, bore ⌀26 mm", "twists by 0.4040°", [][]Sample{straight(0, 600, 44, 44)}, x, []float64{0, 0.00705}, 26},
		},
	}
}

var forms = []figuretest.Case{
	{Name: "section-solid", Picture: func() figure.Picture { return solidSection() }},
	{Name: "section-hollow", Picture: func() figure.Picture { return hollowSection() }},
	{Name: "section-cored", Picture: func() figure.Picture { return coredSection() }},
	{Name: "section-yielding", Picture: func() figure.Picture { return yieldingSection() }},
	{Name: "section-yielding-tube", Picture: func() figure.Picture { return yieldingTube() }},
	{Name: "section-stiff-core", Picture: func() figure.Picture { return stiffCore() }},
	{Name: "section-square", Picture: func() figure.Picture { return shaped("square", 40, 40) }},
	{Name: "section-rectangle", Picture: func() figure.Picture { return shaped("rectangle", 60, 40) }},
	{Name: "section-ellipse", Picture: func() figure.Picture { return shaped("ellipse", 40, 60) }},
	{Name: "section-triangle", Picture: func() figure.Picture { return shaped("triangle", 50) }},
	{Name: "section-tube", Picture: func() figure.Picture { return shaped("thin tube", 17850, 514, 8) }},
	{Name: "section-thin-tube", Picture: func() figure.Picture { return shaped("thin tube", 20106, 502.65, 3) }},
	{Name: "section-slit", Picture: func() figure.Picture { return shaped("open wall", 514, 8) }},
	{Name: "section-angle", Picture: func() figure.Picture { return shaped("open wall", 80, 6, 50, 8) }},
	{Name: "section-channel", Picture: func() figure.Picture { return shaped("open wall", 40, 6, 100, 5, 40, 6) }},
	{Name: "section-flat", Picture: func() figure.Picture { return shaped("open wall", 40, 8) }},
	{Name: "section-stairs", Picture: func() figure.Picture { return shaped("open wall", 40, 4, 40, 4, 40, 4, 40, 4, 30, 4, 30, 4) }},
	{Name: "cut", Picture: func() figure.Picture { return cutShaft() }},
	{Name: "turning", Picture: func() figure.Picture { return turning() }},
	{Name: "companions", Picture: func() figure.Picture { return between3() }},
	{Name: "companions-hollow", Picture: func() figure.Picture { return betweenTubes() }},
}

func TestForms(t *testing.T) { figuretest.Test(t, forms) }

// TestFormsBare: without results a figure keeps its outline and names no value.
func TestFormsBare(t *testing.T) {
	for _, c := range forms {
		bare := figure.Bare(c.Picture())
		svg, err := bare.SVG(figure.Options{})
		if err != nil {
			t.Fatalf("%s: %v", c.Name, err)
		}
		for _, value := range []string{"MPa", "psi", "twists by", "T = ", "support", "θ", "fig-stress"} {
			if strings.Contains(string(svg), value) {
				t.Errorf("%s without results says %s", c.Name, value)
			}
		}
	}
}

// TestShapes: the outlines enclose the areas of their sections, about their centroids.
func TestShapes(t *testing.T) {
	cases := []struct {
		kind  string
		sizes []float64
		area  float64
	}{
		{"square", []float64{40, 40}, 1600},
		{"rectangle", []float64{60, 40}, 2400},
		{"ellipse", []float64{60, 40}, math.Pi * 600},
		{"triangle", []float64{50}, math.Sqrt(3) / 4 * 2500},
		{"thin tube", []float64{17850, 514, 8}, 17850 + 514*4 + math.Pi*16}, // Steiner: the wall’s outer half
	}
	for _, c := range cases {
		f := ShapeOf(c.kind, c.sizes)
		var area, y, z float64
		for i, a := range f.Outline {
			b := f.Outline[(i+1)%len(f.Outline)]
			cross := a[1]*b[0] - b[1]*a[0]
			area += cross / 2
			y += cross * (a[0] + b[0]) / 6
			z += cross * (a[1] + b[1]) / 6
		}
		if math.Abs(area-c.area) > 0.003*c.area || math.Abs(y) > 1e-6*c.area || math.Abs(z) > 1e-6*c.area {
			t.Errorf("%s: area %g of %g, middle at %g, %g", c.kind, area, c.area, y/area, z/area)
		}
		for _, w := range f.Worst {
			if math.Hypot(w[0], w[1]) > f.radius()*1.001 {
				t.Errorf("%s: %v is not on the section", c.kind, w)
			}
		}
	}
	if ShapeOf("star", nil) != nil || ShapeOf("ellipse", []float64{3}) != nil {
		t.Error("a section that is not known has a shape")
	}
}

// TestOpenWalls: the outline encloses length times thickness, which bends leave as it is
// where the parts are measured along their median line, up to the corners; the stress
// makes a torque with the sense of the one on the section; and a wall without a torque
// has neither arrows nor the diagram across it.
func TestOpenWalls(t *testing.T) {
	cases := []struct {
		name  string
		sizes []float64
		area  float64
		worst int
	}{
		{"slit", []float64{514, 8}, 514 * 8, 6},
		{"flat", []float64{40, 8}, 40 * 8, 2},
		{"angle", []float64{80, 6, 50, 8}, 80*6 + 50*8, 2},
		{"channel", []float64{40, 6, 100, 5, 40, 6}, 80*6 + 100*5, 4},
		{"stairs", []float64{40, 4, 40, 4, 40, 4, 40, 4, 30, 4, 30, 4}, 220 * 4, 12},
	}
	for _, c := range cases {
		f := ShapeOf("open wall", c.sizes)
		area := 0.0
		for i, a := range f.Outline {
			b := f.Outline[(i+1)%len(f.Outline)]
			area += (a[1]*b[0] - b[1]*a[0]) / 2
		}
		if math.Abs(math.Abs(area)-c.area) > 0.003*c.area || len(f.Worst) != c.worst || len(f.Along) != c.worst {
			t.Errorf("%s: area %g of %g, %d places, %d directions", c.name, area, c.area, len(f.Worst), len(f.Along))
			continue
		}
		for i := 0; i < len(f.Worst); i += 2 {
			p, q, u, v := f.Worst[i], f.Worst[i+1], f.Along[i], f.Along[i+1]
			// z·τ_y − y·τ_z of the two faces: a couple, counterclockwise.
			couple := (p[1]-q[1])*u[0] - (p[0]-q[0])*u[1]
			if thickness := math.Hypot(p[0]-q[0], p[1]-q[1]); math.Abs(couple-thickness) > 1e-9 || u != [2]float64{-v[0], -v[1]} {
				t.Errorf("%s: at %v the faces turn by %g, %g apart", c.name, p, couple, thickness)
			}
		}
	}
	s := shaped("open wall", 514, 8)
	if !strings.Contains(s.Description(), "0 on the median line") || !strings.Contains(s.Description(), "free to warp") {
		t.Errorf("%s", s.Description())
	}
	if s.Torque = 0; strings.Contains(s.Description(), "median line") || s.hasWall() {
		t.Errorf("without a torque: %s", s.Description())
	}
	for _, sizes := range [][]float64{nil, {514}, {514, 8, 3}} {
		if ShapeOf("open wall", sizes) != nil {
			t.Errorf("%v has a shape", sizes)
		}
	}
}

// TestFormsRefused: what cannot be drawn is an error with its part.
func TestFormsRefused(t *testing.T) {
	section := func(change func(*Section)) figure.Picture { s := coredSection(); change(s); return s }
	bars := func(change func(*Bars)) figure.Picture { s := between3(); change(s); return s }
	cut := func(change func(*Cut)) figure.Picture { s := cutShaft(); change(s); return s }
	cases := []struct {
		name string
		p    figure.Picture
		want string
	}{
		{"no outline", section(func(s *Section) { s.Layers = nil }), "the section has no outline"},
		{"two outlines", section(func(s *Section) { s.Shape = ShapeOf("square", []float64{3, 3}) }), "the section has no outline"},
		{"layers apart", section(func(s *Section) { s.Layers[1].Inner = 0.6 }), "layer 2 does not lie around"},
		{"no number", section(func(s *Section) { s.Layers[0].AtOuter = math.NaN() }), "layer 1"},
		{"a ring outside", section(func(s *Section) { s.Ring.R = 2 }), "the ring is not on the section"},
		{"a direction missing", section(func(s *Section) {
			s.Layers, s.Ring, s.Shape = nil, nil, ShapeOf("open wall", []float64{514, 8})
			s.Shape.Along = s.Shape.Along[1:]
		}), "without a direction"},
		{"no thickness", section(func(s *Section) {
			s.Layers, s.Ring, s.Shape = nil, nil, ShapeOf("open wall", []float64{514, 8})
			s.Shape.Wall.Thickness = 0
		}), "the wall has no thickness"},
		{"no bars", bars(func(s *Bars) { s.Bars = nil }), "the figure has 0 bars"},
		{"a bar without outline", bars(func(s *Bars) { s.Bars[1].Pieces[0] = nil }), "bar “spindle” has no outline"},
		{"angles missing", bars(func(s *Bars) { s.Bars[0].Angle = nil }), "the twist has 2 positions and 0 angles"},
		{"one side", cut(func(s *Cut) { s.Right.Drawing = nil }), "the cut has nothing on one side"},
		{"no face", cut(func(s *Cut) { s.Left.Found = []int{7} }), "the cut has no torque"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.p.SVG(figure.Options{})
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want %s", err, c.want)
			}
			if c.p.Description() == "" && c.p.Title() == "" {
				t.Error("no words")
			}
		})
	}
}

// TestKeysDiffer: whatever is drawn goes into the key under which a figure is kept.
func TestKeysDiffer(t *testing.T) {
	cases := []struct {
		name    string
		one, by figure.Picture
	}{
		{"a tolerance", quill(), with(quill(), func(s *Drawing) { s.Pieces[0].Tolerance[0] = 0.1 })},
		{"a tolerance of a bore", quill(), with(quill(), func(s *Drawing) { s.Pieces[0].BoreTolerance[1] = 0.1 })},
		{"a stress", solidSection(), with(solidSection(), func(s *Section) { s.Layers[0].AtOuter = 40 })},
		{"a text", solidSection(), with(solidSection(), func(s *Section) { s.Layers[0].OuterText = "≈ 45.85 MPa" })},
		{"a ring", solidSection(), with(solidSection(), func(s *Section) { s.Ring.R = 12 })},
		{"a sense", solidSection(), with(solidSection(), func(s *Section) { s.Torque = -1 })},
		{"a shape", shaped("rectangle", 60, 40), shaped("rectangle", 60, 41)},
		{"a sum", cutShaft(), with(cutShaft(), func(s *Cut) { s.Left.Balance = "0 = 0" })},
		{"a place", cutShaft(), with(cutShaft(), func(s *Cut) { s.X = 499 })},
		{"a torque", cutShaft(), with(cutShaft(), func(s *Cut) { s.Right.Torques[0].Value = -1 })},
		{"what is given", cutShaft(), figure.Bare(cutShaft())},
		{"a factor", turning(), with(turning(), func(s *Bars) { s.Times = 30 })},
		{"an angle", turning(), with(turning(), func(s *Bars) { s.Bars[1].Angle[1] = 0.03 })},
		{"marks", turning(), with(turning(), func(s *Bars) { s.Marks = false })},
		{"a note", turning(), with(turning(), func(s *Bars) { s.Notes = s.Notes[:1] })},
	}
	key := func(p figure.Picture) figure.CacheKey {
		var k figure.KeyWriter
		p.(figure.Cacheable).WriteKey(&k)
		return k.Sum()
	}
	for _, c := range cases {
		if key(c.one) == key(c.by) {
			t.Errorf("%s does not go into the key", c.name)
		}
	}
}

func with[T any](s *T, change func(*T)) *T { change(s); return s }
