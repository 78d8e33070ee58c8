package derive_test

import (
	"errors"
	"math/big"
	"strings"

	"shaftbook/kernel/bigfloat"
)

// A term is an expression of a generated chain: a tree of its own with an
// evaluator of its own, so that the generator shares only the arithmetic of
// package bigfloat with what it tests.
type term struct {
	op   string // name number quantity + - * / ^ neg f abs int sum max min if limit
	text string // name, digits, function, or bound name
	kids []*term
	anti *term // of an integrand or summand: the antiderivative by the bound name
}

func tName(s string) *term               { return &term{op: "name", text: s} }
func tNum(s string) *term                { return &term{op: "number", text: s} }
func tOp(op string, kids ...*term) *term { return &term{op: op, kids: kids} }
func tAdd(x, y *term) *term              { return tOp("+", x, y) }
func tSub(x, y *term) *term              { return tOp("-", x, y) }
func tMul(x ...*term) *term {
	out := x[0]
	for _, y := range x[1:] {
		out = tOp("*", out, y)
	}
	return out
}
func tDiv(x, y *term) *term { return tOp("/", x, y) }

// tPow is a power; x^1 is x, since x^1/3 asks what is the exponent.
func tPow(x *term, n string) *term {
	switch {
	case n == "1":
		return x
	case strings.Contains(n, "/"):
		n = "(" + n + ")"
	}
	return tOp("^", x, tNum(n))
}

func tFun(f string, x ...*term) *term { return &term{op: "f", text: f, kids: x} }
func tInt(v string, body, from, to *term) *term {
	return &term{op: "int", text: v, kids: []*term{body, from, to}}
}
func tSum(v string, body, from, to *term) *term {
	return &term{op: "sum", text: v, kids: []*term{body, from, to}}
}

func (t *term) clone() *term {
	if t == nil {
		return nil
	}
	c := &term{op: t.op, text: t.text, anti: t.anti.clone()}
	for _, k := range t.kids {
		c.kids = append(c.kids, k.clone())
	}
	return c
}

func (t *term) String() string { return t.print(0) }

var termLevels = map[string]int{"+": 1, "-": 1, "neg": 1, "*": 2, "/": 2, "^": 4}

func isForm(op string) bool {
	switch op {
	case "int", "sum", "if", "limit", "derivative", "root", "riemann":
		return true
	}
	return false
}

// print writes a term with the brackets it needs inside a part of a level.
func (t *term) print(level int) string {
	own, is := termLevels[t.op]
	text := t.bare()
	if is && own < level || level > 0 && (isForm(t.op)) {
		return "(" + text + ")"
	}
	return text
}

func (t *term) bare() string {
	kid := func(i, level int) string { return t.kids[i].print(level) }
	switch t.op {
	case "name", "number", "quantity":
		if strings.HasPrefix(t.text, "-") || t.op == "quantity" {
			return "(" + strings.Replace(t.text, "-", "−", 1) + ")"
		}
		return t.text
	case "+":
		return kid(0, 1) + " + " + kid(1, 2)
	case "-":
		return kid(0, 1) + " − " + kid(1, 2)
	case "*":
		return kid(0, 2) + "·" + kid(1, 3)
	case "/":
		return kid(0, 2) + "/" + kid(1, 3)
	case "^":
		exponent := t.kids[1].text
		if t.kids[1].op != "number" || strings.ContainsAny(exponent, "-/") {
			exponent = "(" + strings.Replace(t.kids[1].print(0), "-", "−", 1) + ")"
			exponent = strings.ReplaceAll(strings.ReplaceAll(exponent, "((", "("), "))", ")")
		}
		return kid(0, 5) + "^" + exponent
	case "neg":
		return "−" + kid(0, 2)
	case "abs":
		return "|" + kid(0, 0) + "|"
	case "f", "max", "min":
		name := t.text
		if t.op != "f" {
			name = t.op
		}
		var args []string
		for i := range t.kids {
			args = append(args, kid(i, 0))
		}
		return name + "(" + strings.Join(args, ", ") + ")"
	case "int":
		return "integral of " + kid(0, 2) + " for " + t.text + " from " + kid(1, 0) + " to " + kid(2, 0)
	case "sum":
		return "sum of " + kid(0, 2) + " for " + t.text + " from " + kid(1, 0) + " to " + kid(2, 0)
	case "if":
		return "if " + kid(0, 1) + " < " + kid(1, 1) + " then " + kid(2, 1) + " else " + kid(3, 1)
	case "limit":
		return "limit of " + kid(0, 2) + " as " + t.text + " → ∞"
	case "derivative":
		return "derivative of " + kid(0, 2) + " for " + t.text + " at " + kid(1, 0)
	case "root":
		return "root of " + kid(0, 2) + " for " + t.text + " from " + kid(1, 0) + " to " + kid(2, 0)
	case "riemann": // the limit of the sums at the middles of equal parts
		h := tDiv(tSub(t.kids[2], t.kids[1]), tName("n"))
		place := tAdd(t.kids[1], tMul(tSub(tName("i"), tDiv(tNum("1"), tNum("2"))), h))
		return "limit of (sum of " + tMul(t.kids[0].with(t.text, place), h).print(2) + " for i from 1 to n) as n → ∞"
	case "call":
		return t.text + "(" + kid(0, 0) + ")"
	}
	panic(t.op)
}

// walk calls f for t and its parts.
func (t *term) walk(f func(*term)) {
	f(t)
	for _, k := range t.kids {
		k.walk(f)
	}
}

func (t *term) parts() []*term {
	var list []*term
	t.walk(func(p *term) { list = append(list, p) })
	return list
}

// places lists the parts that may be rewritten: exponents may not, since the power
// of a value with a unit must be known.
func (t *term) places() []*term {
	list := []*term{t}
	if t.op == "derivative" || t.op == "root" || t.op == "call" {
		return list
	}
	for i, k := range t.kids {
		if t.op != "^" || i == 0 {
			list = append(list, k.places()...)
		}
	}
	return list
}

func (t *term) uses(ident string) bool {
	found := false
	t.walk(func(p *term) { found = found || p.op == "name" && p.text == ident })
	return found
}

// with puts by in for a name.
func (t *term) with(ident string, by *term) *term {
	if t == nil {
		return nil
	}
	if t.op == "name" && t.text == ident {
		return by.clone()
	}
	c := &term{op: t.op, text: t.text, anti: t.anti.with(ident, by)}
	for _, k := range t.kids {
		c.kids = append(c.kids, k.with(ident, by))
	}
	return c
}

// dropAntis forgets the antiderivatives, which a change inside makes wrong.
func (t *term) dropAntis() {
	t.walk(func(p *term) {
		if p.op != "derivative" && p.op != "root" && p.op != "call" {
			p.anti = nil
		}
	})
}

func (t *term) isCostly() bool {
	found := false
	t.walk(func(p *term) { found = found || p.op == "int" || p.op == "limit" || p.op == "riemann" })
	return found
}

type termPoint map[string]bigfloat.Value

var errTerm = errors.New("a term without a value")

var termFunctions = map[string]func(bigfloat.Value) (bigfloat.Value, error){
	"sin": bigfloat.Sin, "cos": bigfloat.Cos, "tan": bigfloat.Tan, "exp": bigfloat.Exp, "ln": bigfloat.Ln, "sqrt": bigfloat.Sqrt, "atan": bigfloat.Atan, "log10": bigfloat.Log10,
}

func termNumber(text string) (bigfloat.Value, error) {
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		return bigfloat.Value{}, errTerm
	}
	return bigfloat.Rat(r)
}

// quantitiesInSI are the quantities that chains use.
var quantitiesInSI = map[string]string{"mm": "1/1000", "m": "1", "N·m": "1", "kN·m": "1000", "GPa": "1000000000", "MPa": "1000000"}

func (t *term) value(p termPoint) (bigfloat.Value, error) {
	switch t.op {
	case "name":
		if t.text == "π" {
			return bigfloat.Pi(), nil
		}
		v, ok := p[t.text]
		if !ok {
			return v, errTerm
		}
		return v, nil
	case "number":
		return termNumber(t.text)
	case "quantity":
		number, unit, _ := strings.Cut(t.text, " ")
		x, err := termNumber(number)
		if err != nil {
			return x, err
		}
		y, err := termNumber(quantitiesInSI[unit])
		if err != nil {
			return y, err
		}
		return bigfloat.Mul(x, y)
	case "int", "sum", "limit", "riemann":
		return t.bound(p)
	case "derivative", "root", "call": // their closed form is kept with them
		return t.anti.value(p)
	}
	args := make([]bigfloat.Value, len(t.kids))
	for i, k := range t.kids {
		v, err := k.value(p)
		if err != nil {
			return v, err
		}
		args[i] = v
	}
	switch t.op {
	case "+":
		return bigfloat.Add(args[0], args[1])
	case "-":
		return bigfloat.Sub(args[0], args[1])
	case "*":
		return bigfloat.Mul(args[0], args[1])
	case "/":
		return bigfloat.Div(args[0], args[1])
	case "^":
		return bigfloat.Pow(args[0], args[1])
	case "neg":
		return bigfloat.Neg(args[0]), nil
	case "abs":
		return bigfloat.Abs(args[0]), nil
	case "f":
		return termFunctions[t.text](args[0])
	}
	difference, err := bigfloat.Sub(args[0], args[1])
	if err != nil || difference.Sign() == 0 {
		return difference, errTerm
	}
	first := difference.Sign() < 0 // the first is the smaller one
	switch t.op {
	case "if":
		if first {
			return args[2], nil
		}
		return args[3], nil
	case "max":
		first = !first
	}
	if first {
		return args[0], nil
	}
	return args[1], nil
}

func (t *term) bound(p termPoint) (bigfloat.Value, error) {
	inner := termPoint{}
	for k, v := range p {
		inner[k] = v
	}
	f := func(x bigfloat.Value) (bigfloat.Value, error) {
		inner[t.text] = x
		return t.kids[0].value(inner)
	}
	if t.op == "limit" { // here of quotients of polynomials, so far out is near
		far, err := termNumber("1e15")
		if err != nil {
			return far, err
		}
		return f(far)
	}
	from, err := t.kids[1].value(p)
	if err != nil {
		return from, err
	}
	to, err := t.kids[2].value(p)
	if err != nil {
		return to, err
	}
	if t.op != "sum" {
		return from, errTerm // see float
	}
	a, ok1 := from.Whole()
	b, ok2 := to.Whole()
	if !ok1 || !ok2 || b-a > 100 {
		return from, errTerm
	}
	total := bigfloat.Int(0)
	for i := a; i <= b; i++ {
		x, err := f(bigfloat.Int(i))
		if err != nil {
			return x, err
		}
		if total, err = bigfloat.Add(total, x); err != nil {
			return total, err
		}
	}
	return total, nil
}

func must(v bigfloat.Value, err error) bigfloat.Value {
	if err != nil {
		panic(err)
	}
	return v
}
