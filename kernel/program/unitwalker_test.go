package program

import (
	"fmt"
	"math"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// quantity and unitWalker are the plain way to evaluate a formula: go over the
// tree and check dimensions at every operation. It is the baseline of
// BenchmarkOneFormula.
type quantity struct {
	x   float64
	dim unit.Dimension
}

type unitWalker struct {
	values    map[string]quantity
	functions map[string]*Function
}

func (w *unitWalker) eval(e notation.Expr, locals map[string]quantity) (quantity, error) {
	switch e := e.(type) {
	case *notation.Number:
		return quantity{x: e.Value}, nil
	case *notation.Quantity:
		return quantity{e.Unit.Unit.SI(e.Number.Value), e.Unit.Unit.Dim}, nil
	case *notation.Name:
		if q, ok := locals[e.Ident]; ok {
			return q, nil
		}
		if q, ok := w.values[e.Ident]; ok {
			return q, nil
		}
		return quantity{}, fmt.Errorf("no %s", e.Ident)
	case *notation.Paren:
		return w.eval(e.X, locals)
	case *notation.Binary:
		x, err := w.eval(e.X, locals)
		if err != nil {
			return x, err
		}
		y, err := w.eval(e.Y, locals)
		if err != nil {
			return y, err
		}
		return w.operate(e.Op, x, y)
	case *notation.Call:
		f := w.functions[e.Fun.Ident]
		inner := make(map[string]quantity, len(e.Args))
		for i, a := range e.Args {
			q, err := w.eval(a, locals)
			if err != nil {
				return q, err
			}
			inner[f.Params[i]] = q
		}
		return w.eval(f.Body, inner)
	}
	return quantity{}, fmt.Errorf("cannot evaluate %T", e)
}

func (w *unitWalker) operate(op notation.Op, x, y quantity) (quantity, error) {
	var ok bool
	switch op {
	case notation.OpAdd, notation.OpSub:
		if x.dim != y.dim {
			return x, fmt.Errorf("%v and %v", x.dim, y.dim)
		}
		if op == notation.OpSub {
			return quantity{x.x - y.x, x.dim}, nil
		}
		return quantity{x.x + y.x, x.dim}, nil
	case notation.OpMul:
		x.x *= y.x
		x.dim, ok = x.dim.Mul(y.dim)
	case notation.OpDiv:
		x.x /= y.x
		x.dim, ok = x.dim.Div(y.dim)
	case notation.OpPow:
		x.x = math.Pow(x.x, y.x)
		x.dim, ok = x.dim.Pow(unit.Whole(int(y.x)))
	}
	if !ok {
		return x, fmt.Errorf("exponents out of range")
	}
	return x, nil
}

// oneFormula is the uniform twist with its polar second moment written out.
const oneFormula = "T·L/(G·(π/32·d^4))"

func oneFormulaWalker(t testing.TB) (*unitWalker, notation.Expr) {
	torque, stress, length := unit.Base(2, 1, -2), unit.Base(-1, 1, -2), unit.Base(1, 0, 0)
	return &unitWalker{values: map[string]quantity{
		"T": {420, torque}, "G": {79e9, stress}, "L": {0.8, length}, "d": {0.036, length}, "π": {x: math.Pi},
	}}, parse(t, oneFormula)
}

func TestUnitWalkerAgrees(t *testing.T) {
	w, e := oneFormulaWalker(t)
	q, err := w.eval(e, nil)
	if err != nil || !q.dim.IsNumber() {
		t.Fatal(q, err)
	}
	p, _ := Compile(e, []string{"T", "L", "G", "d"}, names{})
	got, err := p.At(newRun(), 420, 0.8, 79e9, 0.036)
	if err != nil || math.Abs(got-q.x) > 1e-15*q.x {
		t.Errorf("%v (%v), want %v", got, err, q.x)
	}
}

// BenchmarkOneFormula reports how many times faster a compiled formula is at
// one point than a tree walker that checks units, in the same run.
func BenchmarkOneFormula(b *testing.B) {
	w, e := oneFormulaWalker(b)
	p, _ := Compile(e, []string{"T", "L", "G", "d"}, names{})
	run := newRun()
	run.limits.Terms, run.limits.Work = math.MaxInt64/2, math.MaxInt64/2
	const inner = 1000
	walking, compiled := math.Inf(1), math.Inf(1)
	for b.Loop() {
		walking = min(walking, best(3, func() {
			for range inner {
				q, err := w.eval(e, nil)
				if err != nil {
					b.Fatal(err)
				}
				sink = q.x
			}
		}))
		compiled = min(compiled, best(3, func() {
			for range inner {
				v, err := p.At(run, 420, 0.8, 79e9, 0.036)
				if err != nil {
					b.Fatal(err)
				}
				sink = v
			}
		}))
	}
	b.ReportMetric(walking/inner, "walker-ns")
	b.ReportMetric(compiled/inner, "compiled-ns")
	b.ReportMetric(walking/compiled, "×faster")
	b.ReportMetric(0, "ns/op")
}
