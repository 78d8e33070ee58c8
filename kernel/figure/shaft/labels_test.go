package shaft

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/figuretest"
)

// TestLabelsOfAnyShaft draws three hundred shafts of any proportion with loads,
// segments, twist and diagrams, in every place.
func TestLabelsOfAnyShaft(t *testing.T) {
	for part := range 3 {
		t.Run(fmt.Sprint(part), func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				s := anyShaft(t)
				o := rapid.SampledFrom(figuretest.Places).Draw(t, "place")
				wrong, err := figuretest.Labels(s, o)
				if err != nil {
					t.Fatal(err)
				}
				for _, w := range wrong {
					t.Error(w)
				}
			})
		})
	}
}

func anyShaft(t *rapid.T) *Drawing {
	s := &Drawing{Heading: "h", LengthUnit: "mm"}
	scale := rapid.SampledFrom([]float64{0.05, 1, 1, 1, 40}).Draw(t, "scale") // thick and short, long and thin
	x := 0.0
	for range rapid.SampledFrom([]int{1, 1, 2, 3, 4, 5, 14}).Draw(t, "pieces") {
		to := x + float64(scale*float64(rapid.IntRange(20, 2000).Draw(t, "length")))
		d0 := float64(rapid.IntRange(10, 130).Draw(t, "d"))
		d1 := d0
		if rapid.Bool().Draw(t, "taper") {
			d1 = float64(rapid.IntRange(10, 130).Draw(t, "d1"))
		}
		p := Piece{From: x, To: to, Outer: straight(x, to, d0, d1)}
		if rapid.Bool().Draw(t, "hollow") {
			p.Bore = straight(x, to, d0/3, d1/3)
		}
		s.Pieces = append(s.Pieces, p)
		x = to
	}
	place := func(name string) float64 {
		return rapid.SampledFrom([]float64{0, 1, 0.5, 0.31, s.Pieces[0].To / x}).Draw(t, name) * x
	}
	if rapid.Bool().Draw(t, "hold") {
		s.Supports = append(s.Supports, Support{X: 0, Elastic: rapid.Bool().Draw(t, "elastic")})
	}
	if rapid.Bool().Draw(t, "second hold") {
		s.Supports = append(s.Supports, Support{X: x})
	}
	for range rapid.IntRange(0, 3).Draw(t, "torques") {
		v := float64(rapid.IntRange(-50000, 50000).Draw(t, "torque"))
		s.Torques = append(s.Torques, Torque{X: place("at"), Value: v, Label: figure.NumberWithUnit(figure.FormatNumber(math.Abs(v), 4), "N·m")})
	}
	if rapid.Bool().Draw(t, "spread") {
		s.DistributedTorques = []DistributedTorque{{From: 0.2 * x, To: 0.9 * x, Start: float64(rapid.IntRange(-3, 3).Draw(t, "q0")), End: float64(rapid.IntRange(-3, 3).Draw(t, "q1")), Label: "180 N·m/m"}}
	}
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		n := rapid.SampledFrom([]int{1, 16, 17, 24, 40, 400}).Draw(t, "n")
		for _, p := range s.Pieces {
			for i := range n {
				a, b := p.From+(p.To-p.From)*float64(i)/float64(n), p.From+(p.To-p.From)*float64(i+1)/float64(n)
				s.Segments = append(s.Segments, Segment{a, b, diameterAt(p.Outer, (a+b)/2)})
			}
		}
	case 1:
		s.Twist = &Twist{X: []float64{0, x}, Angle: []float64{0, rapid.Float64Range(-0.2, 0.2).Draw(t, "angle")}, Times: rapid.SampledFrom([]float64{1, 20, 400}).Draw(t, "times")}
	case 2:
		for _, d := range []Diagram{{Label: "internal torque", Unit: "N·m", Quantity: figure.Torque}, {Label: "twist", Unit: "deg", Quantity: figure.Twist}, {Label: "greatest shear stress", Unit: "MPa", Quantity: figure.Stress}} {
			at := []float64{0, 0.3 * x, 0.3 * x, 0.6 * x, x}
			for _, u := range at {
				d.X = append(d.X, u)
				d.Y = append(d.Y, rapid.SampledFrom([]float64{0, 1, -1, 0.5, 123456, -98765.4, 3e-7, 200}).Draw(t, "y"))
			}
			s.Diagrams = append(s.Diagrams, d)
		}
	}
	return s
}

// TestLabelsAtTheLimits draws what is rare.
func TestLabelsAtTheLimits(t *testing.T) {
	long := strings.Repeat("spindle ", 25)
	named := twisted()
	named.Twist = nil
	named.Torques[0].Label, named.Supports[0].Label = long, long
	for i := range named.Diagrams {
		named.Diagrams[i].Label = long
	}
	still := twisted()
	still.Diagrams = nil
	for i := range still.Twist.Angle {
		still.Twist.Angle[i] = 0
	}
	level := twisted()
	level.Twist = nil
	for i := range level.Diagrams {
		for k := range level.Diagrams[i].Y {
			level.Diagrams[i].Y[k] = 0
		}
	}
	thick := segmented(1)
	for i := range thick.Pieces {
		for k := range thick.Pieces[i].Outer {
			thick.Pieces[i].Outer[k].D *= 60
		}
	}
	for _, c := range []struct {
		name  string
		shaft *Drawing
	}{
		{"names of 200 letters", named}, {"no twist", still}, {"nothing but zero", level}, {"one segment", segmented(1)},
		{"24 segments", segmented(24)}, {"40 segments", segmented(40)}, {"400 segments", segmented(400)}, {"thick and short", thick},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, o := range figuretest.Places {
				wrong, err := figuretest.Labels(c.shaft, o)
				if err != nil {
					t.Fatal(err)
				}
				for _, w := range wrong {
					t.Error(w)
				}
			}
		})
	}
}
