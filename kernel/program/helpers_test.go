package program

import (
	"context"
	"testing"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// names is a scope made by hand.
type names map[string]Object

func (n names) Lookup(ident string) (Object, bool) {
	o, ok := n[ident]
	return o, ok
}

// parse reads an expression.
func parse(t testing.TB, text string) notation.Expr {
	t.Helper()
	e, list := notation.ParseExpr(source.NewText("", text))
	if err := list.Err(); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return e
}

// define adds definitions such as "d(x)": "d_0 + k·x" and "T": "420 N·m" to a
// scope, in order.
func define(t testing.TB, s names, pairs ...string) names {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		left, right := pairs[i], parse(t, pairs[i+1])
		if call, ok := parse(t, left).(*notation.Call); ok {
			f := &Function{Body: right}
			for _, a := range call.Args {
				f.Params = append(f.Params, a.(*notation.Name).Ident)
			}
			s[call.Fun.Ident] = f
			continue
		}
		v, list := Evaluate(NewRun(context.Background(), Limits{}), right, s)
		if err := list.Err(); err != nil {
			t.Fatalf("%s = %s: %v", left, pairs[i+1], err)
		}
		if v.IsBracket {
			s[notation.Canonical(left)] = Interval(v.Bracket)
			continue
		}
		s[notation.Canonical(left)] = Scalar(v.Number)
	}
	return s
}

func newRun() *Run { return NewRun(context.Background(), Limits{}) }

func value(t testing.TB, text string, s Scope) float64 {
	t.Helper()
	v, list := Evaluate(newRun(), parse(t, text), s)
	if err := list.Err(); err != nil {
		t.Fatalf("%s: %s", text, list.FirstError().Render())
	}
	return v.Number
}

// taper is our tapered quill: 36 mm to 54 mm over 800 mm, 420 N·m.
func taper(t testing.TB) names {
	return define(t, names{},
		"T", "420 N·m", "G", "79 GPa", "L", "800 mm", "d_0", "36 mm", "d_1", "54 mm",
		"k", "(d_1 − d_0)/L",
		"d(x)", "d_0 + k·x",
		"J(x)", "π/32·d(x)^4",
		"n", "8", "Δx", "L/n",
	)
}

var _ = interval.Interval{}
