package shaft

import (
	"math"
	"testing"
)

// numbers are the meanings of a byte of fuzz data: sound sizes of shafts, twice
// as often as what should be refused.
var numbers = []float64{
	0, 0.02, 0.03, 0.030000001, 0.04, 0.05, 0.1, 0.2, 0.3, 0.5, 0.8, 1, 1.5, 26e9, 44e9, 79e9, 80e9,
	150, 300, 420, -300, -150, 1000, 1e5, 1e-9, 0.7,
	-1, math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300, 1e-300, math.MaxFloat64, math.SmallestNonzeroFloat64, 1e20, 1e-20, 1e-13,
}

// FuzzNew: whatever the numbers, New returns a shaft with finite answers or an
// error, and never panics.
func FuzzNew(f *testing.F) {
	f.Add([]byte("solid and loaded, and held at both ends"))
	f.Add([]byte{0, 11, 15, 2, 5, 0, 0, 0, 1, 9, 18, 6, 10, 17, 17})
	f.Add([]byte{1, 11, 15, 5, 6, 1, 3, 0, 1, 9, 18, 6, 10, 17, 17})
	f.Add([]byte{2, 11, 15, 5, 6, 1, 13, 0, 1, 9, 18, 6, 10, 17, 20, 3, 11, 15, 2, 4, 9, 5, 11, 0, 10, 20, 6, 7, 18, 19})
	f.Add([]byte{3, 11, 15, 2, 4, 9, 27, 11, 0, 27, 20, 6, 28, 18, 19})
	f.Add([]byte{65, 11, 15, 5, 6, 1, 3, 0, 1, 9, 18, 6, 10, 17, 17}) // and yields
	f.Add([]byte{64, 11, 15, 2, 4, 0, 17, 0, 11, 18, 0, 0, 0, 0, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		next := func() float64 {
			if len(data) == 0 {
				return 0
			}
			v := numbers[int(data[0])%len(numbers)]
			data = data[1:]
			return v
		}
		var spec Spec
		for len(data) >= 12 && len(spec.Pieces) < 4 {
			kind := data[0]
			data = data[1:]
			p := Piece{Length: next(), G: next(), Outer: Profile{Start: next(), End: next()}}
			a, b := next(), next()
			switch kind % 4 {
			case 1:
				p.Bore = &Profile{Start: a, End: b}
			case 2:
				p.Core = &Core{Diameter: a, G: b}
			case 3:
				p.Stations = []Station{{0, p.Outer.Start, noSpan}, {a, p.Outer.End, noSpan}, {p.Length, b, noSpan}}
			}
			if kind&64 != 0 {
				p.Yield = float64(b * 1e6)
			}
			spec.Pieces = append(spec.Pieces, p)
			spec.Supports = append(spec.Supports, Support{X: next(), Elastic: kind > 127, Stiffness: a})
			spec.Torques = append(spec.Torques, Torque{X: next(), Value: next()})
			spec.DistributedTorques = append(spec.DistributedTorques, DistributedTorque{From: next(), To: next(), Start: next(), End: next()})
		}
		s, list := New(spec)
		if s == nil {
			if !list.HasErrors() {
				t.Fatal("neither a shaft nor an error")
			}
			return
		}
		finite := func(what string, v float64, err error) {
			if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Errorf("%s is %g", what, v)
			}
		}
		for _, x := range append(s.Breaks(), s.Length()/3) {
			v, err := s.Twist(x)
			finite("twist", v, err)
			v, err = s.Stress(x)
			finite("stress", v, err)
			v, err = s.TwistRate(x)
			finite("twist rate", v, err)
		}
		for _, x := range s.SupportPlaces() {
			v, err := s.Reaction(x)
			finite("reaction", v, err)
		}
		finite("permanent twist", s.PermanentTotal(), nil)
		finite("stiffness", s.Stiffness(), nil)
		finite("energy", s.Energy(), nil)
		v, err := s.Segments(3)
		finite("segments", v, err)
		if b, err := s.Bracket(3); err == nil && !(b.Lo <= b.Hi) {
			t.Errorf("bracket %v", b)
		}
	})
}
