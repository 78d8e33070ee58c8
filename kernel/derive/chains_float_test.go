package derive_test

import (
	"math"
	"math/big"
	"strings"
)

// A sized is a value in float64 with the size of what is added and subtracted in
// it, so that a 0 that is the difference of large terms is known for one. NaN is
// no value.
type sized struct{ value, size float64 }

func sizedOf(x float64) sized { return sized{x, math.Abs(x)} }

// float evaluates a term with integrals; to about 10 digits of its size.
func (t *term) float(p map[string]float64) sized {
	switch t.op {
	case "name":
		if t.text == "π" {
			return sizedOf(math.Pi)
		}
		return sizedOf(p[t.text])
	case "number":
		return sizedOf(floatOf(t.text))
	case "quantity":
		number, unit, _ := strings.Cut(t.text, " ")
		return sizedOf(floatOf(number) * floatOf(quantitiesInSI[unit]))
	case "derivative", "root", "call":
		return t.anti.float(p)
	case "int", "riemann", "sum", "limit":
		return t.floatBound(p)
	}
	args := make([]sized, len(t.kids))
	for i, k := range t.kids {
		args[i] = k.float(p)
	}
	x := args[0]
	switch t.op {
	case "neg":
		return sized{-x.value, x.size}
	case "abs":
		return sized{math.Abs(x.value), x.size}
	case "f":
		f := map[string]func(float64) float64{"sin": math.Sin, "cos": math.Cos, "tan": math.Tan, "exp": math.Exp, "ln": math.Log, "sqrt": math.Sqrt, "atan": math.Atan, "log10": math.Log10}[t.text]
		return sized{f(x.value), math.Max(1, math.Abs(f(x.value)))}
	}
	y := args[1]
	switch t.op {
	case "+":
		return sized{x.value + y.value, x.size + y.size}
	case "-":
		return sized{x.value - y.value, x.size + y.size}
	case "*":
		return sized{x.value * y.value, x.size * y.size}
	case "/":
		return sized{x.value / y.value, x.size / math.Abs(y.value)}
	case "^":
		return sizedOf(math.Pow(x.value, y.value))
	}
	first := x.value < y.value
	switch {
	case t.op == "if" && first:
		return args[2]
	case t.op == "if":
		return args[3]
	case first == (t.op == "min"):
		return x
	}
	return y
}

func floatOf(text string) float64 {
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		return math.NaN()
	}
	f, _ := r.Float64()
	return f
}

func (t *term) floatBound(p map[string]float64) sized {
	outer, had := p[t.text]
	defer func() {
		delete(p, t.text)
		if had {
			p[t.text] = outer
		}
	}()
	f := func(x float64) sized {
		p[t.text] = x
		return t.kids[0].float(p)
	}
	if t.op == "limit" {
		return f(1e9)
	}
	from, to := t.kids[1].float(p).value, t.kids[2].float(p).value
	if t.op == "sum" {
		total := sized{}
		for i := from; i <= to; i++ {
			x := f(i)
			total = sized{total.value + x.value, total.size + x.size}
		}
		return total
	}
	coarse, fine := gauss(f, from, to, 16), gauss(f, from, to, 24)
	if !(math.Abs(fine.value-coarse.value) < 1e-9*fine.size) {
		return sized{math.NaN(), 0}
	}
	return fine
}

// fiveNodes are the nodes and weights of Gauss and Legendre on [−1, 1] (DLMF
// Table 3.5.1).
var fiveNodes = [5][2]float64{
	{0, 0.568888888888888888888888888888888889},
	{0.538469310105683091036314420700208805, 0.478628670499366468041291514835638193},
	{-0.538469310105683091036314420700208805, 0.478628670499366468041291514835638193},
	{0.906179845938663992797626878299392965, 0.236926885056189087514264040719917363},
	{-0.906179845938663992797626878299392965, 0.236926885056189087514264040719917363},
}

// gauss integrates by the rule of five nodes on equal parts of the range.
func gauss(f func(float64) sized, from, to float64, parts int) sized {
	total, half := sized{}, (to-from)/float64(2*parts)
	for i := range parts {
		for _, node := range fiveNodes {
			x := f(from + half*(float64(2*i+1)+node[0]))
			total = sized{total.value + float64(x.value*node[1]), total.size + float64(x.size*node[1])}
		}
	}
	return sized{total.value * half, total.size * math.Abs(half)}
}
