package derive_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"shaftbook/kernel/bigfloat"
)

// broken makes one mistake of a learner in a line, and returns nil if it finds
// no place for one. Whether the outcome differs is decided by value.
func broken(r *rand.Rand, s *scenario, t *term) *term {
	t = t.clone()
	t.dropAntis()
	for range 60 {
		places := t.places()
		at := places[r.IntN(len(places))]
		by := pick(r, breaks...)(r, s, at.clone())
		if by == nil {
			continue
		}
		*at = *by.clone()
		t.dropAntis()
		return t
	}
	return nil
}

var breaks = []rule{
	func(r *rand.Rand, s *scenario, t *term) *term { // a coefficient
		if t.op != "number" || t.text == "0" {
			return nil
		}
		return tNum(t.text + pick(r, "0", "5", "1"))
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // a factor gained
		return tMul(pick(r, tNum("2"), tNum("16"), tDiv(tNum("1"), tNum("2"))), t)
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // an exponent
		n, ok := wholeExponent(t)
		if !ok {
			return nil
		}
		return tPow(t.kids[0], fmt.Sprint(n+pick(r, -1, 1, 2)))
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // a sign
		switch t.op {
		case "+":
			return tSub(t.kids[0], t.kids[1])
		case "-":
			return tAdd(t.kids[0], t.kids[1])
		case "neg":
			return t.kids[0]
		}
		return nil
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // a lost term or factor
		if t.op != "+" && t.op != "-" && t.op != "*" {
			return nil
		}
		return t.kids[r.IntN(2)]
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // a wrong name
		if t.op != "name" {
			return nil
		}
		if other := s.alike(r, t.text); other != "" {
			return tName(other)
		}
		return nil
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // a limit
		if t.op != "int" && t.op != "riemann" {
			return nil
		}
		body, from, to := t.kids[0], t.kids[1], t.kids[2]
		switch r.IntN(3) {
		case 0:
			return tInt(t.text, body, to, from)
		case 1:
			return tInt(t.text, body, from, tMul(tNum("2"), to))
		}
		return tInt(t.text, body, tDiv(to, tNum("3")), to)
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // a sum that ends elsewhere
		if t.op != "sum" {
			return nil
		}
		return tSum(t.text, t.kids[0], t.kids[1], tOp(pick(r, "+", "-"), t.kids[2], tNum("1")))
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // an integral whose body is taken at one place
		if t.op != "int" {
			return nil
		}
		return tMul(t.kids[0].with(t.text, pick(r, t.kids[1], t.kids[2])), tSub(t.kids[2], t.kids[1]))
	},
	breakSwitch, breakSwitch, breakPower, breakPower, breakPower, breakFraction, breakFraction, breakFunction, breakFunction,
}

// breakSwitch loses what holds on a part of the domain only.
func breakSwitch(r *rand.Rand, s *scenario, t *term) *term {
	switch t.op {
	case "abs":
		return t.kids[0]
	case "max", "min":
		return t.kids[r.IntN(2)]
	case "if":
		return t.kids[2+r.IntN(2)]
	case "f":
		if t.text == "sqrt" && t.kids[0].op == "^" && t.kids[0].kids[1].text == "2" {
			return pick(r, t.kids[0].kids[0], tOp("neg", t.kids[0].kids[0]))
		}
	case "name":
		if !s.positive[t.text] && t.text != "π" && r.IntN(2) == 0 {
			return pick(r, tOp("abs", t), tFun("sqrt", tPow(t, "2")))
		}
	}
	return nil
}

// breakPower takes (a ± b)ⁿ, √(a + b) and products of powers apart wrongly.
func breakPower(r *rand.Rand, s *scenario, t *term) *term {
	n, ok := wholeExponent(t)
	switch {
	case ok && (t.kids[0].op == "+" || t.kids[0].op == "-") && n > 1:
		b := t.kids[0]
		return tOp(b.op, tPow(b.kids[0], fmt.Sprint(n)), tPow(b.kids[1], fmt.Sprint(n)))
	case ok && t.kids[0].op == "*" && n > 1:
		return tMul(t.kids[0].kids[0], tPow(t.kids[0].kids[1], fmt.Sprint(n)))
	case t.op == "f" && t.text == "sqrt" && (t.kids[0].op == "+" || t.kids[0].op == "-"):
		b := t.kids[0]
		return tOp(b.op, tFun("sqrt", b.kids[0]), tFun("sqrt", b.kids[1]))
	case t.op == "-" && t.kids[0].op == "^" && t.kids[1].op == "^" && t.kids[0].kids[1].text == t.kids[1].kids[1].text:
		return tOp("^", tSub(t.kids[0].kids[0], t.kids[1].kids[0]), t.kids[0].kids[1])
	}
	return nil
}

func breakFraction(r *rand.Rand, s *scenario, t *term) *term {
	if t.op != "/" {
		return nil
	}
	x, y := t.kids[0], t.kids[1]
	switch {
	case y.op == "+" || y.op == "-":
		return tOp(y.op, tDiv(x, y.kids[0]), tDiv(x, y.kids[1]))
	case y.op == "*":
		return tMul(tDiv(x, y.kids[0]), y.kids[1])
	case x.op == "+" && r.IntN(2) == 0:
		return tAdd(tDiv(x.kids[0], y), x.kids[1])
	}
	return nil
}

func breakFunction(r *rand.Rand, s *scenario, t *term) *term {
	if t.op != "f" {
		return nil
	}
	u := t.kids[0]
	switch t.text {
	case "sin", "cos":
		if u.op == "*" && r.IntN(2) == 0 {
			return tMul(u.kids[0], tFun(t.text, u.kids[1]))
		}
		return tFun(map[string]string{"sin": "cos", "cos": "sin"}[t.text], u)
	case "ln":
		if u.op == "+" || u.op == "*" {
			return tMul(tFun("ln", u.kids[0]), tFun("ln", u.kids[1]))
		}
		if u.op == "/" {
			return tDiv(tFun("ln", u.kids[0]), tFun("ln", u.kids[1]))
		}
	case "exp":
		if u.op == "+" {
			return tAdd(tFun("exp", u.kids[0]), tFun("exp", u.kids[1]))
		}
	}
	return nil
}

// compared counts at how many points of the domain two terms are what.
type compared struct {
	same, apart, less, greater int // less: the first is smaller
	firstOnly                  int // the second has no value
}

// compareTerms evaluates at points of the usual sizes and, where that is cheap,
// over many orders of size and at 0.
func compareTerms(r *rand.Rand, s *scenario, a, b *term) compared {
	var seen compared
	costly := a.isCostly() || b.isCostly()
	for i := range 20 {
		p, ok := s.point(r, !costly && i%2 == 1, i%4 == 3)
		if !ok {
			continue
		}
		floats := map[string]float64{}
		for ident, v := range p {
			floats[ident] = v.Float64()
		}
		x, y := a.float(floats), b.float(floats)
		size := max(x.size, y.size)
		if costly {
			seen.count(x.value-y.value, 1e-7*size, 0)
			continue
		}
		seen.exact(p, a, b, size)
	}
	return seen
}

func (c *compared) count(difference, least, same float64) {
	switch {
	case difference < -least:
		c.apart++
		c.less++
	case difference > least:
		c.apart++
		c.greater++
	case math.Abs(difference) <= same:
		c.same++
	}
}

// exact compares with the digits and the error bounds of package bigfloat.
func (c *compared) exact(p termPoint, a, b *term, size float64) {
	x, err1 := a.value(p)
	y, err2 := b.value(p)
	if err1 == nil && (errors.Is(err2, bigfloat.ErrDivide) || errors.Is(err2, bigfloat.ErrDomain)) {
		c.firstOnly++
	}
	if err1 != nil || err2 != nil {
		return
	}
	if d, err := bigfloat.Sub(x, y); err == nil {
		c.count(d.Float64(), float64(1e-12*size)+float64(1000*(x.Radius()+y.Radius())), 1e-20*size)
	}
}
