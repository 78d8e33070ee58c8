package shaft

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"shaftbook/kernel/source"
)

var noSpan source.Span

func coneRows(t *testing.T, m map[string]float64) {
	for _, angle := range []int{1, 5, 10, 15, 20, 30} {
		m[fmt.Sprintf("C%02da", angle)] = must(ConeStressRatio(float64(angle) * deg))
		m[fmt.Sprintf("C%02db", angle)] = must(ConeTwistRatio(float64(angle) * deg))
	}
}

func sectionRows(t *testing.T, m map[string]float64) {
	// N2: Timoshenko & Goodier, table for rectangles (from memory)
	for _, name := range []string{"1", "1.2", "1.5", "2", "2.5", "3", "4", "5", "10"} {
		ratio, err := strconv.ParseFloat(name, 64)
		if err != nil {
			t.Fatal(err)
		}
		s := must(Rectangle(1, ratio))
		m["N2-"+name+"-kt"] = s.J / s.W // greatest stress over G·θ'·thickness
		m["N2-"+name+"-ba"] = s.J / ratio
		m["N2-"+name+"-ah"] = s.W / ratio
	}
	m["N03"] = must(Square(1)).J
	// N09: a lipped channel with rounded bends
	const thick, inside = 0.059 * inch, 0.1875 * inch
	bend := inside + thick/2
	web, flange, lip := 9*inch-2*bend-thick, 2.5*inch-2*bend-thick, 0.773*inch-bend-thick/2
	m["N09"] = must(OpenWall(Wall{web, thick}, Wall{2 * flange, thick}, Wall{2 * lip, thick}, Wall{2 * math.Pi * bend, thick})).J / math.Pow(inch, 4)
	// B01: Gere, Prob 3.10-3
	in4 := math.Pow(inch, 4)
	b01 := of(t, must2(ThinTube(24*inch*inch, Wall{20 * inch, 0.25 * inch})), nil)
	b01.Length, b01.G = 50*inch, 4e6*psi
	s := bar(t, 15e3*lbin, b01)
	m["B01a"] = must(s.J(0)) / in4
	m["B01b"] = stressMax(s) / psi
	m["B01c"], m["B01d"] = s.TwistTotal(), s.TwistTotal()/deg
	// B03: Gere & Goodno, Prob 3.10-6: a stadium
	area, around := math.Pi*50*50+2*100*50.0, 2*math.Pi*50+200
	b03 := of(t, must2(ThinTube(area*mm*mm, Wall{around * mm, 8 * mm})), nil)
	b03.Length, b03.G = 1.5, 76e9
	s = bar(t, 10e3, b03)
	m["B03a"], m["B03b"] = area, around
	m["B03c"] = must(s.J(0)) / (1e6 * mm * mm * mm * mm)
	m["B03d"] = stressMax(s) / 1e6
	m["B03e"], m["B03f"] = s.TwistTotal(), s.TwistTotal()/deg
	// B04: Boresi & Schmidt, Prob 6.45 (the length of the wall plays no part)
	enclosed := 80*140 - math.Pi*30*30/2
	b04 := must(ThinTube(enclosed*mm*mm, Wall{500 * mm, 4 * mm}))
	m["B04a"] = enclosed
	m["B04b"] = 3000 / b04.W / 1e6
	m["B04c"] = 3000 / b04.W * 4 * mm
}

// A formula is a printed formula, evaluated, against what this package gives.
type formula struct{ got, want, tol float64 }

func publishedFormulas(t *testing.T) map[string]formula {
	const exact = 1e-13
	twist := func(p ...Piece) float64 { return bar(t, 1, p...).TwistTotal() }
	uniform := twist(solid(1, 1, 1))
	m := map[string]formula{}

	m["U07"] = formula{stressMax(bar(t, 1, solid(1, 1, 1))) / stressMax(bar(t, 1, tube(1, 0.5, 1, 1))), 15.0 / 16, exact}

	beta := 1.7
	m["T00"] = formula{twist(taper(1, beta, 1, 1)), uniform * (beta*beta + beta + 1) / (3 * beta * beta * beta), exact}
	m["T03"] = formula{twist(taper(1, 2, 1, 1)) / uniform, 7.0 / 24, exact}

	// H01 takes J = π·d³·t/4, which is short of the exact ring by (t/d)².
	wall, dA, dB := 1e-4, 1.0, 1.6
	bore := Profile{Start: dA - wall, End: dB - wall}
	thin := Piece{Length: 1, G: 1, Outer: Profile{Start: dA + wall, End: dB + wall}, Bore: &bore}
	m["H01"] = formula{twist(thin), 2 / (math.Pi * wall) * (dA + dB) / (dA * dA * dB * dB), 1e-7}

	b := 0.4
	drilled := taper(1, 1.5, 1, 1)
	drilled.Bore = &Profile{Start: b, End: b}
	antiderivative := func(d float64) float64 {
		return math.Log((d-b)/(d+b))/(4*b*b*b) - math.Atan(d/b)/(2*b*b*b)
	}
	m["H04"] = formula{twist(drilled), 32 / (math.Pi * 0.5) * (antiderivative(1.5) - antiderivative(1)), 1e-12}

	m["S04"] = formula{twist(solid(2, 0.5, 1), solid(1, 0.5, 1)), 17.0 / 32 * uniform, exact}

	// D01, D04 on a bar with d, G and L that differ from 1
	d, g, length, tA, end := 0.03, 80e9, 1.2, 150.0, 90.0
	j := math.Pi / 32 * d * d * d * d
	d01 := build(t, Spec{Pieces: []Piece{solid(d, length, g)}, Supports: []Support{{}}, DistributedTorques: []DistributedTorque{{To: length, Start: tA}}})
	m["D01a"] = formula{stressMax(d01), 8 * tA * length / (math.Pi * d * d * d), exact}
	m["D01b"] = formula{d01.TwistTotal(), 16 * tA * length * length / (3 * math.Pi * g * d * d * d * d), exact}
	d04 := build(t, Spec{Pieces: []Piece{solid(d, length, g)}, Supports: []Support{{}},
		DistributedTorques: []DistributedTorque{{To: length, Start: tA, End: tA}}, Torques: []Torque{{X: length, Value: end}}})
	m["D04"] = formula{d04.Energy(),
		(end*end*length + end*tA*length*length + tA*tA*length*length*length/3) / (2 * g * j), exact}

	// G03: Beer & Johnston (from memory); gear A has twice the radius of gear B.
	shaftAD := Spec{Pieces: []Piece{solid(d, length, g)}, Supports: []Support{{X: length}}}
	shaftBE := Spec{Pieces: []Piece{solid(d, length, g)}, Torques: []Torque{{X: length, Value: end}}}
	geared, list := newPair(shaftAD, shaftBE, Mesh{TeethA: 2, TeethB: 1})
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	m["G03"] = formula{must(geared.B.Rotation(length)), 5 * end * length / (g * j), exact}

	// N04 and N05 are fits; their notes give how far they are off.
	m["N04"] = formula{must(Square(2)).J, 2.25, 3.5e-4}
	m["N05"] = formula{must(Rectangle(1, 2)).J, 2 * (1.0/3 - 0.21/2*(1-1.0/(12*16))), 1e-3}
	m["N06"] = formula{must(Ellipse(0.6, 1)).J, math.Pi * 0.125 * 0.027 / (0.25 + 0.09), exact}
	// N08: an open thin section is a long rectangle; its ends take off 0.63 t/b.
	strip := must(Rectangle(1e-4, 1))
	m["N08"] = formula{strip.W, 1e-8 / 3, 1e-4}
	wallA, wallB, thick := 0.05, 0.12, 0.002
	channel := must(OpenWall(Wall{wallA, thick}, Wall{wallB, thick}, Wall{wallA, thick}))
	m["N08b"] = formula{1 / channel.J, 3 / ((2*wallA + wallB) * thick * thick * thick), exact}
	box, slit := must(ThinTube(wallA*wallA, Wall{4 * wallA, thick})), must(OpenWall(Wall{4 * wallA, thick}))
	m["N10"] = formula{slit.J / box.J, 4 * thick * thick / (3 * wallA * wallA), exact}
	pipe, cut := must(ThinTube(math.Pi*wallA*wallA, Wall{2 * math.Pi * wallA, thick})), must(OpenWall(Wall{2 * math.Pi * wallA, thick}))
	m["N11a"] = formula{pipe.J / cut.J, 3 * wallA * wallA / (thick * thick), exact}
	m["N11b"] = formula{pipe.W / cut.W, 3 * wallA / thick, exact}

	m["B05"] = formula{must(ThinTube(0.02, Wall{0.3, 0.004}, Wall{0.4, 0.008})).J, 4 * 0.02 * 0.02 / (0.3/0.004 + 0.4/0.008), exact}
	ratio, around, t1 := 1.8, 0.6, 0.003
	height := around / (2 * (1 + ratio))
	m["B06"] = formula{1 / must(ThinTube(ratio*height*height, Wall{around, t1})).W,
		2 * (1 + ratio) * (1 + ratio) / (t1 * around * around * ratio), exact}
	yieldFormulas(t, m)
	return m
}
