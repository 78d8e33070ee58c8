package elementary

import (
	"math"
	"math/rand/v2"
)

// functions holds the functions of this package by the names of
// testdata/reference.py. bound is how far a result may lie from the true value,
// in units in the last place, by PROOF.md.
var functions = []struct {
	name  string
	one   func(float64) float64
	two   func(x, y float64) float64
	bound float64
}{
	{"exp", Exp, nil, 0.52},
	{"expm1", Expm1, nil, 0.54},
	{"ln", Ln, nil, 0.52},
	{"log10", Log10, nil, 0.54},
	{"log2", Log2, nil, 0.54},
	{"log1p", Log1p, nil, 0.52},
	{"sin", Sin, nil, 0.52},
	{"cos", Cos, nil, 0.52},
	{"tan", Tan, nil, 0.54},
	{"asin", Asin, nil, 0.51},
	{"acos", Acos, nil, 0.52},
	{"atan", Atan, nil, 0.54},
	{"atan2", nil, Atan2, 0.54},
	{"pow", nil, Pow, 0.60},
}

// A point is one question: a function and its arguments.
type point struct {
	function int
	x, y     float64
}

// hardPoints returns about count points at which a function is hard: near its
// zeros and poles, where results are subnormal or arguments huge, at the edges
// of the entries of the tables, and at random bits.
func hardPoints(count int) []point {
	g := &points{Rand: rand.New(rand.NewPCG(1963, 7))}
	for len(g.list) < count {
		for f := range functions {
			g.add(f, functions[f].name)
		}
	}
	return g.list
}

type points struct {
	*rand.Rand
	list []point
}

// bits returns a finite float64 of random bits.
func (g *points) bits() float64 {
	for {
		if v := math.Float64frombits(g.Uint64()); v-v == 0 {
			return v
		}
	}
}

// sized returns ±2^low … ±2^high.
func (g *points) sized(low, high int) float64 {
	v := math.Ldexp(1+g.Float64(), low+g.IntN(high-low))
	if g.IntN(2) == 0 {
		return -v
	}
	return v
}

// near returns v moved by up to 3 units in the last place.
func (g *points) near(v float64) float64 {
	b := math.Float64bits(v)
	moved := math.Float64frombits(b + uint64(g.IntN(7)) - 3)
	if moved-moved != 0 || b < 3 {
		return v
	}
	return moved
}

func (g *points) subnormal() float64 { return math.Float64frombits(g.Uint64N(1 << 52)) }

func (g *points) one(f int, x ...float64) {
	for _, x := range x {
		g.list = append(g.list, point{f, x, 0})
	}
}

func (g *points) two(f int, x, y float64) { g.list = append(g.list, point{f, x, y}) }

func (g *points) add(f int, name string) {
	switch name {
	case "exp", "expm1":
		g.one(f, g.sized(-60, 9), 709*g.Float64(), -745*g.Float64(), -708-38*g.Float64(), 709+0.8*g.Float64(),
			g.near((float64(g.IntN(2000)-1000)+0.5)*math.Ln2/128), g.near(float64(g.IntN(2000)-1000)*math.Ln2/128), g.sized(-3, 1))
	case "ln", "log10", "log2":
		g.one(f, math.Abs(g.bits()), g.subnormal(), 1+g.sized(-52, -1), 1+g.sized(-12, -5),
			g.near((float64(90+g.IntN(92))+0.5)/128), g.near(math.Ldexp(math.Sqrt2, g.IntN(2000)-1000)), g.near(math.Pow(10, float64(g.IntN(600)-300))))
	case "log1p":
		g.one(f, math.Abs(g.bits()), g.sized(-60, -1), g.sized(-9, -1), -g.Float64(), max(g.near(-1+math.Abs(g.sized(-53, -1))), -1+0x1p-53), math.Abs(g.sized(-2, 60)))
	case "sin", "cos", "tan":
		k := float64(g.Uint64N(1 << (1 + g.UintN(53))))
		g.one(f, g.bits(), g.sized(-30, 20), g.sized(-8, 6), g.near(k*(math.Pi/2)), g.near(k*(math.Pi/64)),
			g.near((math.Mod(k, 1e6)+0.5)*(math.Pi/64)), g.near(math.Mod(k, 1e5)*(math.Pi/2)), g.sized(17, 1023))
	case "asin", "acos":
		g.one(f, g.sized(-70, -1), 2*g.Float64()-1, 1-math.Abs(g.sized(-53, -2)), g.near(-0.5), -1+math.Abs(g.sized(-53, -2)),
			g.near(math.Sin(math.Atan((float64(g.IntN(64))+0.5)/64))), g.subnormal())
	case "atan":
		g.one(f, g.bits(), g.sized(-30, 5), g.near((float64(g.IntN(64))+0.5)/64), g.near(64/(float64(g.IntN(64))+0.5)), g.near(1), g.sized(40, 80))
	case "atan2":
		x := g.bits()
		g.two(f, g.bits(), g.bits())
		g.two(f, g.sized(-5, 5), g.sized(-5, 5))
		g.two(f, x*g.sized(-40, 0), x)
		g.two(f, x, x*g.sized(-60, 0))
		g.two(f, g.near(x*0.3), g.near(x*0.3))
		g.two(f, g.subnormal(), g.sized(-1060, -1040))
		g.two(f, g.sized(900, 1023), g.sized(900, 1023))
	case "pow":
		a := math.Abs(g.bits())
		g.two(f, a, 1400*(g.Float64()-0.5)/math.Log(a))
		g.two(f, math.Abs(g.sized(-30, 30)), g.sized(-5, 5))
		b := 1 + g.sized(-50, -3)
		g.two(f, b, 1480*(g.Float64()-0.5)/math.Log1p(b-1))
		c := math.Abs(g.sized(-20, 20))
		g.two(f, c, -(708+38*g.Float64())/math.Log(c))
		g.two(f, c, g.near(709.78/math.Log(c)))
		g.two(f, g.subnormal(), g.sized(-8, 0))
		g.two(f, -math.Abs(g.sized(-8, 8)), float64(g.IntN(200)-100))
		g.two(f, float64(1+g.IntN(1000)), float64(g.IntN(60))/2)
	}
}
