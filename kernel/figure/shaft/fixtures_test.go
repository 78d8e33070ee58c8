package shaft

import (
	"math"
	"testing"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/figuretest"
)

func straight(from, to, d0, d1 float64) []Sample { return []Sample{{from, d0}, {to, d1}} }

// quill is a tapered quill between two uniform ends, hollow at the far end.
func quill() *Drawing {
	return &Drawing{
		Heading:    "The tapered quill",
		LengthUnit: "mm",
		Pieces: []Piece{
			{From: 0, To: 200, Outer: straight(0, 200, 36, 36)},
			{From: 200, To: 1000, Outer: straight(200, 1000, 36, 54)},
			{From: 1000, To: 1150, Outer: straight(1000, 1150, 54, 54), Bore: straight(1000, 1150, 20, 20)},
		},
		Supports: []Support{{X: 0}},
		Torques:  []Torque{{X: 1150, Value: 420, Label: "420 N·m"}},
	}
}

// layShaft is short and thick: stepped, bored through, with everything on it.
func layShaft() *Drawing {
	return &Drawing{
		Heading:    "The stepped lay shaft",
		LengthUnit: "mm",
		Pieces: []Piece{
			{From: 0, To: 90, Outer: straight(0, 90, 60, 60), Bore: straight(0, 90, 24, 24)},
			{From: 90, To: 210, Outer: straight(90, 210, 80, 80), Bore: straight(90, 210, 24, 36)},
			{From: 210, To: 330, Outer: straight(210, 330, 80, 50)},
			{From: 330, To: 420, Outer: straight(330, 420, 50, 50), Core: straight(330, 420, 22, 22)},
			{From: 420, To: 480, Outer: straight(420, 480, 40, 40), Flat: true, Text: "square 40"},
		},
		Supports: []Support{{X: 0}, {X: 480, Elastic: true}},
		Torques: []Torque{
			{X: 150, Value: -600, Label: "−600 N·m"},
			{X: 370, Value: 250, Label: "250 N·m"},
		},
		DistributedTorques: []DistributedTorque{{From: 210, To: 330, Start: 1, End: 3, Label: "0.5 to 1.5 kN·m/m"}},
	}
}

// wheelShaft is long and thin with uniform stretches to break.
func wheelShaft() *Drawing {
	return &Drawing{
		Heading:    "The wheel shaft",
		LengthUnit: "mm",
		Pieces: []Piece{
			{From: 0, To: 1400, Outer: straight(0, 1400, 70, 70)},
			{From: 1400, To: 1460, Outer: straight(1400, 1460, 90, 90)},
			{From: 1460, To: 3600, Outer: straight(1460, 3600, 70, 70)},
		},
		Torques: []Torque{
			{X: 0, Value: -300, Label: "−300 N·m"},
			{X: 1430, Value: 800, Label: "800 N·m"},
			{X: 3600, Value: -500, Label: "−500 N·m"},
		},
	}
}

func segmented(n int) *Drawing {
	s := quill()
	s.Heading = "The quill in segments"
	s.Supports, s.Torques = nil, nil
	for i := range n {
		a, b := 200+800*float64(i)/float64(n), 200+800*float64(i+1)/float64(n)
		s.Segments = append(s.Segments, Segment{a, b, 36 + 18*((a+b)/2-200)/800})
	}
	return s
}

func twisted() *Drawing {
	s := quill()
	s.Heading = "The quill twisted"
	s.Finding = "Most of the twist gathers at the thin end"
	t := &Twist{Times: 40}
	var torque, stress Diagram
	torque = Diagram{Label: "internal torque", Unit: "N·m", Quantity: figure.Torque}
	twist := Diagram{Label: "twist", Unit: "deg", Quantity: figure.Twist}
	stress = Diagram{Label: "greatest shear stress τ", Unit: "MPa", Quantity: figure.Stress}
	angle := 0.0
	last := 0.0
	for i := range 116 {
		x := float64(i) * 10
		d := 36 + 18*math.Max(0, math.Min(1, (x-200)/800))
		angle += 32 * 420e3 / (math.Pi * 79e3 * math.Pow(d, 4)) * (x - last)
		last = x
		t.X, t.Angle = append(t.X, x), append(t.Angle, angle)
		torque.X, torque.Y = append(torque.X, x), append(torque.Y, 420)
		twist.X, twist.Y = append(twist.X, x), append(twist.Y, angle*180/math.Pi)
		stress.X, stress.Y = append(stress.X, x), append(stress.Y, 16*420e3/(math.Pi*d*d*d))
	}
	s.Twist = t
	s.Diagrams = []Diagram{torque, twist, stress}
	return s
}

// signs is a shaft whose torque changes its sign.
func signs() *Drawing {
	s := wheelShaft()
	s.Heading, s.Axial = "The wheel shaft and its torque", true
	s.Diagrams = []Diagram{
		{Label: "internal torque", Unit: "N·m", Quantity: figure.Torque, X: []float64{0, 1430, 1430, 3600}, Y: []float64{300, 300, -500, -500}},
		{Label: "twist", Unit: "deg", Quantity: figure.Twist, X: []float64{0, 1430, 3600}, Y: []float64{0, 0.134, -0.253}},
	}
	return s
}

func spread() *Drawing {
	return &Drawing{
		Heading:    "The transmission tube",
		LengthUnit: "mm",
		Pieces: []Piece{
			{From: 0, To: 900, Outer: straight(0, 900, 114, 114), Bore: straight(0, 900, 102, 102)},
			{From: 900, To: 960, Outer: straight(900, 960, 114, 70), Bore: straight(900, 960, 50, 50)},
			{From: 960, To: 1000, Outer: straight(960, 1000, 70, 70), Bore: straight(960, 1000, 50, 50)},
		},
		Supports:           []Support{{X: 0}, {X: 1000}},
		DistributedTorques: []DistributedTorque{{From: 100, To: 700, Start: -2, End: -2, Label: "−150 N·m/m"}},
		Diagrams: []Diagram{{Label: "internal torque", Unit: "N·m", Quantity: figure.Torque,
			X: []float64{0, 100, 700, 1000}, Y: []float64{-50, -50, 40, 40}}},
	}
}

func profiled() *Drawing {
	var o []Sample
	for i := range 61 {
		x := float64(i) * 500 / 60
		o = append(o, Sample{x, 40 + 8*math.Sin(math.Pi*x/500)})
	}
	return &Drawing{
		Heading:    "A profile",
		LengthUnit: "mm",
		Pieces:     []Piece{{From: 0, To: 500, Outer: o}},
		Supports:   []Support{{X: 0, Label: "hold"}},
		Torques:    []Torque{{X: 500, Value: 1, Label: "T"}},
	}
}

var pictures = []figuretest.Case{
	{Name: "quill", Picture: func() figure.Picture { return quill() }},
	{Name: "layshaft", Picture: func() figure.Picture { return layShaft() }},
	{Name: "wheelshaft", Picture: func() figure.Picture { return wheelShaft() }},
	{Name: "segments", Picture: func() figure.Picture { return segmented(8) }},
	{Name: "manysegments", Picture: func() figure.Picture { return segmented(24) }},
	{Name: "twisted", Picture: func() figure.Picture { return twisted() }},
	{Name: "signs", Picture: func() figure.Picture { return signs() }},
	{Name: "tube", Picture: func() figure.Picture { return spread() }},
	{Name: "profile", Picture: func() figure.Picture { return profiled() }},
}

func TestPictures(t *testing.T) { figuretest.Test(t, pictures) }
