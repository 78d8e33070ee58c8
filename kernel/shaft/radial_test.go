package shaft

import (
	"errors"
	"math"
	"testing"
)

// TestLayersPublished compares the stress over the radius with examples of textbooks,
// their numbers from memory and worked out again.
func TestLayersPublished(t *testing.T) {
	const inch, psi, poundFeet = 0.0254, 6894.757293168361, 1.3558179483314004
	cases := []struct {
		name   string
		piece  Piece
		torque float64
		unit   float64 // Pa
		within float64
		want   []float64 // at the inner and the outer radius of each layer
	}{
		// R. C. Hibbeler, Mechanics of Materials, 8th ed., Example 5.3: pipe, 80 mm and
		// 100 mm, 40 N·m: 0.276 MPa and 0.345 MPa.
		{"a pipe", Piece{Length: 1, G: 79e9, Outer: Uniform(0.1), Bore: ref(Uniform(0.08))}, 40, 1e6, 0.0005, []float64{0.276, 0.345}},
		// F. P. Beer, E. R. Johnston, Mechanics of Materials, Example 3.01: hollow shaft
		// of 40 mm and 60 mm, 120 MPa at the outside under 4.08 kN·m: 80 MPa at the bore.
		{"a hollow shaft", Piece{Length: 1.5, G: 77e9, Outer: Uniform(0.06), Bore: ref(Uniform(0.04))}, 4080, 1e6, 0.3, []float64{80, 120}},
		// Hibbeler, Example 5.10: steel tube of radius 1 in bonded to a brass core of
		// radius 0.5 in, moduli 11.4·10³ and 5.2·10³ ksi, 250 lb·ft: 451 psi in the
		// brass, 989 psi and 1977 psi in the steel.
		{"steel on brass", Piece{Length: 1, G: 11.4e6 * psi, Outer: Uniform(2 * inch), Core: &Core{Diameter: inch, G: 5.2e6 * psi}},
			250 * poundFeet, psi, 0.6, []float64{0, 451, 989, 1977}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s, list := New(Spec{Pieces: []Piece{c.piece}, Supports: []Support{{}}, Torques: []Torque{{X: c.piece.Length, Value: c.torque}}})
			if list.HasErrors() {
				t.Fatal(list)
			}
			layers, err := s.Layers(c.piece.Length / 3)
			if err != nil {
				t.Fatal(err)
			}
			var got []float64
			for _, l := range layers {
				got = append(got, l.AtInner/c.unit, l.AtOuter/c.unit)
			}
			for i, want := range c.want {
				if math.Abs(got[i]-want) > c.within {
					t.Errorf("stress %d is %g, published %g", i, got[i], want)
				}
			}
			greatest, _ := s.Stress(c.piece.Length / 3)
			if last := layers[len(layers)-1].AtOuter; math.Abs(greatest-last) > 1e-9*last {
				t.Errorf("the greatest stress is %g at the surface, %g of the section", last, greatest)
			}
			if sum := carried(layers); math.Abs(sum-c.torque) > 1e-9*c.torque {
				t.Errorf("the stresses carry %g N·m of %g", sum, c.torque)
			}
		})
	}
}

// carried is the torque ∫ τ·r dA = ∫ 2π·r²·τ dr of stresses that grow in proportion to r.
func carried(layers []Layer) float64 {
	sum := 0.0
	for _, l := range layers {
		k := l.AtOuter / l.Outer
		sum += float64(math.Pi / 2 * k * (math.Pow(l.Outer, 4) - math.Pow(l.Inner, 4)))
	}
	return sum
}

func ref(p Profile) *Profile { return &p }

func TestLayersFail(t *testing.T) {
	square, err := Square(0.03)
	if err != nil {
		t.Fatal(err)
	}
	s, list := New(Spec{Pieces: []Piece{{Length: 1, G: 79e9, Section: square}}, Supports: []Support{{}}})
	if list.HasErrors() {
		t.Fatal(list)
	}
	var shape *ShapeError
	if _, err := s.Layers(0.5); !errors.As(err, &shape) {
		t.Errorf("a square has layers: %v", err)
	}
	if got, err := s.SectionAt(0.5); got != square || err != nil {
		t.Errorf("the section is %v, %v", got, err)
	}
	var off *RangeError
	if _, err := s.Layers(2); !errors.As(err, &off) {
		t.Errorf("off the shaft: %v", err)
	}
	if _, err := s.SectionAt(-1); !errors.As(err, &off) {
		t.Errorf("off the shaft: %v", err)
	}
}
