package shaft

import (
	"fmt"
	"testing"

	"shaftbook/kernel/interval"
)

// stationsAt returns a measured piece of steel; places and diameters in mm.
func stationsAt(pairs ...float64) Piece {
	p := Piece{G: 79e9}
	for i := 0; i < len(pairs); i += 2 {
		p.Stations = append(p.Stations, Station{X: pairs[i] / 1000, Diameter: pairs[i+1] / 1000})
	}
	p.Length = p.Stations[len(p.Stations)-1].X
	return p
}

// TestMeasuredBounds: the bounds hold the true twist where a measured piece does
// not begin at x = 0. The truth is from testdata/measured.py.
func TestMeasuredBounds(t *testing.T) {
	for _, c := range []struct {
		name        string
		first, then Piece
		torque, x   float64 // x = 0 means the far end
		want        float64
	}{
		{"thick, thin", solid(0.06, 0.5, 79e9), stationsAt(0, 40, 365.4, 60, 503.7, 20), 100, 0, 0.002452303948619048683773},
		{"near the end", solid(0.04, 0.5, 79e9), stationsAt(0, 37.3, 317.4, 58.9, 323.6, 55.6), 100, 0, 0.003120248819907305273039},
		{"beyond a station", solid(0.04, 0.5, 79e9), stationsAt(0, 37.3, 317.4, 58.9, 323.6, 55.6), 100, 0.818, 0.003113570371053466169315},
		{"five stations", solid(0.0357, 0.1373, 79e9), stationsAt(0, 42.1, 91.3, 42.1, 207.7, 37.3, 333.1, 55.5, 421.9, 48.7), 250, 0, 0.006610249268188177184342},
		{"between stations", solid(0.0357, 0.1373, 79e9), stationsAt(0, 42.1, 91.3, 42.1, 207.7, 37.3, 333.1, 55.5, 421.9, 48.7), 250, 0.4373, 0.006129303961626597569821},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := bar(t, c.torque, c.first, c.then)
			x := c.x
			if x == 0 {
				x = s.Length()
			}
			b := must(must(s.Certain()).Twist((&outward{}).given(x)))
			if !b.Contains(c.want) || b.Hi-b.Lo > 1e-11*c.want {
				t.Errorf("twist lies within %v, it is %v", b, c.want)
			}
			close64(t, "twist", must(s.Twist(x)), c.want)
		})
	}
}

// TestMeasuredBoundsShift: the twist of a measured piece does not depend on the
// place where it begins, however that place plus a station is rounded.
func TestMeasuredBoundsShift(t *testing.T) {
	then := stationsAt(0, 37.3, 317.4, 58.9, 323.6, 55.6)
	alone := must(must(bar(t, 100, then).Certain()).Twist(point(then.Length)))
	for mm := 1; mm <= 2000; mm += 7 {
		t.Run(fmt.Sprint(mm), func(t *testing.T) {
			s := bar(t, 100, solid(0.04, float64(mm)/1000, 79e9), then)
			c := must(s.Certain())
			piece := must(interval.Sub(must(c.TwistTotal()), must(c.Twist((&outward{}).given(float64(mm)/1000)))))
			if _, ok := interval.Intersect(piece, alone); !ok || piece.Hi-piece.Lo > 1e-10*alone.Hi {
				t.Errorf("the piece twists by %v, alone by %v", piece, alone)
			}
		})
	}
}
