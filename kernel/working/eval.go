package working

import (
	"context"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// An Evaluated is one expression with its value.
type Evaluated struct {
	Expr  notation.Expr
	Type  check.Type
	Value Value
	Text  string // as shown
}

// Eval reads, checks and evaluates one expression, for example a learner's
// answer, where the names of the working have the values of the last
// Evaluate. Trouble is reported at its place in t; if the list holds an error
// the value is not to be used, but Expr and, where it is known, Type are
// filled as far as reading and checking got.
func (w *Working) Eval(ctx context.Context, t *source.Text) (Evaluated, source.List) {
	x, list := notation.ParseExpr(t)
	if list.HasErrors() {
		return Evaluated{Expr: x}, list
	}
	return w.EvalExpr(ctx, x)
}

// EvalExpr is Eval for an expression that has been read already.
func (w *Working) EvalExpr(ctx context.Context, x notation.Expr) (Evaluated, source.List) {
	typ, list := w.checker.Expr(x)
	e := Evaluated{Expr: x, Type: typ}
	if list.HasErrors() {
		return e, list
	}
	for _, n := range notation.FreeNames(x) {
		if d := w.definers[n.Ident]; len(d) > 0 && d[0].object == nil {
			list.Addf(n.Span(), CodeNeeds, "%s has no value", n.Ident)
			return e, list
		}
	}
	w.GiveWay(ctx)
	run := program.NewRun(ctx, w.limits)
	w.current.Store(run)
	defer w.current.Store(nil)
	v, problems := program.Evaluate(run, x, scope{w})
	list = append(append(list, problems...), run.Notes...)
	if problems.HasErrors() {
		return e, list
	}
	e.Value = valueOf(v, typ)
	e.Text = w.shownText(&e.Value, typ, x, notation.Display{})
	return e, list
}

func valueOf(v program.Value, t check.Type) Value {
	out := Value{Dim: t.Dim, IsBracket: v.IsBracket, Number: v.Number,
		IsTruth: v.IsTruth, Truth: v.Truth, ErrorEstimate: v.ErrorEstimate, IsFrequency: t.Speed == unit.Cycling}
	if v.IsBracket {
		out.Low, out.High, out.Number = v.Bracket.Lo, v.Bracket.Hi, v.Bracket.Mid()
	}
	return out
}
