package shaft

import "testing"

// TestGearBounds: the torque of a gear pair is worked out, so its error reaches
// the bounds of both shafts. Near the hold of B the torques nearly cancel. The
// truth is from testdata/gearpair.py.
func TestGearBounds(t *testing.T) {
	a := Spec{Pieces: []Piece{solid(0.0441, 0.8392, 79e9)}, Supports: []Support{{}}, Torques: []Torque{{X: 0.5712, Value: -202}}}
	b := Spec{Pieces: []Piece{solid(0.0227, 0.1553, 79e9)}, Supports: []Support{{X: 0.1553}}, Torques: []Torque{{X: 0.085, Value: 174.3}}}
	p, list := newPair(a, b, Mesh{XA: 0.8392, XB: 0, TeethA: 28, TeethB: 18})
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		s    *Shaft
		x    float64
		want float64
	}{
		{"B between its loads", p.B, 0.085, -0.00004805958601662447113679},
		{"B as a whole", p.B, 0.1553, -0.00603788074107664105761},
		{"A as a whole", p.A, 0.8392, -0.003881494762120697822749},
	} {
		bounds := must(must(c.s.Certain()).Twist((&outward{}).given(c.x)))
		if !bounds.Contains(c.want) || bounds.Hi-bounds.Lo > 1e-13 {
			t.Errorf("%s twists by %v, want %v", c.name, bounds, c.want)
		}
	}
}
