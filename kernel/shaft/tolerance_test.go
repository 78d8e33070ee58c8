package shaft_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/shaft"
)

// put returns the spec with each tolerance at the share u of its way from Low to
// High.
func put(spec shaft.Spec, list []shaft.Tolerance, u func(i int) float64) shaft.Spec {
	pieces := append([]shaft.Piece(nil), spec.Pieces...)
	for i := range pieces {
		if b := pieces[i].Bore; b != nil {
			bore := *b
			pieces[i].Bore = &bore
		}
	}
	spec.Pieces = pieces
	spec.Torques = append([]shaft.Torque(nil), spec.Torques...)
	spec.DistributedTorques = append([]shaft.DistributedTorque(nil), spec.DistributedTorques...)
	for k, t := range list {
		v := t.Low + u(k)*(t.High-t.Low)
		switch t.Of {
		case shaft.OuterEven:
			pieces[t.Index].Outer = shaft.Uniform(v)
		case shaft.OuterStart:
			pieces[t.Index].Outer.Start = v
		case shaft.OuterEnd:
			pieces[t.Index].Outer.End = v
		case shaft.BoreEven:
			*pieces[t.Index].Bore = shaft.Uniform(v)
		case shaft.BoreStart:
			pieces[t.Index].Bore.Start = v
		case shaft.BoreEnd:
			pieces[t.Index].Bore.End = v
		case shaft.ShearModulus:
			for i := t.Index; i <= t.Last; i++ {
				pieces[i].G = v
			}
		case shaft.TorqueValue:
			spec.Torques[t.Index].Value = v
		case shaft.SpreadEven:
			spec.DistributedTorques[t.Index].Start, spec.DistributedTorques[t.Index].End = v, v
		case shaft.SpreadStart:
			spec.DistributedTorques[t.Index].Start = v
		case shaft.SpreadEnd:
			spec.DistributedTorques[t.Index].End = v
		}
	}
	return spec
}

func around(v, by float64) (low, high float64) { return v - by, v + by }

func tolerance(of shaft.Part, index int, v, by float64) shaft.Tolerance {
	low, high := around(v, by)
	return shaft.Tolerance{Of: of, Index: index, Last: index, Low: low, High: high}
}

func mustTolerant(t interface {
	Helper()
	Fatal(...any)
}, spec shaft.Spec, list []shaft.Tolerance) *shaft.Tolerant {
	t.Helper()
	s, errs := shaft.NewTolerant(spec, list)
	if errs.HasErrors() {
		t.Fatal(errs)
	}
	return s
}

// TestToleranceEnds compares with the formulas of the end values, written out:
// Gere, Mechanics of Materials, Eqs 3-11, 3-15 and 3-17.
func TestToleranceEnds(t *testing.T) {
	const mm, gpa, torque, length = 1e-3, 1e9, 420.0, 0.8
	j := func(outer, bore float64) float64 { return math.Pi / 32 * (math.Pow(outer, 4) - math.Pow(bore, 4)) }
	// ∫ dx/d⁴ of a straight taper: L/(3·(d₁ − d₀))·(1/d₀³ − 1/d₁³).
	taper := func(g, d0, d1 float64) float64 {
		return 32 * length / (math.Pi * g) / (3 * (d1 - d0)) * (math.Pow(d0, -3) - math.Pow(d1, -3))
	}
	load := []shaft.Torque{{X: length, Value: torque}}
	hold := []shaft.Support{{X: 0}}
	bore := shaft.Uniform(20 * mm)
	cases := []struct {
		name   string
		piece  shaft.Piece
		list   []shaft.Tolerance
		twist  [2]float64
		stress [2]float64
	}{
		{
			"solid", shaft.Piece{Length: length, G: 79 * gpa, Outer: shaft.Uniform(36 * mm)},
			[]shaft.Tolerance{tolerance(shaft.OuterEven, 0, 36*mm, 0.1*mm)},
			[2]float64{torque * length / (79 * gpa * j(36.1*mm, 0)), torque * length / (79 * gpa * j(35.9*mm, 0))},
			[2]float64{16 * torque / (math.Pi * math.Pow(36.1*mm, 3)), 16 * torque / (math.Pi * math.Pow(35.9*mm, 3))},
		},
		{
			"taper, modulus and torque", shaft.Piece{Length: length, G: 79 * gpa, Outer: shaft.Profile{Start: 36 * mm, End: 54 * mm}},
			[]shaft.Tolerance{
				tolerance(shaft.OuterStart, 0, 36*mm, 0.1*mm), tolerance(shaft.OuterEnd, 0, 54*mm, 0.1*mm),
				tolerance(shaft.ShearModulus, 0, 79*gpa, 1*gpa), tolerance(shaft.TorqueValue, 0, torque, 10),
			},
			[2]float64{410 * taper(80*gpa, 36.1*mm, 54.1*mm), 430 * taper(78*gpa, 35.9*mm, 53.9*mm)},
			[2]float64{16 * 410 / (math.Pi * math.Pow(36.1*mm, 3)), 16 * 430 / (math.Pi * math.Pow(35.9*mm, 3))},
		},
		{
			"hollow", shaft.Piece{Length: length, G: 79 * gpa, Outer: shaft.Uniform(54 * mm), Bore: &bore},
			[]shaft.Tolerance{tolerance(shaft.OuterEven, 0, 54*mm, 0.1*mm), tolerance(shaft.BoreEven, 0, 20*mm, 0.2*mm)},
			[2]float64{torque * length / (79 * gpa * j(54.1*mm, 19.8*mm)), torque * length / (79 * gpa * j(53.9*mm, 20.2*mm))},
			[2]float64{torque * 27.05 * mm / j(54.1*mm, 19.8*mm), torque * 26.95 * mm / j(53.9*mm, 20.2*mm)},
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := mustTolerant(t, shaft.Spec{Pieces: []shaft.Piece{c.piece}, Torques: load, Supports: hold}, c.list)
			sameEnds(t, "twist", s.TwistTotal(), c.twist)
			stress, err := s.StressMax()
			if err != nil {
				t.Fatal(err)
			}
			sameEnds(t, "greatest stress", stress, c.stress)
			segments, err := s.Bracket(50)
			if err != nil || segments.Lo > c.twist[0] || segments.Hi < c.twist[1] {
				t.Errorf("from segments %v, want around %v (%v)", segments, c.twist, err)
			}
		})
	}
}

func sameEnds(t *testing.T, what string, got interval.Interval, want [2]float64) {
	t.Helper()
	slack := 1e-8 * (want[1] - want[0])
	if got.Lo > want[0]+1e-14*want[0] || got.Hi < want[1]-1e-14*want[1] || got.Lo < want[0]-slack || got.Hi > want[1]+slack {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

// anyTolerant draws a shaft with tolerances of every kind. signed asks for one
// hold at 0 and torques above 0.
func anyTolerant(t *rapid.T, signed bool) (shaft.Spec, []shaft.Tolerance) {
	real := func(label string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, label) }
	yes := func(label string) bool { return rapid.Bool().Draw(t, label) }
	var spec shaft.Spec
	var list []shaft.Tolerance
	maybe := func(of shaft.Part, index int, v float64) {
		if yes("toleranced") {
			list = append(list, tolerance(of, index, v, math.Abs(v)*real("tolerance", 1e-4, 0.02)))
		}
	}
	length := 0.0
	n := rapid.IntRange(1, 3).Draw(t, "pieces")
	for i := range n {
		d := real("d", 0.03, 0.05)
		p := shaft.Piece{Length: real("length", 0.1, 0.5), G: 79e9, Outer: shaft.Uniform(d)}
		if yes("taper") {
			p.Outer.End = real("d1", 0.03, 0.05)
			maybe(shaft.OuterStart, i, d)
			maybe(shaft.OuterEnd, i, p.Outer.End)
		} else {
			maybe(shaft.OuterEven, i, d)
		}
		if yes("hollow") {
			bore := shaft.Uniform(real("bore", 0.01, 0.02))
			p.Bore = &bore
			maybe(shaft.BoreEven, i, bore.Start)
		}
		length += p.Length
		spec.Pieces = append(spec.Pieces, p)
	}
	if yes("modulus") {
		list = append(list, shaft.Tolerance{Of: shaft.ShearModulus, Index: 0, Last: n - 1, Low: 78e9, High: 80e9})
	}
	least := -500.0
	if signed {
		least = 100
	}
	for i := range rapid.IntRange(1, 2).Draw(t, "torques") {
		v := real("torque", least, 500)
		if math.Abs(v) < 1e-60 {
			v = 1 // where a twist is subnormal, its rounding is as large as itself
		}
		spec.Torques = append(spec.Torques, shaft.Torque{X: length * float64(i+1) / 2, Value: v})
		maybe(shaft.TorqueValue, i, v)
	}
	if yes("spread") {
		v, end := real("spread", least, 500), real("end", least, 500)
		spec.DistributedTorques = []shaft.DistributedTorque{{From: 0.1 * length, To: 0.9 * length, Start: v, End: end}}
		maybe(shaft.SpreadStart, 0, v)
		maybe(shaft.SpreadEnd, 0, end)
	}
	if signed {
		spec.Supports = []shaft.Support{{X: 0}}
		return spec, list
	}
	for i, share := range []float64{0, 0.4, 1}[:rapid.IntRange(1, 3).Draw(t, "holds")] {
		spec.Supports = append(spec.Supports, shaft.Support{X: length * share, Elastic: yes("elastic"), Stiffness: 1e4 * float64(i+1)})
	}
	if len(spec.Supports) == 1 && yes("elsewhere") {
		spec.Supports[0].X = length * real("hold", 0, 1)
	}
	return spec, list
}

// TestTolerancesHold solves the shaft at random corners and inside of the
// tolerances, and never finds a value outside the bounds.
func TestTolerancesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, list := anyTolerant(t, false)
		s, errs := shaft.NewTolerant(spec, list)
		if errs.HasErrors() {
			t.Fatal(errs)
		}
		for range 24 {
			corner := rapid.Bool().Draw(t, "corner")
			one, errs := shaft.New(put(spec, list, func(int) float64 {
				if corner {
					return float64(rapid.IntRange(0, 1).Draw(t, "end"))
				}
				return rapid.Float64Range(0, 1).Draw(t, "share")
			}))
			if errs.HasErrors() {
				t.Fatal(errs)
			}
			inBounds(t, s, one)
		}
	})
}

// inBounds checks every value of one shaft, whose own error is some 1e-12 of the
// largest, against the bounds.
func inBounds(t *rapid.T, s *shaft.Tolerant, one *shaft.Shaft) {
	twist := 0.0
	for _, x := range one.Breaks() {
		v, _ := one.Twist(x)
		twist = max(twist, math.Abs(v))
	}
	check := func(what string, v, scale float64) func(interval.Interval, error) {
		return func(b interval.Interval, err error) {
			slack := 1e-11 * scale
			if err != nil || v < b.Lo-slack || v > b.Hi+slack {
				t.Fatalf("%s %v is outside %v (%v)", what, v, b, err)
			}
		}
	}
	check("twist", one.TwistTotal(), twist)(s.TwistTotal(), nil)
	check("bracket", one.TwistTotal(), twist)(s.Bracket(7))
	check("stiffness", one.Stiffness(), one.Stiffness())(s.Stiffness())
	stress, _ := one.StressMax()
	check("greatest stress", stress, stress)(s.StressMax())
	if b, err := s.Energy(); err == nil {
		check("energy", one.Energy(), one.Energy())(b, err)
	}
	for _, share := range []float64{0, 0.13, 0.37, 0.5, 0.71, 0.97, 1} {
		x := share * one.Length()
		at := interval.Interval{Lo: x, Hi: x}
		for _, f := range []struct {
			what string
			v    func(float64) (float64, error)
			b    func(interval.Interval) (interval.Interval, error)
			size float64
		}{
			{"twist at", one.Twist, s.Twist, twist},
			{"torque", one.Torque, s.Torque, 1000},
			{"rate", one.TwistRate, s.TwistRate, 1000 / (79e9 * 1e-8)},
			{"stress", one.Stress, s.Stress, stress},
			{"J", one.J, s.JOver, 1e-7},
			{"d", one.Diameter, s.DiameterOver, 0.05},
			{"bore", one.Bore, s.BoreOver, 0.05},
		} {
			v, err := f.v(x)
			if err != nil {
				t.Fatal(err)
			}
			check(f.what, v, f.size)(f.b(at))
		}
	}
	for _, x := range s.Holds() {
		r, err := one.Reaction(x)
		if err != nil {
			t.Fatal(err)
		}
		check("reaction", r, 1000)(s.Reaction(x))
	}
}

// TestTolerancesAreTight compares with the true range, which is that of the
// corners where one hold at x = 0 takes torques of one sign.
func TestTolerancesAreTight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, list := anyTolerant(t, true)
		s, errs := shaft.NewTolerant(spec, list)
		if errs.HasErrors() {
			t.Fatal(errs)
		}
		end := func(soft bool) *shaft.Shaft {
			one, errs := shaft.New(put(spec, list, func(i int) float64 {
				of := list[i].Of
				grows := of.IsLoad() || of == shaft.BoreEven || of == shaft.BoreStart || of == shaft.BoreEnd
				if grows == soft {
					return 1
				}
				return 0
			}))
			if errs.HasErrors() {
				t.Fatal(errs)
			}
			return one
		}
		least, most := end(false), end(true)
		tight := func(what string, b interval.Interval, low, high float64) {
			if width := high - low; b.Hi-b.Lo > 1.02*width+1e-11*math.Abs(high) {
				t.Fatalf("%s: %v is %.4f times as wide as %v to %v", what, b, (b.Hi-b.Lo)/width, low, high)
			}
		}
		tight("twist", s.TwistTotal(), least.TwistTotal(), most.TwistTotal())
		low, _ := least.StressMax()
		high, _ := most.StressMax()
		stress, err := s.StressMax()
		if err != nil {
			t.Fatal(err)
		}
		// Where the greatest stress is inside a taper, the bound comes near it: within
		// 1.3e-4 in the worst of some thousand shafts.
		if stress.Hi > high*(1+1e-3) || stress.Lo < low*(1-1e-3) {
			t.Fatalf("greatest stress %v, want %v to %v", stress, low, high)
		}
		for _, share := range []float64{0.21, 0.5, 0.83} {
			x := share * least.Length()
			low, _ := least.Twist(x)
			high, _ := most.Twist(x)
			b, err := s.Twist(interval.Interval{Lo: x, Hi: x})
			if err != nil {
				t.Fatal(err)
			}
			tight("twist at", b, low, high)
		}
	})
}

func TestShares(t *testing.T) {
	spec := shaft.Spec{
		Pieces:  []shaft.Piece{{Length: 1, G: 79e9, Outer: shaft.Uniform(0.036)}},
		Torques: []shaft.Torque{{X: 1, Value: 420}}, Supports: []shaft.Support{{X: 0}},
	}
	list := []shaft.Tolerance{
		tolerance(shaft.TorqueValue, 0, 420, 4.2),        // 1 % of the twist
		tolerance(shaft.OuterEven, 0, 0.036, 0.0036*0.1), // 1 % of d, about 4 % of the twist
	}
	shares := mustTolerant(t, spec, list).Shares()
	if len(shares) != 2 || shares[0].Of != shaft.OuterEven || math.Abs(shares[0].Part-0.8) > 1e-3 || math.Abs(shares[0].Part+shares[1].Part-1) > 1e-12 {
		t.Errorf("got %+v", shares)
	}
}

func TestToleranceRefused(t *testing.T) {
	bar := shaft.Piece{Length: 1, G: 79e9, Outer: shaft.Uniform(0.036)}
	bore := shaft.Uniform(0.0355)
	tube := bar
	tube.Bore = &bore
	cored := bar
	cored.Core = &shaft.Core{Diameter: 0.02, G: 26e9}
	held := []shaft.Support{{X: 0}}
	cases := []struct {
		name string
		spec shaft.Spec
		of   shaft.Tolerance
		code string
	}{
		{"no hold", shaft.Spec{Pieces: []shaft.Piece{bar}, Torques: []shaft.Torque{{X: 0, Value: -5}, {X: 1, Value: 5}}},
			tolerance(shaft.TorqueValue, 1, 5, 0.1), string(shaft.CodeTolerance)},
		{"core", shaft.Spec{Pieces: []shaft.Piece{cored}, Supports: held}, tolerance(shaft.OuterEven, 0, 0.036, 1e-4), string(shaft.CodeTolerance)},
		{"bore through the wall", shaft.Spec{Pieces: []shaft.Piece{tube}, Supports: held}, tolerance(shaft.BoreEven, 0, 0.0355, 1e-3), string(shaft.CodeBore)},
		{"diameter below 0", shaft.Spec{Pieces: []shaft.Piece{bar}, Supports: held}, tolerance(shaft.OuterEven, 0, 0.036, 0.04), string(shaft.CodeDiameter)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, errs := shaft.NewTolerant(c.spec, []shaft.Tolerance{c.of})
			if d := errs.FirstError(); d == nil || string(d.Code) != c.code || d.Repair == "" {
				t.Errorf("got %v, want %s with a way out", errs, c.code)
			}
		})
	}
}
