package algebra

import (
	"math"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/num"
	"shaftbook/kernel/source"
)

// parse reads an expression that must be without fault.
func parse(t testing.TB, text string) notation.Expr {
	t.Helper()
	e, list := notation.ParseExpr(source.NewText("test", text))
	if list.HasErrors() {
		t.Fatalf("%s: %v", text, list)
	}
	return e
}

// functions makes Functions of "d(x)" → "d_0 + k·x".
func functions(t testing.TB, definitions map[string]string) Functions {
	t.Helper()
	type function struct {
		params []string
		body   notation.Expr
	}
	known := map[string]function{}
	for head, body := range definitions {
		call := notation.Unparen(parse(t, head)).(*notation.Call)
		f := function{body: parse(t, body)}
		for _, a := range call.Args {
			f.params = append(f.params, a.(*notation.Name).Ident)
		}
		known[call.Fun.Ident] = f
	}
	return func(ident string) ([]string, notation.Expr, bool) {
		f, ok := known[ident]
		return f.params, f.body, ok
	}
}

// values is what an expression is evaluated with: the plainest evaluator there
// is, so that it can judge the algebra. What it does not know is NaN.
type values struct {
	names map[string]float64
	funcs Functions
}

func (v values) with(name string, x float64) values {
	names := map[string]float64{}
	for k, y := range v.names {
		names[k] = y
	}
	names[name] = x
	return values{names, v.funcs}
}

var unary = map[string]func(float64) float64{
	"sqrt": math.Sqrt, "abs": math.Abs, "sin": math.Sin, "cos": math.Cos, "tan": math.Tan,
	"asin": math.Asin, "acos": math.Acos, "atan": math.Atan, "exp": math.Exp, "ln": math.Log,
	"log10": math.Log10, "floor": math.Floor, "ceil": math.Ceil, "round": math.Round,
}

func (v values) of(e notation.Expr) float64 {
	switch e := e.(type) {
	case *notation.Number:
		return e.Value
	case *notation.Quantity:
		return e.Number.Value * e.Unit.Unit.Factor
	case *notation.Name:
		if x, ok := v.names[e.Ident]; ok {
			return x
		}
		if e.Ident == "π" {
			return math.Pi
		}
	case *notation.Paren:
		return v.of(e.X)
	case *notation.Abs:
		return math.Abs(v.of(e.X))
	case *notation.Root:
		return math.Sqrt(v.of(e.X))
	case *notation.Unary:
		if e.Op == notation.OpNeg {
			return -v.of(e.X)
		}
		return v.of(e.X)
	case *notation.Binary:
		return binaryValue(e.Op, v.of(e.X), v.of(e.Y))
	case *notation.If:
		if v.of(e.Cond) != 0 {
			return v.of(e.Then)
		}
		return v.of(e.Else)
	case *notation.Compare:
		if v.of(e.Xs[0]) < v.of(e.Xs[1]) == (e.Ops[0] == notation.OpLess) {
			return 1
		}
		return 0
	case *notation.Call:
		return v.call(e)
	case *notation.Bind:
		return v.bind(e)
	}
	return math.NaN()
}

func binaryValue(op notation.Op, x, y float64) float64 {
	switch op {
	case notation.OpAdd:
		return x + y
	case notation.OpSub:
		return x - y
	case notation.OpMul:
		return x * y
	case notation.OpDiv:
		return x / y
	case notation.OpPow:
		return math.Pow(x, y)
	}
	return math.NaN()
}

func (v values) call(e *notation.Call) float64 {
	args := make([]float64, len(e.Args))
	for i, a := range e.Args {
		args[i] = v.of(a)
	}
	if params, body, ok := v.funcs.lookup(e.Fun.Ident); ok {
		inner := v
		for i, p := range params {
			inner = inner.with(p, args[i])
		}
		return inner.of(body)
	}
	switch e.Fun.Ident {
	case "atan2":
		return math.Atan2(args[0], args[1])
	case "min", "max":
		best := args[0]
		for _, x := range args[1:] {
			if (x < best) == (e.Fun.Ident == "min") {
				best = x
			}
		}
		return best
	}
	if f, ok := unary[e.Fun.Ident]; ok {
		return f(args[0])
	}
	return math.NaN()
}

func (v values) bind(e *notation.Bind) float64 {
	at := func(x float64) float64 { return v.with(e.Var.Ident, x).of(e.Body) }
	block := func(dst, x []float64) error {
		for i := range x {
			dst[i] = at(x[i])
		}
		return nil
	}
	from := v.of(e.From)
	switch e.Kind {
	case notation.Sum, notation.Product:
		total := 0.0
		if e.Kind == notation.Product {
			total = 1
		}
		for i := from; i <= v.of(e.To); i++ {
			if e.Kind == notation.Product {
				total *= at(i)
			} else {
				total += at(i)
			}
		}
		return total
	case notation.Integral:
		if r, err := num.Integrate(block, from, v.of(e.To), num.Options{RelTol: 1e-12}); err == nil {
			return r.Value
		}
	case notation.Derivative:
		if slope, _, err := num.Differentiate(block, from, 0.2, num.Options{}); err == nil {
			return slope
		}
	case notation.FindRoot:
		if r, err := num.FindRoot(block, from, v.of(e.To), num.Options{}); err == nil {
			return r.X
		}
	}
	return math.NaN()
}

// parseText is parse for generated text.
func parseText(text string) (notation.Expr, error) {
	e, list := notation.ParseExpr(source.NewText("test", text))
	return e, list.Err()
}
