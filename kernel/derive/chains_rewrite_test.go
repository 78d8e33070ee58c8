package derive_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
)

// A rule rewrites a term into an equal one, or returns nil where it does not
// apply. Rules need not be tried everywhere: a rule is drawn with its place.
type rule func(r *rand.Rand, s *scenario, t *term) *term

// isPositive is a simple proof that t is positive.
func (s *scenario) isPositive(t *term) bool {
	switch t.op {
	case "name":
		return s.positive[t.text]
	case "number":
		return t.text[0] != '-' && t.text != "0"
	case "+", "*", "/":
		return s.isPositive(t.kids[0]) && s.isPositive(t.kids[1])
	case "^":
		return s.isPositive(t.kids[0])
	case "f":
		return t.text == "exp" || t.text == "sqrt" && s.isPositive(t.kids[0])
	}
	return false
}

// rewritten applies a few rules at random places.
func rewritten(r *rand.Rand, s *scenario, t *term) *term {
	t = t.clone()
	for done, tried := 0, 0; done < 1+r.IntN(2) && tried < 200; tried++ {
		places := t.places()
		at := places[r.IntN(len(places))]
		if tried%3 == 0 {
			at = t // the whole line is what a reader rewrites most
		}
		by := pick(r, rules...)(r, s, at.clone())
		if by == nil || len(places) > 60 && len(by.parts()) > len(at.parts()) {
			continue
		}
		if by.anti == nil {
			by.anti = at.anti
		}
		*at = *by.clone()
		done++
	}
	return t
}

func fraction(t *term) (num, den *term) {
	if t.op == "/" {
		return t.kids[0], t.kids[1]
	}
	return t, tNum("1")
}

func isNumber(t *term, n string) bool { return t.op == "number" && t.text == n }

var rules = []rule{
	func(r *rand.Rand, s *scenario, t *term) *term { // e·u/u
		u := s.nonZeroName(r)
		return tDiv(tMul(t, u), u)
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // e·u/u, and e has no value for u = 0
		if r.IntN(6) > 0 {
			return nil
		}
		u := tName(pick(r, s.names...).ident)
		return tDiv(tMul(t, u), u)
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // e = e/3 + 2·e/3
		return tAdd(tDiv(t, tNum("3")), tDiv(tMul(tNum("2"), t), tNum("3")))
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // exchange
		if t.op != "+" && t.op != "*" {
			return nil
		}
		return tOp(t.op, t.kids[1], t.kids[0])
	},
	expandProduct, expandProduct, expandPower, expandPower, factorSum, factorSum, splitFraction, splitFraction, joinFractions, joinFractions,
	func(r *rand.Rand, s *scenario, t *term) *term { // xⁿ = x·xⁿ⁻¹
		n, ok := wholeExponent(t)
		if !ok || n < 2 {
			return nil
		}
		return tMul(t.kids[0], tPow(t.kids[0], fmt.Sprint(n-1)))
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // x² − y² and x³ − y³
		if t.op != "-" {
			return nil
		}
		n, ok1 := wholeExponent(t.kids[0])
		m, ok2 := wholeExponent(t.kids[1])
		if !ok1 || !ok2 || n != m {
			return nil
		}
		x, y := t.kids[0].kids[0], t.kids[1].kids[0]
		switch n {
		case 2:
			return tMul(tSub(x, y), tAdd(x, y))
		case 3:
			return tMul(tSub(x, y), tAdd(tAdd(tPow(x, "2"), tMul(x, y)), tPow(y, "2")))
		case 4:
			return tMul(tSub(tPow(x, "2"), tPow(y, "2")), tAdd(tPow(x, "2"), tPow(y, "2")))
		}
		return nil
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // a definition put in, or used
		for _, d := range s.defs {
			if t.op == "name" && t.text == d.ident {
				return d.e
			}
			if t.String() == d.e.String() {
				return tName(d.ident)
			}
		}
		return nil
	},
	func(r *rand.Rand, s *scenario, t *term) *term { // a number cancelled
		if t.op != "/" || t.kids[0].op != "*" || t.kids[0].kids[1].String() != t.kids[1].String() {
			return nil
		}
		return t.kids[0].kids[0]
	},
	rootRule, rootRule, absRule, absRule, logRule, logRule, waveRule, waveRule, waveRule, switchRule, switchRule,
	integralRule, integralRule, integralRule, sumRule, sumRule, closeRule, closeRule, closeRule,
}

func (s *scenario) nonZeroName(r *rand.Rand) *term {
	var list []string
	for _, n := range s.names {
		if n.sign == positive || n.sign == nonZero || n.sign == negative {
			list = append(list, n.ident)
		}
	}
	return tName(pick(r, list...))
}

func wholeExponent(t *term) (int, bool) {
	if t.op != "^" || t.kids[1].op != "number" {
		return 0, false
	}
	r, ok := new(big.Rat).SetString(t.kids[1].text)
	if !ok || !r.IsInt() {
		return 0, false
	}
	return int(r.Num().Int64()), true
}

func expandProduct(r *rand.Rand, s *scenario, t *term) *term {
	if t.op != "*" {
		return nil
	}
	for i := range 2 {
		sum, other := t.kids[i], t.kids[1-i]
		if sum.op == "+" || sum.op == "-" {
			return tOp(sum.op, tMul(sum.kids[0], other), tMul(sum.kids[1], other))
		}
	}
	return nil
}

func expandPower(r *rand.Rand, s *scenario, t *term) *term {
	n, ok := wholeExponent(t)
	if !ok {
		return nil
	}
	base := t.kids[0]
	switch {
	case base.op == "*" && n > 0:
		return tMul(tPow(base.kids[0], fmt.Sprint(n)), tPow(base.kids[1], fmt.Sprint(n)))
	case base.op == "/" && n > 0:
		return tDiv(tPow(base.kids[0], fmt.Sprint(n)), tPow(base.kids[1], fmt.Sprint(n)))
	case (base.op == "+" || base.op == "-") && n == 2:
		x, y := base.kids[0], base.kids[1]
		return tAdd(tOp(base.op, tPow(x, "2"), tMul(tNum("2"), x, y)), tPow(y, "2"))
	case (base.op == "+" || base.op == "-") && n == 3:
		x, y := base.kids[0], base.kids[1]
		return tOp(base.op, tAdd(tOp(base.op, tPow(x, "3"), tMul(tNum("3"), tPow(x, "2"), y)), tMul(tNum("3"), x, tPow(y, "2"))), tPow(y, "3"))
	}
	return nil
}

func factorSum(r *rand.Rand, s *scenario, t *term) *term {
	if t.op != "+" && t.op != "-" {
		return nil
	}
	x, y := t.kids[0], t.kids[1]
	if x.op == "*" && y.op == "*" {
		for i := range 2 {
			for j := range 2 {
				if x.kids[i].String() == y.kids[j].String() {
					return tMul(x.kids[i], tOp(t.op, x.kids[1-i], y.kids[1-j]))
				}
			}
		}
	}
	if s.isPositive(x) {
		sum := tOp(t.op, tNum("1"), tDiv(y, x))
		return tMul(x, sum)
	}
	return nil
}

func splitFraction(r *rand.Rand, s *scenario, t *term) *term {
	if t.op != "/" {
		return nil
	}
	x, y := t.kids[0], t.kids[1]
	switch {
	case x.op == "+" || x.op == "-":
		return tOp(x.op, tDiv(x.kids[0], y), tDiv(x.kids[1], y))
	case y.op == "*":
		return tDiv(tDiv(x, y.kids[0]), y.kids[1])
	case y.op == "/":
		return tDiv(tMul(x, y.kids[1]), y.kids[0])
	case x.op == "*":
		return tMul(x.kids[0], tDiv(x.kids[1], y))
	}
	return nil
}

func joinFractions(r *rand.Rand, s *scenario, t *term) *term {
	if len(t.kids) != 2 {
		return nil
	}
	a, b := fraction(t.kids[0])
	c, d := fraction(t.kids[1])
	if isNumber(b, "1") && isNumber(d, "1") {
		return nil
	}
	switch t.op {
	case "+", "-":
		return tDiv(tOp(t.op, tMul(a, d), tMul(c, b)), tMul(b, d))
	case "*":
		return tDiv(tMul(a, c), tMul(b, d))
	}
	return nil
}

func rootRule(r *rand.Rand, s *scenario, t *term) *term {
	if t.op == "f" && t.text == "sqrt" {
		u := t.kids[0]
		switch {
		case u.op == "^" && u.kids[1].text == "2" && s.isPositive(u.kids[0]):
			return u.kids[0]
		case u.op == "^" && u.kids[1].text == "2":
			return tOp("abs", u.kids[0])
		case (u.op == "*" || u.op == "/") && s.isPositive(u):
			return tOp(u.op, tFun("sqrt", u.kids[0]), tFun("sqrt", u.kids[1]))
		}
		return nil
	}
	if r.IntN(3) == 0 && s.isPositive(t) && !t.isCostly() && t.op != "number" {
		return tFun("sqrt", tPow(t, "2"))
	}
	return nil
}

func absRule(r *rand.Rand, s *scenario, t *term) *term {
	if t.op != "abs" {
		return nil
	}
	u := t.kids[0]
	switch {
	case s.isPositive(u):
		return u
	case u.op == "*" || u.op == "/":
		return tOp(u.op, tOp("abs", u.kids[0]), tOp("abs", u.kids[1]))
	case u.op == "-":
		return tOp("abs", tSub(u.kids[1], u.kids[0]))
	case r.IntN(2) == 0:
		return tFun("sqrt", tPow(u, "2"))
	}
	return tOp("max", u, tOp("neg", u))
}

func logRule(r *rand.Rand, s *scenario, t *term) *term {
	if t.op != "f" {
		return nil
	}
	u := t.kids[0]
	switch {
	case t.text == "ln" && u.op == "*" && s.isPositive(u):
		return tAdd(tFun("ln", u.kids[0]), tFun("ln", u.kids[1]))
	case t.text == "ln" && u.op == "/" && s.isPositive(u):
		return tSub(tFun("ln", u.kids[0]), tFun("ln", u.kids[1]))
	case t.text == "ln" && u.op == "^" && s.isPositive(u.kids[0]):
		return tMul(u.kids[1], tFun("ln", u.kids[0]))
	case t.text == "ln" && u.op == "f" && u.text == "exp":
		return u.kids[0]
	case t.text == "exp" && u.op == "+":
		return tMul(tFun("exp", u.kids[0]), tFun("exp", u.kids[1]))
	case t.text == "exp" && u.op == "*" && u.kids[0].text == "2" && u.kids[0].op == "number":
		return tPow(tFun("exp", u.kids[1]), "2")
	case t.text == "exp" && u.op == "f" && u.text == "ln" && s.isPositive(u.kids[0]):
		return u.kids[0]
	}
	return nil
}

func waveRule(r *rand.Rand, s *scenario, t *term) *term {
	if t.op == "^" && t.kids[1].text == "2" && t.kids[0].op == "f" && (t.kids[0].text == "sin" || t.kids[0].text == "cos") {
		f, u := map[string]string{"sin": "cos", "cos": "sin"}[t.kids[0].text], t.kids[0].kids[0]
		if r.IntN(2) == 0 {
			return tSub(tNum("1"), tPow(tFun(f, u), "2"))
		}
		return tDiv(tOp(map[string]string{"sin": "-", "cos": "+"}[t.kids[0].text], tNum("1"), tFun("cos", tMul(tNum("2"), u))), tNum("2"))
	}
	if t.op != "f" || t.text != "sin" && t.text != "cos" {
		return nil
	}
	u := t.kids[0]
	half := func() *term {
		if u.op == "*" && u.kids[0].op == "number" && u.kids[0].text == "2" {
			return u.kids[1]
		}
		return nil
	}
	switch {
	case t.text == "sin" && half() != nil:
		return tMul(tMul(tNum("2"), tFun("sin", half())), tFun("cos", half()))
	case t.text == "cos" && half() != nil:
		return tSub(tNum("1"), tMul(tNum("2"), tPow(tFun("sin", half()), "2")))
	case u.op == "+" || u.op == "-":
		x, y := u.kids[0], u.kids[1]
		if t.text == "sin" {
			return tOp(u.op, tMul(tFun("sin", x), tFun("cos", y)), tMul(tFun("cos", x), tFun("sin", y)))
		}
		op := map[string]string{"+": "-", "-": "+"}[u.op]
		return tOp(op, tMul(tFun("cos", x), tFun("cos", y)), tMul(tFun("sin", x), tFun("sin", y)))
	}
	return nil
}

func switchRule(r *rand.Rand, s *scenario, t *term) *term {
	switch t.op {
	case "max", "min":
		x, y := t.kids[0], t.kids[1]
		switch r.IntN(3) {
		case 0:
			return tOp(t.op, y, x)
		case 1:
			op := map[string]string{"max": "+", "min": "-"}[t.op]
			return tDiv(tOp(op, tAdd(x, y), tOp("abs", tSub(x, y))), tNum("2"))
		}
		if t.op == "max" {
			return tOp("if", x, y, y, x)
		}
		return tOp("if", x, y, x, y)
	case "if":
		return tOp("if", tMul(tNum("2"), t.kids[0]), tMul(tNum("2"), t.kids[1]), t.kids[2], t.kids[3])
	}
	return nil
}

func sumRule(r *rand.Rand, s *scenario, t *term) *term {
	if t.op != "sum" {
		return nil
	}
	body, from, to := t.kids[0], t.kids[1], t.kids[2]
	switch {
	case body.op == "*" && !body.kids[0].uses(t.text) && r.IntN(2) == 0:
		inner := body.kids[1].clone()
		if body.anti != nil {
			inner.anti = tDiv(body.anti, body.kids[0])
		}
		return tMul(body.kids[0], tSum(t.text, inner, from, to))
	case r.IntN(2) == 0 && isNumber(from, "1") && to.op == "name": // there is a last term
		last := body.with(t.text, to)
		rest := body.clone()
		rest.anti = nil
		return tAdd(tSum(t.text, rest, from, tSub(to, tNum("1"))), last)
	}
	return nil
}

func integralRule(r *rand.Rand, s *scenario, t *term) *term {
	if t.op != "int" {
		return nil
	}
	body, from, to := t.kids[0], t.kids[1], t.kids[2]
	part := func(e, anti *term) *term {
		e = e.clone()
		e.anti = anti.clone()
		return tInt(t.text, e, from, to)
	}
	scaled := func(c *term) *term {
		if body.anti == nil {
			return nil
		}
		return tDiv(body.anti, c)
	}
	switch r.IntN(8) {
	case 7: // a limit of sums
		if !t.uses("n") && !t.uses("i") {
			return &term{op: "riemann", text: t.text, kids: []*term{body, from, to}}
		}
	case 0: // a constant in front
		if body.op == "*" && !body.kids[0].uses(t.text) && s.isPositive(body.kids[0]) {
			return tMul(body.kids[0], part(body.kids[1], scaled(body.kids[0])))
		}
		if body.op == "/" && !body.kids[0].uses(t.text) && s.isPositive(body.kids[0]) {
			return tMul(body.kids[0], part(tDiv(tNum("1"), body.kids[1]), scaled(body.kids[0])))
		}
	case 1: // a sum taken apart
		if body.op == "+" || body.op == "-" {
			return tOp(body.op, part(body.kids[0], nil), part(body.kids[1], nil))
		}
	case 2: // the range taken apart
		if to.op == "name" {
			middle := tDiv(to, tNum("2"))
			return tAdd(tInt(t.text, body, from, middle), tInt(t.text, body, middle, to))
		}
	case 3: // another name
		if !t.uses("v") && t.text != "v" {
			s.positive["v"] = s.positive[t.text]
			return tInt("v", body.with(t.text, tName("v")), from, to)
		}
	case 4: // the limits exchanged
		if r.IntN(3) == 0 {
			return tOp("neg", tInt(t.text, body, to, from))
		}
	case 5: // x = w/2
		if t.text != "w" && !t.uses("w") {
			s.positive["w"] = s.positive[t.text]
			half := tDiv(tName("w"), tNum("2"))
			e := tDiv(body.with(t.text, half), tNum("2"))
			if body.anti != nil {
				e.anti = body.anti.with(t.text, half)
			}
			return tInt("w", e, tMul(tNum("2"), from), tMul(tNum("2"), to))
		}
	case 6: // x = to − w
		if t.text != "w" && !t.uses("w") && to.op == "name" && from.op == "quantity" {
			s.positive["w"] = true
			back := tSub(to, tName("w"))
			e := body.with(t.text, back)
			e.anti = nil
			if body.anti != nil {
				e.anti = tOp("neg", body.anti.with(t.text, back))
			}
			return tInt("w", e, from, to)
		}
	}
	return nil
}

// closeRule puts the limits into a known antiderivative, or a closed form for a
// sum or a limit.
func closeRule(r *rand.Rand, s *scenario, t *term) *term {
	switch t.op {
	case "derivative", "root", "call":
		return t.anti
	case "riemann":
		return tInt(t.text, t.kids[0], t.kids[1], t.kids[2])
	case "int", "sum", "limit":
	default:
		return nil
	}
	if t.kids[0].anti == nil {
		return nil
	}
	anti := t.kids[0].anti
	if t.op == "int" {
		return tSub(anti.with(t.text, t.kids[2]), anti.with(t.text, t.kids[1]))
	}
	return anti
}
