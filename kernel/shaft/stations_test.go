package shaft

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func measured(length float64, d ...float64) Piece {
	p := Piece{Length: length, G: 79e9}
	for i, v := range d {
		p.Stations = append(p.Stations, Station{X: length * float64(i) / float64(len(d)-1), Diameter: v})
	}
	return p
}

// TestStationsInLine: stations on a straight line give the linear taper.
func TestStationsInLine(t *testing.T) {
	got := bar(t, 300, measured(0.8, 0.03, 0.035, 0.04, 0.045, 0.05))
	want := bar(t, 300, taper(0.03, 0.05, 0.8, 79e9))
	close64(t, "twist", got.TwistTotal(), want.TwistTotal())
	close64(t, "half twist", must(got.Twist(0.3)), must(want.Twist(0.3)))
	close64(t, "stress", stressMax(got), stressMax(want))
}

// TestStationsSetTheLength: a measured piece without a length ends at its last
// station.
func TestStationsSetTheLength(t *testing.T) {
	p := measured(0.8, 0.03, 0.05)
	p.Length = 0
	close64(t, "length", bar(t, 0, p, solid(0.05, 0.2, 79e9)).Length(), 1)
}

// TestStationsKeepTheirShape: the interpolant never leaves the range of the two
// stations around it.
func TestStationsKeepTheirShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SliceOfN(rapid.Float64Range(0.02, 0.09), 2, 8).Draw(t, "diameters")
		s := sound(t, Spec{Pieces: []Piece{measured(1, d...)}})
		n := len(d) - 1
		for i := range n {
			low, high := min(d[i], d[i+1]), max(d[i], d[i+1])
			for k := range 21 {
				x := (float64(i) + float64(k)/20) / float64(n)
				if v := must(s.Diameter(x)); v < low-1e-14 || v > high+1e-14 {
					t.Fatalf("d(%g) = %g is outside %g to %g", x, v, low, high)
				}
			}
		}
		for i := range d {
			if v := must(s.Diameter(float64(i) / float64(n))); math.Abs(v-d[i]) > 1e-15 {
				t.Fatalf("station %d is missed: %g, measured %g", i, v, d[i])
			}
		}
	})
}
