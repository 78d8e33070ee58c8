package derive_test

import (
	"errors"
	"math"
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
func tDiv(x, y *term) *term           { return tOp("/", x, y) }
func tPow(x *term, n string) *term    { return tOp("^", x, tNum(n)) }
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
		return gauss(f, from, to)
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

// fiveNodes are the nodes and weights of Gauss and Legendre on [−1, 1] (DLMF
// Table 3.5.1).
var fiveNodes = [][2]string{
	{"0", "0.568888888888888888888888888888888889"},
	{"0.538469310105683091036314420700208805", "0.478628670499366468041291514835638193"},
	{"-0.538469310105683091036314420700208805", "0.478628670499366468041291514835638193"},
	{"0.906179845938663992797626878299392965", "0.236926885056189087514264040719917363"},
	{"-0.906179845938663992797626878299392965", "0.236926885056189087514264040719917363"},
}

// gauss integrates by the rule of five nodes on eight and on sixteen parts of the
// range, and fails where the two are not the same to 9 digits.
func gauss(f func(bigfloat.Value) (bigfloat.Value, error), from, to bigfloat.Value) (bigfloat.Value, error) {
	coarse, _, err := gaussParts(f, from, to, 8)
	if err != nil {
		return coarse, err
	}
	fine, size, err := gaussParts(f, from, to, 16)
	if err != nil {
		return fine, err
	}
	if off := must(bigfloat.Sub(fine, coarse)); math.Abs(off.Float64()) > 1e-9*size {
		return fine, errTerm
	}
	return fine, nil
}

// gaussParts also returns the sum of the sizes of what is added.
func gaussParts(f func(bigfloat.Value) (bigfloat.Value, error), from, to bigfloat.Value, parts int64) (bigfloat.Value, float64, error) {
	run := must(bigfloat.Sub(to, from))
	total, size := bigfloat.Int(0), 0.0
	for i := range parts {
		for _, node := range fiveNodes {
			place := must(bigfloat.Add(must(termNumber(node[0])), bigfloat.Int(2*i+1)))
			x, err := f(must(bigfloat.Add(from, must(bigfloat.Mul(run, must(bigfloat.Div(place, bigfloat.Int(2*parts))))))))
			if err != nil {
				return x, 0, err
			}
			x = must(bigfloat.Mul(x, must(termNumber(node[1]))))
			total = must(bigfloat.Add(total, x))
			size += math.Abs(x.Float64())
		}
	}
	out, err := bigfloat.Div(must(bigfloat.Mul(total, run)), bigfloat.Int(2*parts))
	return out, size * math.Abs(run.Float64()) / float64(2*parts), err
}

func must(v bigfloat.Value, err error) bigfloat.Value {
	if err != nil {
		panic(err)
	}
	return v
}

// gross bounds the size of what is added and subtracted in t, so that a 0 that is
// the difference of large terms is known for one.
func (t *term) gross(p termPoint) float64 {
	size := func() float64 {
		v, err := t.value(p)
		if err != nil {
			return 0
		}
		return math.Abs(v.Float64())
	}
	switch t.op {
	case "+", "-":
		return t.kids[0].gross(p) + t.kids[1].gross(p)
	case "*":
		return t.kids[0].gross(p) * t.kids[1].gross(p)
	case "/":
		v, err := t.kids[1].value(p)
		if err != nil {
			return 0
		}
		return t.kids[0].gross(p) / math.Abs(v.Float64())
	case "f":
		if t.text == "sin" || t.text == "cos" {
			return 1
		}
	case "neg", "abs":
		return t.kids[0].gross(p)
	case "int", "riemann":
		inner := termPoint{}
		for k, v := range p {
			inner[k] = v
		}
		from, err1 := t.kids[1].value(p)
		to, err2 := t.kids[2].value(p)
		if err1 != nil || err2 != nil {
			return 0
		}
		inner[t.text] = from
		a := t.kids[0].gross(inner)
		inner[t.text] = to
		return max(size(), (a+t.kids[0].gross(inner))*(math.Abs(from.Float64())+math.Abs(to.Float64())))
	}
	return size()
}
