package shaft

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"shaftbook/kernel/interval"
)

// yielding returns a piece with a yield stress.
func yielding(p Piece, stress float64) Piece {
	p.Yield = stress
	return p
}

// TestYieldOracle compares the twist beyond the yield stress with values that were
// worked out from the integrals over the radius and along the shaft (testdata/yield.py).
func TestYieldOracle(t *testing.T) {
	file, err := os.Open("testdata/yield.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		t.Run(row[0], func(t *testing.T) {
			v := make([]float64, len(row))
			for i := 1; i < len(row); i++ {
				if v[i], err = strconv.ParseFloat(row[i], 64); err != nil {
					t.Fatal(err)
				}
			}
			p := Piece{Length: v[5] * mm, G: v[6] * 1e9, Yield: v[7] * 1e6, Outer: Profile{Start: v[1] * mm, End: v[2] * mm}}
			if v[3] > 0 {
				p.Bore = &Profile{Start: v[3] * mm, End: v[4] * mm}
			}
			spec := Spec{Pieces: []Piece{p}, Supports: []Support{{}}, Torques: []Torque{{X: p.Length, Value: v[8]}}}
			if v[9] != 0 || v[10] != 0 {
				spec.DistributedTorques = []DistributedTorque{{To: p.Length, Start: v[9], End: v[10]}}
			}
			s := build(t, spec)
			if !s.Yields() {
				t.Fatal("nothing yields")
			}
			c := must(s.Certain())
			scale := math.Abs(v[11])
			check := func(what string, got, want, scale, tol float64, in interval.Interval) {
				t.Helper()
				if d := math.Abs(got-want) / scale; !(d <= tol) {
					t.Errorf("%s = %.17g, want %.17g: off by %.2g", what, got, want, d)
				}
				if slack := 1e-15 * scale; !(in.Lo-slack <= want && want <= in.Hi+slack) {
					t.Errorf("%s = %.17g is not within %.17g and %.17g", what, want, in.Lo, in.Hi)
				}
				if w := (in.Hi - in.Lo) / scale; !(w <= 1e-8) {
					t.Errorf("%s is enclosed to %.2g only", what, w)
				}
			}
			check("twist", s.TwistTotal(), v[11], scale, 1e-12, must(c.TwistTotal()))
			check("permanent twist", s.PermanentTotal(), v[12], scale, 1e-12, must(c.PermanentTotal()))
			quarter := p.Length / 4
			check("permanent twist of a quarter", must(s.PermanentTwist(quarter)), v[13], scale, 1e-12, must(c.PermanentTwist(point(quarter))))
			check("elastic core", must(s.ElasticCore(0))/mm, v[14], v[14], 1e-9, times(must(c.ElasticCore(point(0))), 1/mm))
			whole := must(s.Twist(quarter)) - must(s.SpringBack(quarter)) - must(s.PermanentTwist(quarter))
			if math.Abs(whole) > 1e-15*scale {
				t.Errorf("spring-back and permanent twist are off the twist by %g", whole)
			}
		})
	}
}

func times(x interval.Interval, by float64) interval.Interval {
	return must(interval.Mul(x, point(by)))
}

// drawYielding draws a round piece and a torque between nothing and almost the
// fully plastic one, of either sign.
func drawYielding(t *rapid.T) (p Piece, torque float64) {
	d := rapid.Float64Range(0.02, 0.12).Draw(t, "d")
	p = yielding(solid(d, 1, rapid.Float64Range(20e9, 90e9).Draw(t, "G")), rapid.Float64Range(20e6, 400e6).Draw(t, "yield"))
	if rapid.Bool().Draw(t, "hollow") {
		b := Uniform(d * rapid.Float64Range(0.01, 0.97).Draw(t, "bore share"))
		p.Bore = &b
	}
	bore := 0.0
	if p.Bore != nil {
		bore = p.Bore.Start
	}
	full := ductile{d, bore, p.G, p.Yield}.plasticTorque()
	share := rapid.Float64Range(0, 0.999).Draw(t, "share of the plastic torque")
	return p, full * share * rapid.SampledFrom([]float64{1, -1}).Draw(t, "sign")
}

// The stress over the radius must make the torque, and what remains of it none;
// both are integrated here by a rule of gonum, not by a formula of ours.
func TestYieldStressMakesTheTorque(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, torque := drawYielding(t)
		s := mustBuild(t, Spec{Pieces: []Piece{p}, Supports: []Support{{}}, Torques: []Torque{{X: 1, Value: torque}}})
		inner, outer := 0.0, p.Outer.Start/2
		if p.Bore != nil {
			inner = p.Bore.Start / 2
		}
		core := must(s.ElasticCore(0.5)) / 2
		sum := func(f func(r float64) float64) float64 {
			g := func(r float64) float64 { return 2 * math.Pi * f(r) * r * r }
			return quad.Fixed(g, inner, core, 8, nil, 0) + quad.Fixed(g, core, outer, 8, nil, 0)
		}
		full := must(s.PlasticTorque(0.5))
		if made := sum(func(r float64) float64 { return must(s.StressAt(0.5, r)) }); math.Abs(made-math.Abs(torque)) > 1e-11*full {
			t.Errorf("the stresses make %g, not %g", made, torque)
		}
		if left := sum(func(r float64) float64 { return must(s.ResidualStress(0.5, r)) }); math.Abs(left) > 1e-11*full {
			t.Errorf("the residual stresses make a torque of %g of %g", left, full)
		}
		for k := range 41 {
			r := inner + (outer-inner)*float64(k)/40
			stress, left := must(s.StressAt(0.5, r)), must(s.ResidualStress(0.5, r))
			if stress > p.Yield || math.Abs(left) > p.Yield {
				t.Fatalf("at r = %g the stress is %g and %g remains, beyond %g", r, stress, left, p.Yield)
			}
		}
		if y := must(s.YieldTorque(0.5)); full > y*4/3*(1+1e-15) || full < y {
			t.Errorf("the plastic torque %g is not between the yield torque %g and 4/3 of it", full, y)
		}
	})
}

// What is certain holds the values, and the permanent twist lies between nothing and
// the twist, with its sign.
func TestYieldBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, torque := drawYielding(t)
		s := mustBuild(t, Spec{Pieces: []Piece{p}, Supports: []Support{{}}, Torques: []Torque{{X: 1, Value: torque}}})
		c, err := s.Certain()
		if err != nil {
			return // too near the plastic torque to be enclosed
		}
		x := rapid.Float64Range(0.01, 0.99).Draw(t, "x")
		r := p.Outer.Start / 2
		within := func(what string, v float64, in interval.Interval, err error) {
			if err == nil && !(in.Lo <= v+1e-13*math.Abs(v) && v-1e-13*math.Abs(v) <= in.Hi) {
				t.Errorf("%s %.17g is not within %.17g and %.17g", what, v, in.Lo, in.Hi)
			}
		}
		b, err := c.Twist(point(x))
		within("twist", must(s.Twist(x)), b, err)
		b, err = c.TwistRate(point(x))
		within("rate", must(s.TwistRate(x)), b, err)
		b, err = c.Stress(point(x))
		within("stress", must(s.Stress(x)), b, err)
		b, err = c.StressAt(point(x), point(r))
		within("stress at the surface", must(s.StressAt(x, r)), b, err)
		b, err = c.ElasticCore(point(x))
		within("core", must(s.ElasticCore(x)), b, err)
		b, err = c.YieldTorque(point(x))
		within("yield torque", must(s.YieldTorque(x)), b, err)
		b, err = c.PlasticTorque(point(x))
		within("plastic torque", must(s.PlasticTorque(x)), b, err)
		within("greatest stress", must(s.Stress(x)), c.StressMax(), nil)
		twist, left := must(s.Twist(x)), must(s.PermanentTwist(x))
		if left*twist < 0 || math.Abs(left) > math.Abs(twist) {
			t.Errorf("of the twist %g remains %g", twist, left)
		}
	})
}

// A yield stress that is not reached changes nothing, to the last bit.
func TestYieldStressNotReached(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pieces, length := drawPieces(t)
		spec := Spec{Pieces: pieces, Supports: drawHolds(t, length),
			Torques: []Torque{{X: places(length).Draw(t, "x"), Value: loads().Draw(t, "torque")}}}
		plain := mustBuild(t, spec)
		strong := spec
		strong.Pieces = nil
		most, _ := plain.StressMax()
		for _, p := range pieces {
			strong.Pieces = append(strong.Pieces, yielding(p, 1.01*most+1))
		}
		s := mustBuild(t, strong)
		x := places(length).Draw(t, "place")
		if s.Yields() || s.TwistTotal() != plain.TwistTotal() || must(s.Twist(x)) != must(plain.Twist(x)) || s.PermanentTotal() != 0 ||
			must(s.Stress(x)) != must(plain.Stress(x)) || must(s.TwistRate(x)) != must(plain.TwistRate(x)) {
			t.Error("the yield stress changes an elastic shaft")
		}
	})
}

func mustBuild(t *rapid.T, spec Spec) *Shaft {
	s, list := New(spec)
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	return s
}

// The greatest stress of a shaft of which one piece yields, and where it is.
func TestYieldPeak(t *testing.T) {
	cases := []struct {
		name     string
		pieces   []Piece
		stress   float64
		from, to float64 // where it is first reached
	}{
		{"uniform", []Piece{yielding(solid(0.036, 1, 79e9), 100e6)}, 100e6, 0, 0},
		{"the thin end of a taper", []Piece{yielding(taper(0.054, 0.036, 1, 79e9), 100e6)}, 100e6, 0.9, 0.99},
		{"an elastic piece carries more", []Piece{yielding(solid(0.036, 1, 79e9), 100e6), solid(0.03, 1, 79e9)}, 1000 * 16 / (math.Pi * 0.03 * 0.03 * 0.03), 1, 1},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := bar(t, 1000, c.pieces...)
			stress, x := s.StressMax()
			if math.Abs(stress-c.stress) > 1e-12*c.stress || x < c.from || x > c.to {
				t.Errorf("%g at %g, want %g between %g and %g", stress, x, c.stress, c.from, c.to)
			}
			if at := must(s.Stress(x)); math.Abs(at-stress) > 1e-9*stress {
				t.Errorf("the stress there is %g, not %g", at, stress)
			}
		})
	}
}

// Limits are held against what the shaft carries as it yields.
func TestYieldLimits(t *testing.T) {
	piece := yielding(solid(0.036, 1, 79e9), 100e6)
	for _, c := range []struct {
		name  string
		limit Limit
		over  bool
	}{
		{"stress below the yield stress", Limit{Of: Stress, Value: 99e6}, true},
		{"stress above the yield stress", Limit{Of: Stress, Value: 101e6}, false},
		{"twist above the elastic one", Limit{Of: TwistRate, Value: 1.01 * 1000 / (79e9 * math.Pi / 32 * math.Pow(0.036, 4))}, true},
	} {
		s := build(t, Spec{Pieces: []Piece{piece}, Supports: []Support{{}}, Torques: []Torque{{X: 1, Value: 1000}}, Limits: []Limit{c.limit}})
		over := must(s.Exceeded())
		if (len(over) > 0) != c.over {
			t.Errorf("%s: %+v", c.name, over)
		}
	}
}

// What has no value beyond the yield stress is refused.
func TestYieldRefusals(t *testing.T) {
	s := bar(t, 1000, yielding(solid(0.036, 1, 79e9), 100e6), solid(0.05, 1, 79e9))
	refused := func(what string, err, want error) {
		t.Helper()
		if !errors.Is(err, want) {
			t.Errorf("%s: %v", what, err)
		}
	}
	_, err := s.Segments(4)
	refused("segments", err, ErrYielded)
	_, err = s.SegmentTwists(4)
	refused("table of segments", err, ErrYielded)
	_, err = s.Bracket(4)
	refused("bracket", err, ErrYielded)
	var none *YieldError
	if _, err := s.YieldTorque(1.5); !errors.As(err, &none) || none.Reason != NoYieldStress {
		t.Errorf("yield torque of an elastic piece: %v", err)
	}
	var radius *RadiusError
	if _, err := s.StressAt(0.5, 0.02); !errors.As(err, &radius) {
		t.Errorf("stress beside the section: %v", err)
	}
	var off *RangeError
	for _, f := range []func(float64) (float64, error){s.YieldTorque, s.PlasticTorque, s.ElasticCore, s.PermanentTwist, s.SpringBack} {
		if _, err := f(3); !errors.As(err, &off) {
			t.Errorf("off the end: %v", err)
		}
	}
}

// A support elsewhere moves the rotation of all sections and no twist.
func TestYieldRotation(t *testing.T) {
	piece := yielding(solid(0.036, 1, 79e9), 100e6)
	for _, hold := range []Support{{}, {X: 1}, {X: 1, Elastic: true, Stiffness: 5e4}} {
		t.Run(fmt.Sprint(hold.X, hold.Elastic), func(t *testing.T) {
			s := build(t, Spec{Pieces: []Piece{piece}, Supports: []Support{hold}, Torques: []Torque{{X: 1 - hold.X, Value: 1000}}})
			turn := must(s.Rotation(hold.X))
			want := 0.0
			if hold.Elastic {
				want = 1000 / hold.Stiffness
			}
			if math.Abs(turn-want) > 1e-15 {
				t.Errorf("the support turns by %g, not %g", turn, want)
			}
		})
	}
}

// Shafts that gears join may have a yield stress that is not reached; the steps on
// the way to the torques of the gears do not count as loads.
func TestYieldGears(t *testing.T) {
	mesh := Mesh{XA: 1, XB: 0, TeethA: 20, TeethB: 50}
	shafts := func(torque, stress float64) (Spec, Spec) {
		in, out := yielding(solid(0.03, 1, 79e9), stress), yielding(solid(0.05, 1, 79e9), stress)
		return Spec{Pieces: []Piece{in}, Supports: []Support{{}}, Torques: []Torque{{X: 0.5, Value: torque}}},
			Spec{Pieces: []Piece{out}, Supports: []Support{{X: 1}}}
	}
	a, b := shafts(300, 0)
	plain := paired(t, a, b, mesh)
	most, _ := plain.A.StressMax()
	for _, c := range []struct {
		name   string
		stress float64
		code   string
	}{
		{"not reached", 1.01 * most, ""},
		{"reached", 0.99 * most, string(CodeYield)},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, b := shafts(300, c.stress)
			p, list := newPair(a, b, mesh)
			if c.code != "" {
				if d := list.FirstError(); d == nil || string(d.Code) != c.code {
					t.Fatalf("%v", list)
				}
				return
			}
			if err := list.Err(); err != nil {
				t.Fatal(err)
			}
			if p.A.TwistTotal() != plain.A.TwistTotal() || p.B.TwistTotal() != plain.B.TwistTotal() {
				t.Error("the yield stress changes elastic shafts")
			}
			if k := must(p.A.StiffnessAt(0.5)); k != must(plain.A.StiffnessAt(0.5)) {
				t.Error("the yield stress changes a stiffness")
			}
		})
	}
}
