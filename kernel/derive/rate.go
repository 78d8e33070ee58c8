package derive

import (
	"fmt"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/words"
)

// A rate is a line dθ/dx = … above the definition of θ(x), with what later lines say
// of single values of θ, as θ(0) = 0.
type rate struct {
	over   string // x
	value  *statement
	line   int
	values []valueAt
}

type valueAt struct {
	at, value notation.Expr
	line      int
}

// givenRate takes a line about a function θ of which only dθ/dx is known: θ(L) = … as a
// condition, and θ(x) = … as the claim that it satisfies all of these lines. Without any
// condition θ(x) = … is a definition.
func (j *judge) givenRate(line *notation.DeriveDefine) bool {
	r := j.rates[line.Name.Ident]
	if r == nil || len(line.Params) != 1 || j.scope.symbols[line.Name.Ident] != nil {
		return false
	}
	p := line.Params[0]
	if p.Ident != r.over {
		if j.scope.symbols[p.Ident] == nil {
			return false
		}
		j.takeValue(line, line.Name.Ident, r, valueAt{p, line.Expr, line.Span().Position().Line})
		return true
	}
	if len(r.values) == 0 {
		return false
	}
	j.solves(line, r)
	return true
}

// valueOfSought takes θ(0) = … where only dθ/dx is known.
func (j *judge) valueOfSought(line *notation.DeriveStep) bool {
	call, ok := line.Left.(*notation.Call)
	if !ok || line.Op != notation.OpEqual || len(call.Args) != 1 || j.scope.symbols[call.Fun.Ident] != nil {
		return false
	}
	r := j.rates[call.Fun.Ident]
	if r == nil {
		return false
	}
	j.takeValue(line, call.Fun.Ident, r, valueAt{call.Args[0], line.X, line.Span().Position().Line})
	return true
}

// takeValue keeps a condition: noted if θ(x) = … is to come, and open else.
func (j *judge) takeValue(line notation.DeriveLine, θ string, r *rate, c valueAt) {
	j.above, j.chain, j.bound = nil, "", ""
	for _, e := range []notation.Expr{c.at, c.value} {
		if _, ok := j.quietly(e); !ok {
			j.statement(e) // says why
			return
		}
	}
	r.values = append(r.values, c)
	of := θ + "(" + r.over + ")"
	for _, other := range j.cell.Lines {
		d, ok := other.(*notation.DeriveDefine)
		if ok && d.Name.Ident == θ && len(d.Params) == 1 && d.Params[0].Ident == r.over && d.Span().Start > line.Span().Start {
			j.list.Notef(line.Span(), CodeCondition, "this is taken as a condition on %s, and %s below is checked against it", θ, of)
			return
		}
	}
	j.step++
	j.verdicts = append(j.verdicts, Verdict{Span: line.Span(), Line: c.line, Step: j.step, Kind: Open,
		Why: fmt.Sprintf("nothing above says what %s is: write %s = … below, and d%s/d%s and this value are checked", of, of, θ, r.over)})
}

// solves judges θ(x) = … by dθ/dx above and by the values of θ above. It follows if
// it is a polynomial in x whose derivative is dθ/dx whatever the givens say of x: then
// no other function has this derivative and one of these values.
func (j *judge) solves(line *notation.DeriveDefine, r *rate) {
	θ, x := line.Name.Ident, r.over
	if err := j.scope.defineFunction(line); err != nil {
		j.list.Addf(line.Expr.Span(), CodeTooLong, "%v", err)
		return
	}
	m := makerAt(line.Name)
	j.step++
	v := Verdict{Span: line.Span(), Line: line.Span().Position().Line, Step: j.step}
	defer func() {
		j.verdicts = append(j.verdicts, v)
		j.above, j.bound = nil, ""
		if s, ok := j.quietly(line.Expr); ok {
			j.above = s
		}
	}()
	slope := &notation.Bind{Kind: notation.Derivative, Body: m.call(θ, m.name(x)), Var: m.name(x), From: m.name(x)}
	slope.At = m.at
	of, ok := j.quietly(slope)
	if !ok {
		j.statement(line.Expr)
		v.Kind, v.Why = Open, "this line cannot be judged: its derivative has no meaning"
		return
	}
	j.compare(&v, r.value, of, nil)
	if f, ok := j.quietly(line.Expr); ok && (v.Kind == Follows || v.Kind == Agrees) {
		if j.refuteJump(&v, r.value, f, x); v.Kind == Fails {
			return
		}
	}
	derivative := fmt.Sprintf("d%s/d%s", θ, x)
	switch v.Kind {
	case Fails:
		v.Why = fmt.Sprintf("its derivative is not %s of line %d: %s", derivative, r.line, v.Why)
		return
	case Open:
		return
	}
	checked := []string{derivative}
	for _, c := range r.values {
		a, ok1 := j.quietly(c.value)
		b, ok2 := j.quietly(m.call(θ, j.scope.sameKind(c.at, m.name(x))))
		if !ok1 || !ok2 {
			v.Kind, v.Why = Open, fmt.Sprintf("the value of %s in line %d could not be checked", θ, c.line)
			return
		}
		w := Verdict{Span: v.Span, Line: v.Line, Step: v.Step}
		j.compare(&w, a, b, nil)
		at := θ + "(" + notation.Print(c.at) + ")"
		switch w.Kind {
		case Fails:
			w.Slip, w.Also, w.Factor = "", "", nil
			w.Why = fmt.Sprintf("it has the derivative of line %d, but not the value %s of line %d", r.line, at, c.line)
			v = w
			return
		case Open:
			v = w
			return
		case Agrees:
			v = w
		}
		checked = append(checked, at)
	}
	v.Why = "it satisfies the lines above: " + words.And(checked)
	everywhere := j.scope.holdsForAnyArgument([]*notation.Name{m.name(x)}, r.value.full, of.full)
	if v.Kind == Follows && !(everywhere && isPolynomial(j.scope.apply(line.Expr), x)) {
		v.Kind, v.Exact = Agrees, false
		v.Why += "; that no other function does is not proved"
	}
}
