package shaft

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// Units of the published rows.
const (
	mm   = 1e-3
	inch = 0.0254
	foot = 12 * inch
	lbf  = 0.45359237 * 9.80665 // N
	psi  = lbf / (inch * inch)
	ksi  = 1000 * psi
	lbin = lbf * inch
	deg  = math.Pi / 180
	hp   = 550 * lbf * foot // W
	rpm  = 2 * math.Pi / 60 // rad/s
)

// TestPublished checks every row of testdata/published.csv: to the printed
// digits where a number is printed (to one and a half of the last digit where
// the note says that the print is off by one), and to the tolerance that the
// formula row states here where a formula is printed.
func TestPublished(t *testing.T) {
	file, err := os.Open("testdata/published.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	numbers, formulas := publishedNumbers(t), publishedFormulas(t)
	for _, f := range records[1:] {
		id, quantity, printed, digits, seen := f[0], f[3], f[4], f[6], f[9]
		t.Run(id, func(t *testing.T) {
			if formula, ok := formulas[id]; ok {
				if d := math.Abs(formula.got - formula.want); !(d <= formula.tol*math.Abs(formula.want)) {
					t.Errorf("%s (%s): got %.12g, %s gives %.12g", quantity, seen, formula.got, printed, formula.want)
				}
				return
			}
			got, ok := numbers[id]
			if !ok {
				t.Fatal("no check for this row")
			}
			want, err := strconv.ParseFloat(printed, 64)
			if err != nil {
				t.Fatal(err)
			}
			n, err := strconv.Atoi(digits)
			if err != nil {
				t.Fatal(err)
			}
			tol := 0.5
			if strings.HasPrefix(f[10], "[OK-1ulp]") {
				tol = 1.5
			}
			last := math.Pow(10, math.Floor(math.Log10(math.Abs(want)))+1-float64(n))
			if d := math.Abs(got - want); !(d <= tol*last*(1+1e-9)) {
				t.Errorf("%s (%s): got %.10g, want %s in %s", quantity, seen, got, printed, f[7])
			}
		})
	}
}

// A bar is a shaft held at x = 0 with a torque at its far end.
func bar(t testing.TB, torque float64, pieces ...Piece) *Shaft {
	t.Helper()
	length := 0.0
	for _, p := range pieces {
		length += p.Length
	}
	return build(t, Spec{Pieces: pieces, Supports: []Support{{}}, Torques: []Torque{{X: length, Value: torque}}})
}

func solid(d, length, g float64) Piece { return Piece{Length: length, G: g, Outer: Uniform(d)} }

func taper(d0, d1, length, g float64) Piece {
	return Piece{Length: length, G: g, Outer: Profile{Start: d0, End: d1}}
}

func tube(d, bore, length, g float64) Piece {
	b := Uniform(bore)
	return Piece{Length: length, G: g, Outer: Uniform(d), Bore: &b}
}

func of(t testing.TB, s *Section, err error) Piece {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return Piece{Length: 1, G: 1, Section: s}
}

func stressMax(s *Shaft) float64 { v, _ := s.StressMax(); return v }

// must returns the value of a call that may fail.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// size returns the diameter at which f, which falls with it, comes down to 0.
func size(f func(d float64) float64) float64 {
	low, high := 1e-3, 10.0
	for range 200 {
		mid := math.Sqrt(low * high)
		if f(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Sqrt(low * high)
}

func publishedNumbers(t *testing.T) map[string]float64 {
	m := map[string]float64{}
	uniformRows(t, m)
	taperRows(t, m)
	steppedRows(t, m)
	compositeRows(t, m)
	powerRows(t, m)
	energyRows(t, m)
	coneRows(t, m)
	sectionRows(t, m)
	yieldRows(t, m)
	return m
}

func uniformRows(t *testing.T, m map[string]float64) {
	// U01: Gere, Prob 3.3-8
	u01 := bar(t, 1, solid(100*mm, 3, 80e9))
	m["U01a"] = 50e6 / stressMax(u01)
	m["U01c"] = u01.Stiffness() * 2 * deg
	m["U01b"] = must(u01.TwistRate(1)) * m["U01c"]
	// U03: Gere & Goodno, Prob 3.5-10
	u03 := bar(t, 300, solid(40*mm, 1, 27e9))
	m["U03a"] = stressMax(u03) / 1e6
	m["U03b"] = stressMax(u03) / 27e9 * 1e6
	// U04: Singer & Pytel, Prob 305
	d := size(func(d float64) float64 { return bar(t, 12e3, solid(d, 6, 83e9)).TwistTotal() - 3*deg })
	m["U04a"] = d / mm
	m["U04b"] = stressMax(bar(t, 12e3, solid(d, 6, 83e9))) / 1e6
	// U06: Singer & Pytel, Prob 304 (answer from memory)
	u06 := bar(t, 15e3*lbf*foot, solid(4*inch, 3*foot, 12e6*psi))
	m["U06a"] = stressMax(u06) / ksi
	m["U06b"] = u06.TwistTotal() / deg
	// U08: Leckie & Dal Bello, Prob 3-4
	radius := 80 * mm
	p := of(t, must2(ThinTube(math.Pi*radius*radius, Wall{2 * math.Pi * radius, 5 * mm})), nil)
	p.Length, p.G = 2, 40e9
	u08 := bar(t, 1, p)
	torque := u08.Stiffness() * 5 * deg
	m["U08a"] = u08.TwistTotal() * torque
	m["U08b"] = stressMax(u08) * torque / 40e9
	// U09: Irodov
	m["U09"] = bar(t, 1, tube(50*mm, 30*mm, 3, 81e9)).Stiffness() * 2 * deg / 1e3
	// U11: Beer & Johnston, spindle in sleeve
	spindle, sleeve := bar(t, 1, solid(1.5*inch, 1, 1)), bar(t, 1, tube(3*inch, 2.5*inch, 1, 1))
	m["U11a"] = must(spindle.J(0)) / math.Pow(inch, 4)
	m["U11b"] = 12 * ksi / stressMax(spindle) / (1000 * lbin)
	m["U11c"] = must(sleeve.J(0)) / math.Pow(inch, 4)
	m["U11d"] = 7 * ksi / stressMax(sleeve) / (1000 * lbin)
	// U12: Gere & Goodno, Prob 3.8-4
	u12 := bar(t, 1, tube(50*mm, 40*mm, 1, 1))
	m["U12a"] = must(u12.J(0)) / 1e-9
	m["U12b"] = 45e6 / stressMax(u12)
	m["U12c"] = m["U12b"] / 0.24
}

func must2(s *Section, err error) *Section { return must(s, err) }

func taperRows(t *testing.T, m map[string]float64) {
	// T01: Gere, Prob 3.4-9
	torque, length, g := 36000*lbin, 48*inch, 3.9e6*psi
	at := func(d float64) *Shaft { return bar(t, torque, taper(d, 1.5*d, length, g)) }
	one := at(inch)
	m["T01a"] = one.TwistTotal() / bar(t, torque, solid(inch, length, g)).TwistTotal()
	m["T01b"] = one.TwistTotal()
	m["T01c"] = one.TwistTotal() / 0.0523599
	m["T01d"] = size(func(d float64) float64 { return at(d).TwistTotal() - 3*deg }) / inch
	m["T01e"] = stressMax(one) / (15e3 * psi)
	m["T01f"] = size(func(d float64) float64 { return stressMax(at(d)) - 15e3*psi }) / inch
	// T02: Gere, Prob 3.4-8 (answer from memory)
	m["T02"] = size(func(beta float64) float64 {
		return bar(t, 1, taper(1, beta, 1, 1)).TwistTotal() - bar(t, 1, solid(1, 1, 1)).TwistTotal()/2
	})
}

func steppedRows(t *testing.T, m map[string]float64) {
	// S01: Gere & Goodno, Prob 3.4-7; the gears are put 1 m apart
	gears := func(p Piece) *Shaft {
		p.Length, p.G = 3, 1
		return build(t, Spec{Pieces: []Piece{p}, Torques: []Torque{
			{0, -8000 * lbin, noSpan}, {1, -3000 * lbin, noSpan}, {2, 4000 * lbin, noSpan}, {3, 7000 * lbin, noSpan}}})
	}
	d := size(func(d float64) float64 { return stressMax(gears(solid(d, 1, 1))) - 10e3*psi })
	m["S01a"], m["S01b"] = math.Pow(d/inch, 3), d/inch
	m["S01c"] = size(func(d float64) float64 {
		if d <= inch {
			return 1
		}
		return stressMax(gears(tube(d, inch, 1, 1))) - 10e3*psi
	}) / inch
	// S02: Singer & Pytel, Prob 311 (torques and lengths from memory)
	s02 := build(t, Spec{Pieces: []Piece{solid(50*mm, 7, 28e9)}, Torques: []Torque{
		{0, -800, noSpan}, {2, 1100, noSpan}, {5, -900, noSpan}, {7, 600, noSpan}}})
	m["S02a"], m["S02b"] = s02.TwistTotal(), s02.TwistTotal()/deg
	// S03: Singer & Pytel, Prob 325; the stresses are of the printed torque
	s03 := bar(t, 1, solid(2*inch, 6.5*foot, 12e6*psi), solid(1.5*inch, 3.25*foot, 12e6*psi))
	m["S03a"] = s03.Stiffness() * 6 * deg / (lbf * foot)
	printed := 817.32 * lbf * foot
	m["S03b"] = must(s03.Stress(foot)) * printed / psi
	m["S03c"] = must(s03.Stress(9*foot)) * printed / psi
	// S10, S11: Gere & Goodno, Probs 3.8-5 and 3.8-6 (in part from memory)
	fixed := func(d1, l1, d2, l2 float64) *Shaft {
		return build(t, Spec{Pieces: []Piece{solid(d1, l1, 1), solid(d2, l2, 1)},
			Supports: []Support{{}, {X: l1 + l2}}, Torques: []Torque{{X: l1, Value: 1}}})
	}
	m["S10"] = 6000 * psi / stressMax(fixed(0.75*inch, 6*inch, 1.5*inch, 15*inch)) / lbin
	s11 := fixed(20*mm, 225*mm, 25*mm, 450*mm)
	m["S11a"] = 43e6 / stressMax(s11)
	m["S11b"] = 43e6 / must(s11.Stress(500*mm))
	// G01: Beer & Johnston, Sample Problem 3.4 (from memory): AB carries T0 at A
	// and gear B, CD has gear C and is held at D; A turns with AB, C with CD.
	pair, list := newPair(
		Spec{Pieces: []Piece{solid(0.75*inch, 24*inch, 11.2e6*psi)}, Torques: []Torque{{X: 0, Value: 1}}},
		Spec{Pieces: []Piece{solid(inch, 36*inch, 11.2e6*psi)}, Supports: []Support{{X: 36 * inch}}},
		Mesh{XA: 24 * inch, XB: 0, TeethA: 0.875, TeethB: 2.45})
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	m["G01a"] = 8 * ksi / max(stressMax(pair.A), stressMax(pair.B)) / lbin
	// G02: Philpot, MecMovies M6.18: shaft (1) is held at A by the motor
	motor, list := newPair(
		Spec{Pieces: []Piece{solid(0.75*inch, 36*inch, 12e6*psi)}, Supports: []Support{{}}},
		Spec{Pieces: []Piece{solid(1.25*inch, 96*inch, 12e6*psi)}, Torques: []Torque{{X: 96 * inch, Value: 3 * 43.768 * 12 * lbin}}},
		Mesh{XA: 36 * inch, TeethA: 24, TeethB: 72})
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	m["G02a"] = -must(motor.A.Rotation(36*inch)) / 3
	m["G02b"] = must(motor.B.Rotation(96 * inch))
}

// energyRows: Gere, Examples 3-10 and 3-11 (from memory). The diameter is that of
// the printed Ip.
func energyRows(t *testing.T, m map[string]float64) {
	ip := func(j float64) float64 { return math.Pow(32*j/math.Pi, 0.25) }
	bar := solid(ip(79520e-12), 1.6, 80e9)
	energy := func(torques ...Torque) float64 {
		return build(t, Spec{Pieces: []Piece{bar}, Supports: []Support{{}}, Torques: torques}).Energy()
	}
	end, middle := Torque{X: 1.6, Value: 100}, Torque{X: 0.8, Value: 150}
	m["E01a"], m["E01b"], m["E01c"] = energy(end), energy(middle), energy(end, middle)
	m["E02"] = build(t, Spec{Pieces: []Piece{solid(ip(17.18*math.Pow(inch, 4)), 12*foot, 11.5e6*psi)}, Supports: []Support{{}},
		DistributedTorques: []DistributedTorque{{To: 12 * foot, Start: 480 * lbin / inch, End: 480 * lbin / inch}}}).Energy() / lbin
}

func compositeRows(t *testing.T, m map[string]float64) {
	in4 := math.Pow(inch, 4)
	// S08: Gere & Goodno, Prob 3.8-11: bar and tube side by side, not bonded
	inner := bar(t, 1, solid(1.5*inch, 30*inch, 11.6e6*psi))
	outer := bar(t, 1, tube(2.25*inch, 1.75*inch, 30*inch, 11.6e6*psi))
	share := inner.Stiffness() / (inner.Stiffness() + outer.Stiffness())
	m["S08a"], m["S08b"] = must(inner.J(0))/in4, must(outer.J(0))/in4
	m["S08c"], m["S08d"] = 5000*share, 5000*(1-share)
	m["S08e"] = stressMax(inner) * 5000 * lbin * share / psi
	m["S08f"] = stressMax(outer) * 5000 * lbin * (1 - share) / psi
	// S09: Gere & Goodno, Prob 3.8-13: shrunk on, so bonded
	p := solid(2*inch, 1, 12000*ksi)
	p.Core = &Core{Diameter: 1.6 * inch, G: 5400 * ksi}
	s := bar(t, 1, p)
	core := must(bar(t, 1, solid(1.6*inch, 1, 1)).J(0))
	rate := must(s.TwistRate(0))
	m["S09a"], m["S09b"] = core/in4, (must(s.J(0))-core)/in4
	m["S09c"] = rate * 5400 * ksi * core
	m["S09d"] = 1 - m["S09c"]
	m["S09e"] = 4500 * psi / (rate * 5400 * ksi * 0.8 * inch) / (1000 * lbin)
	m["S09f"] = 7500 * psi / stressMax(s) / (1000 * lbin)
}

func powerRows(t *testing.T, m map[string]float64) {
	torque := func(power, speed float64) float64 { return must(PowerTorque(power, speed)) }
	strong := func(torque, stress float64) float64 { // the diameter that carries a torque
		return size(func(d float64) float64 { return stressMax(bar(t, torque, solid(d, 1, 1))) - stress })
	}
	// P02: Gere, Prob 3.7-2
	p02 := torque(20e3, 12*2*math.Pi)
	m["P02a"] = p02
	m["P02b"] = stressMax(bar(t, p02, solid(30*mm, 1, 1))) / 1e6
	m["P02c"] = math.Pow(strong(p02, 40e6), 3) / 1e-6
	m["P02d"] = strong(p02, 40e6) / mm
	// P04: Singer & Pytel, Probs 306 to 309 (answers from memory)
	m["P04a"] = stressMax(bar(t, torque(5000*hp, 189*rpm), solid(14*inch, 1, 1))) / psi
	// Prob 307: τ = G·θ·d/(2L) at once
	d := 2 * 80e6 * 5 / (83e9 * 4 * deg)
	both := bar(t, 80e6*math.Pi*d*d*d/16, solid(d, 5, 83e9))
	if got := both.TwistTotal() / deg; math.Abs(got-4) > 1e-9 {
		t.Errorf("Prob 307: twist %g deg, want 4", got)
	}
	m["P04b"] = d / mm
	m["P04c"] = must(both.Torque(1)) * 20 * 2 * math.Pi / 1e6
	m["P04d"] = 12 * ksi / stressMax(bar(t, 1, solid(2*inch, 1, 1))) * 240 * rpm / hp
	t309 := torque(4.5e6, 3*2*math.Pi)
	stiff := size(func(d float64) float64 { return bar(t, t309, solid(d, 26*d, 83e9)).TwistTotal() - deg })
	m["P04e"] = max(stiff, strong(t309, 50e6)) / mm
	// P05: the constants of T = c·P/n (from memory)
	m["P05a"] = torque(hp, rpm) / lbin
	m["P05b"] = torque(1000, rpm)
}
