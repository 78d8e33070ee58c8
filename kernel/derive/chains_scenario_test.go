package derive_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"shaftbook/kernel/bigfloat"
)

// A chainName is a given name of a chain.
type chainName struct {
	ident, word string
	low, high   float64 // the sizes that are drawn
	sign        int     // one of the signs below
	above       string  // a name that it is larger than
	whole       bool
}

const (
	anySign     = 0
	positive    = 1
	negative    = -1
	nonNegative = 2
	nonZero     = 3
)

// A scenario is where a chain starts: what is given, what is defined, and the
// first line.
type scenario struct {
	title    string
	names    []chainName
	defs     []chainDef
	start    *term
	head     string          // the first line of a function that the first line of the chain uses
	positive map[string]bool // names, also bound ones, that are positive
	before   []chainStep     // the chain of a function that the first line uses, its first line not counted
	falls    bool            // the integrand of the first line falls over its range
}

type chainDef struct {
	ident string
	e     *term
}

func (s *scenario) given() string {
	var parts []string
	for _, n := range s.names {
		text := n.ident + ": " + n.word
		if n.above == "" {
			text += map[int]string{positive: " > 0", negative: " < 0", nonNegative: " ≥ 0"}[n.sign]
		}
		parts = append(parts, text)
		if n.above != "" {
			parts = append(parts, n.ident+" > "+n.above)
		}
		if n.sign == nonZero {
			parts = append(parts, n.ident+" ≠ 0")
		}
	}
	text := "given " + strings.Join(parts, ", ") + "\n"
	for _, d := range s.defs {
		text += d.ident + " = " + d.e.String() + "\n"
	}
	return text
}

// point draws values for all names; wide spreads them over many orders of size,
// and at0 makes names 0 that may be.
func (s *scenario) point(r *rand.Rand, wide, at0 bool) (termPoint, bool) {
	p := termPoint{}
	floats := map[string]float64{}
	for _, n := range s.names {
		x := n.low * math.Pow(n.high/n.low, r.Float64())
		if wide {
			x *= math.Pow(10, 8*r.Float64()-4)
		}
		switch {
		case n.whole:
			x = float64(1 + r.IntN(9))
		case n.above != "":
			x = floats[n.above] * (1 + 2*r.Float64())
		case at0 && (n.sign == anySign || n.sign == nonNegative) && r.IntN(2) == 0:
			x = 0
		case n.sign == negative, (n.sign == anySign || n.sign == nonZero) && r.IntN(2) == 0:
			x = -x
		}
		floats[n.ident] = x
		v, err := bigfloat.Float(x)
		if err != nil {
			return nil, false
		}
		p[n.ident] = v
	}
	for _, d := range s.defs {
		v, err := d.e.value(p)
		if err != nil {
			return nil, false
		}
		p[d.ident] = v
	}
	return p, true
}

// alike returns another name of the same dimension, "" if there is none.
func (s *scenario) alike(r *rand.Rand, ident string) string {
	var word string
	for _, n := range s.names {
		if n.ident == ident {
			word = n.word
		}
	}
	var list []string
	for _, n := range s.names {
		if n.word == word && n.ident != ident && word != "" {
			list = append(list, n.ident)
		}
	}
	if len(list) == 0 {
		return ""
	}
	return list[r.IntN(len(list))]
}

var (
	torque  = chainName{ident: "T", word: "torque", low: 50, high: 2000, sign: 1}
	modulus = chainName{ident: "G", word: "stress", low: 2e10, high: 9e10, sign: 1}
	span    = chainName{ident: "L", word: "length", low: 0.2, high: 3, sign: 1}
	small   = chainName{ident: "d_0", word: "length", low: 0.01, high: 0.1, sign: 1}
	large   = chainName{ident: "d_1", word: "length", low: 0.01, high: 0.1, sign: 1, above: "d_0"}
	polar   = chainName{ident: "J", word: "m^4", low: 1e-8, high: 1e-6, sign: 1}
	perRun  = chainName{ident: "q", word: "N·m/m", low: 20, high: 900, sign: 1}
)

func π() *term    { return tName("π") }
func zero() *term { return &term{op: "quantity", text: "0 m"} }

func newScenario(title string, names ...chainName) *scenario {
	s := &scenario{title: title, names: names, positive: map[string]bool{"π": true}}
	for _, n := range names {
		s.positive[n.ident] = n.sign == positive
	}
	return s
}

// scenarios make first lines of the kinds that occur where shafts are twisted.
var scenarios = []func(r *rand.Rand) *scenario{
	taperScenario, steppedScenario, hollowScenario, loadScenario, tubeScenario, numberScenario, signScenario,
	waveScenario, logScenario, sumScenario, limitScenario, sineLoadScenario, twistScenario, twistScenario, edgeScenario,
	edgeScenario, slopeScenario, rootScenario,
}

func pick[T any](r *rand.Rand, list ...T) T { return list[r.IntN(len(list))] }

// linearIntegral is ∫ c·p^m dx over a range for p = a + k·x, with its
// antiderivative.
func linearIntegral(s *scenario, v string, c, a, k, from, to *term, m int) *term {
	p := tAdd(a, tMul(k, tName(v)))
	var body, anti *term
	switch {
	case m == -1:
		body, anti = tDiv(c, p), tMul(c, tDiv(tFun("ln", tDiv(p, a)), k))
	case m < 0:
		body = tDiv(c, tPow(p, fmt.Sprint(-m)))
		anti = tOp("neg", tDiv(c, tMul(tNum(fmt.Sprint(-m-1)), k, tPow(p, fmt.Sprint(-m-1)))))
	default:
		body = tMul(c, tPow(p, fmt.Sprint(m)))
		anti = tDiv(tMul(c, tPow(p, fmt.Sprint(m+1))), tMul(tNum(fmt.Sprint(m+1)), k))
	}
	body = body.clone()
	body.anti = anti.clone()
	s.positive[v] = true
	return tInt(v, body, from.clone(), to.clone())
}

func taperScenario(r *rand.Rand) *scenario {
	s := newScenario("taper", torque, modulus, span, small, large)
	k := tDiv(tSub(tName("d_1"), tName("d_0")), tName("L"))
	slope := k
	if r.IntN(2) == 0 {
		s.defs = append(s.defs, chainDef{"k", k})
		s.positive["k"] = true
		slope = tName("k")
	}
	c := pick(r, tDiv(tMul(tNum("32"), tName("T")), tMul(π(), tName("G"))), tDiv(tName("T"), tMul(tName("G"), tDiv(π(), tNum("32")))))
	m := pick(r, -4, -4, -4, -3, -2, -1, 1, 2)
	s.start = linearIntegral(s, "x", c, tName("d_0"), slope, zero(), tName("L"), m)
	s.falls = m < 0
	return s
}

func steppedScenario(r *rand.Rand) *scenario {
	s := newScenario("stepped", torque, modulus, span, small, large)
	s.names = append(s.names, chainName{ident: "a", word: "length", low: 0.1, high: 2, sign: 1})
	s.positive["a"] = true
	one := func(l, d string) *term {
		return tDiv(tMul(tNum("32"), tName("T"), tName(l)), tMul(π(), tName("G"), tPow(tName(d), "4")))
	}
	s.start = tAdd(one("L", "d_0"), one("a", "d_1"))
	if r.IntN(3) == 0 {
		s.start = tDiv(tName("T"), tAdd(tDiv(tName("G"), tName("L")), tDiv(tMul(tName("G"), tName("d_0")), tMul(tName("d_1"), tName("a")))))
	}
	return s
}

func hollowScenario(r *rand.Rand) *scenario {
	s := newScenario("hollow", torque, modulus, span, small, large)
	j := tMul(tDiv(π(), tNum("32")), tSub(tPow(tName("d_1"), "4"), tPow(tName("d_0"), "4")))
	s.start = pick(r, j, tDiv(tMul(tName("T"), tName("L")), tMul(tName("G"), j)), tDiv(tMul(tName("T"), tName("d_1")), tMul(tNum("2"), j)),
		tSub(tPow(tName("d_1"), "3"), tPow(tName("d_0"), "3")))
	return s
}

// loadScenario is the torque in, or the twist of, a shaft under a distributed
// torque that is a polynomial.
func loadScenario(r *rand.Rand) *scenario {
	s := newScenario("load", perRun, modulus, span, polar)
	x := tName("s")
	n := 1 + r.IntN(3)
	load := tMul(tName("q"), tPow(tDiv(x, tName("L")), fmt.Sprint(n)))
	anti := tDiv(tMul(tName("q"), tPow(x, fmt.Sprint(n+1))), tMul(tNum(fmt.Sprint(n+1)), tPow(tName("L"), fmt.Sprint(n))))
	if r.IntN(2) == 0 {
		load = tMul(tName("q"), tSub(tNum("1"), tDiv(x, tName("L"))))
		anti = tMul(tName("q"), tSub(x, tDiv(tPow(x, "2"), tMul(tNum("2"), tName("L")))))
	}
	s.positive["s"] = true
	body := load.clone()
	body.anti = anti.clone()
	s.start = tInt("s", body, zero(), tName("L"))
	if r.IntN(2) == 0 {
		s.start = tDiv(tMul(s.start, tName("L")), tMul(tName("G"), tName("J")))
	}
	return s
}

func tubeScenario(r *rand.Rand) *scenario {
	s := newScenario("thin tube", torque, modulus, span,
		chainName{ident: "t", word: "length", low: 0.001, high: 0.004, sign: 1}, chainName{ident: "R", word: "length", low: 0.02, high: 0.1, sign: 1})
	area := tMul(π(), tPow(tName("R"), "2"))
	s.start = pick(r,
		tDiv(tMul(tName("T"), tName("L"), tMul(tNum("2"), π(), tName("R"))), tMul(tNum("4"), tPow(area, "2"), tName("G"), tName("t"))),
		tDiv(tName("T"), tMul(tNum("2"), area, tName("t"))),
		tMul(tDiv(π(), tNum("2")), tSub(tPow(tAdd(tName("R"), tDiv(tName("t"), tNum("2"))), "4"), tPow(tSub(tName("R"), tDiv(tName("t"), tNum("2"))), "4"))))
	return s
}

var pureNames = []chainName{
	{ident: "a", word: "number", low: 0.3, high: 4, sign: 1}, {ident: "b", word: "number", low: 0.3, high: 4, sign: 1},
	{ident: "x", word: "number", low: 0.3, high: 4}, {ident: "y", word: "number", low: 0.3, high: 4},
}

func numberScenario(r *rand.Rand) *scenario {
	s := newScenario("numbers", pureNames...)
	s.start = randomTerm(r, s, 3)
	return s
}

// randomTerm is positive where its names are, and has a value everywhere.
func randomTerm(r *rand.Rand, s *scenario, depth int) *term {
	if depth == 0 {
		if r.IntN(4) == 0 {
			return tNum(fmt.Sprint(1 + r.IntN(9)))
		}
		return tName(pick(r, "a", "b", "a", "x", "y"))
	}
	x, y := randomTerm(r, s, depth-1), randomTerm(r, s, depth-1)
	switch r.IntN(8) {
	case 0, 1:
		return tAdd(x, y)
	case 2:
		return tSub(x, y)
	case 3, 4:
		return tMul(x, y)
	case 5:
		return tDiv(x, tAdd(tNum("1"), tPow(y, "2")))
	case 6:
		return tPow(x, pick(r, "2", "3"))
	}
	return tDiv(x, pick(r, tName("a"), tName("b"), tAdd(tName("a"), tName("b"))))
}

// signScenario is about names of either sign.
func signScenario(r *rand.Rand) *scenario {
	s := newScenario("signs", pureNames...)
	x, y, a := tName("x"), tName("y"), tName("a")
	s.start = pick(r,
		tOp("abs", x), tFun("sqrt", tPow(x, "2")), tOp("abs", tSub(x, y)), tFun("sqrt", tPow(tSub(x, a), "2")),
		tOp("max", x, y), tOp("min", x, tNum("1000")), tOp("if", x, a, x, tMul(tNum("2"), x)),
		tOp("abs", tSub(tNum("12"), a)), tDiv(tOp("abs", x), tAdd(tOp("abs", x), a)), tMul(tOp("abs", x), tOp("abs", y)),
		tFun("sqrt", tMul(tPow(x, "2"), tPow(a, "2"))), tOp("max", a, tSub(a, x)))
	return s
}

func waveScenario(r *rand.Rand) *scenario {
	s := newScenario("waves", pureNames...)
	u := pick(r, tName("x"), tMul(tName("a"), tName("x")), tAdd(tName("x"), tName("y")))
	two := tMul(tNum("2"), u)
	s.start = pick(r, tFun("sin", two), tFun("cos", two), tPow(tFun("sin", u), "2"), tMul(tFun("sin", u), tFun("cos", u)),
		tFun("sin", tAdd(tName("x"), tName("y"))), tFun("cos", tSub(tName("x"), tName("y"))), tAdd(tNum("1"), tFun("cos", two)))
	return s
}

func logScenario(r *rand.Rand) *scenario {
	s := newScenario("logarithms", pureNames...)
	a, b := tName("a"), tName("b")
	s.start = pick(r, tFun("ln", tMul(a, b)), tFun("ln", tDiv(a, b)), tFun("ln", tPow(a, "3")), tFun("exp", tAdd(a, tName("x"))),
		tFun("exp", tMul(tNum("2"), tName("x"))), tFun("sqrt", tMul(a, b)), tFun("sqrt", tDiv(tPow(a, "2"), b)),
		tPow(tAdd(tFun("sqrt", a), tFun("sqrt", b)), "2"), tFun("ln", tFun("exp", tName("x"))), tFun("exp", tFun("ln", a)), tPow(tMul(a, b), "1/3"))
	return s
}

func sumScenario(r *rand.Rand) *scenario {
	s := newScenario("sums", chainName{ident: "n", word: "number", sign: 1, whole: true, low: 1, high: 9}, chainName{ident: "a", word: "number", low: 0.3, high: 4, sign: 1})
	i, n, one := tName("i"), tName("n"), tNum("1")
	bodies := []*term{i, tPow(i, "2"), tPow(i, "3"), tNum("1"), tSub(tMul(tNum("2"), i), one)}
	closed := []*term{
		tDiv(tMul(n, tAdd(n, one)), tNum("2")), tDiv(tMul(tMul(n, tAdd(n, one)), tAdd(tMul(tNum("2"), n), one)), tNum("6")),
		tDiv(tMul(tPow(n, "2"), tPow(tAdd(n, one), "2")), tNum("4")), n, tPow(n, "2"),
	}
	k := r.IntN(len(bodies))
	body := tMul(tName("a"), bodies[k])
	body = body.clone()
	body.anti = tMul(tName("a"), closed[k]).clone()
	s.positive["i"] = true
	s.start = tSum("i", body, tNum("1"), n)
	return s
}

func limitScenario(r *rand.Rand) *scenario {
	s := newScenario("limits", pureNames[:2]...)
	a, b, n := tName("a"), tName("b"), tName("n")
	body := pick(r, tDiv(tAdd(tMul(a, n), b), n), tDiv(tMul(a, tPow(n, "2")), tAdd(tPow(n, "2"), b)), tAdd(b, tDiv(a, n)),
		tDiv(tAdd(tMul(a, n), tNum("1")), tAdd(tMul(b, n), tNum("1"))), tMul(a, tSub(tNum("1"), tDiv(b, tPow(n, "2")))))
	limits := map[string]*term{}
	limits[tDiv(tAdd(tMul(a, n), b), n).String()] = a
	limits[tDiv(tMul(a, tPow(n, "2")), tAdd(tPow(n, "2"), b)).String()] = a
	limits[tAdd(b, tDiv(a, n)).String()] = b
	limits[tDiv(tAdd(tMul(a, n), tNum("1")), tAdd(tMul(b, n), tNum("1"))).String()] = tDiv(a, b)
	limits[tMul(a, tSub(tNum("1"), tDiv(b, tPow(n, "2")))).String()] = a
	s.positive["n"] = true
	body = body.clone()
	body.anti = limits[body.String()].clone()
	s.start = &term{op: "limit", text: "n", kids: []*term{body}}
	return s
}

// sineLoadScenario is an integral of a function with a short antiderivative.
func sineLoadScenario(r *rand.Rand) *scenario {
	s := newScenario("sine load", perRun, span, modulus, polar)
	x, l, q := tName("s"), tName("L"), tName("q")
	angle := tDiv(tMul(π(), x), l)
	var body, anti *term
	switch r.IntN(3) {
	case 0:
		body, anti = tMul(q, tFun("sin", angle)), tOp("neg", tMul(tDiv(tMul(q, l), π()), tFun("cos", angle)))
	case 1:
		body, anti = tMul(q, tFun("cos", angle)), tMul(tDiv(tMul(q, l), π()), tFun("sin", angle))
	default:
		body, anti = tMul(q, tFun("exp", tOp("neg", tDiv(x, l)))), tOp("neg", tMul(q, l, tFun("exp", tOp("neg", tDiv(x, l)))))
	}
	s.positive["s"] = true
	body = body.clone()
	body.anti = anti.clone()
	s.start = tInt("s", body, zero(), l)
	return s
}

// twistScenario is the twist under a torque that is an integral itself: a line
// T(x) = ∫ q ds from x to L with its steps, then ∫ T/(G·J).
func twistScenario(r *rand.Rand) *scenario {
	s := newScenario("twist", perRun, span, modulus, polar)
	l, q, x := tName("L"), tName("q"), tName("x")
	u := func(v string) *term { return tDiv(tName(v), l) }
	load, torqueAt, twist := tMul(q, tFun("sin", tMul(π(), u("s")))), tMul(tDiv(tMul(q, l), π()), tAdd(tNum("1"), tFun("cos", tMul(π(), u("x"))))),
		tMul(tDiv(tMul(q, l), π()), tAdd(x, tMul(tDiv(l, π()), tFun("sin", tMul(π(), u("x"))))))
	switch r.IntN(4) {
	case 0: // a triangle
		load, torqueAt = tMul(q, u("s")), tDiv(tMul(q, tSub(tPow(l, "2"), tPow(x, "2"))), tMul(tNum("2"), l))
		twist = tDiv(tMul(q, tSub(tMul(tPow(l, "2"), x), tDiv(tPow(x, "3"), tNum("3")))), tMul(tNum("2"), l))
	case 1: // uniform
		load, torqueAt = q, tMul(q, tSub(l, x))
		twist = tMul(q, tSub(tMul(l, x), tDiv(tPow(x, "2"), tNum("2"))))
	case 2: // the other triangle
		load, torqueAt = tMul(q, tSub(tNum("1"), u("s"))), tDiv(tMul(q, tPow(tSub(l, x), "2")), tMul(tNum("2"), l))
		twist = tOp("neg", tDiv(tMul(q, tPow(tSub(l, x), "3")), tMul(tNum("6"), l)))
	}
	s.positive["x"], s.positive["s"] = true, true
	s.head = "T(x) = integral of " + load.print(2) + " for s from x to L\n"
	if wrong := broken(r, s, torqueAt); wrong != nil && r.IntN(5) == 0 {
		s.before = append(s.before, chainStep{"= " + wrong.String(), differs(s, r, torqueAt, wrong)})
	} else {
		s.before = append(s.before, chainStep{"= " + torqueAt.String(), isTrue})
	}
	call := &term{op: "call", text: "T", kids: []*term{x}, anti: torqueAt.clone()}
	body := tDiv(call, tMul(tName("G"), tName("J")))
	body.anti = tDiv(twist, tMul(tName("G"), tName("J"))).clone()
	s.start = tInt("x", body, zero(), l)
	return s
}

// differs labels a line of a function of x.
func differs(s *scenario, r *rand.Rand, a, b *term) truth {
	for range 8 {
		p, ok := s.point(r, false, false)
		if !ok {
			continue
		}
		p["x"] = must(bigfloat.Mul(p["L"], must(termNumber("3/7"))))
		x, err1 := a.value(p)
		y, err2 := b.value(p)
		if err1 == nil && err2 == nil && bigfloat.Compare(x, y, 12, 0) == bigfloat.Apart {
			return isFalse
		}
	}
	return isUnknown
}

// edgeScenario has names whose domain ends at 0 or avoids it.
func edgeScenario(r *rand.Rand) *scenario {
	s := newScenario("edges", chainName{ident: "a", word: "number", low: 0.3, high: 4, sign: nonNegative},
		chainName{ident: "b", word: "number", low: 0.3, high: 4, sign: positive}, chainName{ident: "x", word: "number", low: 0.3, high: 4, sign: nonZero},
		chainName{ident: "y", word: "number", low: 0.3, high: 4, sign: negative})
	a, b, x, y := tName("a"), tName("b"), tName("x"), tName("y")
	s.start = pick(r, tDiv(tMul(a, x), b), tFun("sqrt", tMul(a, b)), tAdd(a, tDiv(b, x)), tFun("sqrt", tPow(y, "2")), tOp("abs", y),
		tSub(tPow(a, "2"), tPow(b, "2")), tDiv(tSub(tPow(x, "2"), tPow(b, "2")), x), tMul(tOp("abs", x), tOp("abs", y)),
		tFun("sqrt", tMul(tPow(a, "2"), tPow(x, "2"))), tFun("ln", tMul(b, b)), tFun("ln", tPow(x, "2")), tFun("ln", tMul(x, x)), tDiv(a, tMul(x, y)),
		tFun("sqrt", tMul(y, tOp("neg", b))), tPow(tPow(x, "2"), "1/2"), tDiv(tNum("1"), tAdd(tDiv(tNum("1"), b), tDiv(tNum("1"), tMul(b, b)))))
	return s
}

func slopeScenario(r *rand.Rand) *scenario {
	s := newScenario("slopes", pureNames[:2]...)
	a, x := tName("a"), tName("z")
	form := func(body, slope *term) *term {
		return &term{op: "derivative", text: "z", kids: []*term{body, a}, anti: slope}
	}
	s.start = pick(r, form(tPow(x, "3"), tMul(tNum("3"), tPow(a, "2"))), form(tFun("sin", tMul(tNum("2"), x)), tMul(tNum("2"), tFun("cos", tMul(tNum("2"), a)))),
		form(tFun("ln", x), tDiv(tNum("1"), a)), form(tFun("exp", tMul(tName("b"), x)), tMul(tName("b"), tFun("exp", tMul(tName("b"), a)))),
		form(tDiv(tNum("1"), x), tOp("neg", tDiv(tNum("1"), tPow(a, "2")))), form(tFun("sqrt", x), tDiv(tNum("1"), tMul(tNum("2"), tFun("sqrt", a)))))
	return s
}

func rootScenario(r *rand.Rand) *scenario {
	s := newScenario("roots", pureNames[:2]...)
	a, b, x := tName("a"), tName("b"), tName("z")
	form := func(body, from, to, root *term) *term {
		return &term{op: "root", text: "z", kids: []*term{body, from, to}, anti: root}
	}
	s.start = pick(r, form(tSub(tMul(b, x), a), tNum("0"), tDiv(tMul(tNum("2"), a), b), tDiv(a, b)),
		form(tSub(tPow(x, "2"), tPow(a, "2")), tNum("0"), tMul(tNum("3"), a), a),
		form(tSub(tPow(x, "3"), tPow(b, "3")), tNum("0"), tMul(tNum("2"), b), b),
		form(tSub(tPow(x, "2"), tMul(a, b)), tNum("0"), tAdd(a, b), tFun("sqrt", tMul(a, b))))
	return s
}
