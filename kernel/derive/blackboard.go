package derive

import (
	"strconv"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
)

// expanded returns a line in which every form that runs over a name runs also
// over the names defined in terms of it, and a bracket with limits is written
// out. With u = d_0 + k·x, [u^2] from x = 0 to L is (d_0 + k·L)^2 − d_0^2.
func (j *judge) expanded(line notation.DeriveLine) notation.DeriveLine {
	switch line := line.(type) {
	case *notation.DeriveDefine:
		c := *line
		c.Expr = j.homogeneous(j.scope.expand(line.Expr))
		j.checkUnitBehind(c.Expr)
		return &c
	case *notation.DeriveStep:
		c := *line
		if line.Left != nil {
			c.Left = j.homogeneous(j.scope.expand(line.Left))
		}
		if line.X != nil {
			c.X = j.homogeneous(j.scope.expand(line.X))
			j.checkUnitBehind(c.X)
		}
		return &c
	}
	return line
}

func (s *scope) expand(e notation.Expr) notation.Expr {
	e = notation.Map(e, s.expand)
	b, ok := e.(*notation.Bind)
	if !ok || b.Kind != notation.Change && b.Kind != notation.Derivative && b.Kind != notation.Integral && b.Kind != notation.Limit {
		return e
	}
	body := b.Body
	for _, n := range notation.FreeNames(body) {
		if value, defined := s.values[n.Ident]; defined && n.Ident != b.Var.Ident && isFree(value, b.Var.Ident) {
			body = put(body, n.Ident, value)
		}
	}
	if b.Kind != notation.Change {
		if body == b.Body {
			return e
		}
		c := *b
		c.Body = body
		return &c
	}
	m := makerAt(b)
	from, to := s.sameKind(b.From, b.To), s.sameKind(b.To, b.From)
	return m.paren(m.sub(m.paren(put(body, b.Var.Ident, to)), m.paren(put(body, b.Var.Ident, from))))
}

// sameKind gives an end that is written 0 the dimension of the other end.
func (s *scope) sameKind(end, other notation.Expr) notation.Expr {
	t, _ := s.typeOf(end)
	if of, _ := s.typeOf(other); t.Zero && !of.Zero && of.IsQuantity() {
		return makerAt(end).mul(end, makerAt(end).paren(other))
	}
	return end
}

// rate takes "dθ/dx = …". Where θ is known, it claims something of its
// derivative; else it is a differential statement.
func (j *judge) rate(line *notation.DeriveDefine) {
	θ, x := line.Name.Ident[1:], line.Over.Ident[1:]
	m := makerAt(line.Name)
	differential := &notation.DeriveDefine{Name: line.Name,
		Expr: m.mul(m.paren(line.Expr), makerAt(line.Over).name(line.Over.Ident))}
	differential.At = line.At
	j.chain, j.bound = "", ""
	j.declareCoordinate(differential)
	slope := func(of notation.Expr) {
		b := &notation.Bind{Kind: notation.Derivative, Body: of, Var: m.name(x), From: m.name(x)}
		b.At = m.at
		j.above = j.statement(b)
		j.judgeClaim(line, line.Expr, nil)
	}
	symbol, known := j.scope.symbols[θ]
	value := j.scope.values[θ]
	switch {
	case known && symbol.Kind == check.Function && len(symbol.Func.Params) == 1:
		slope(m.call(θ, m.name(x)))
	case known && value != nil && isFree(value, x):
		slope(value)
	case known && value != nil:
		j.above = nil
		j.judgeClaim(line, line.Expr, nil)
		v := &j.verdicts[len(j.verdicts)-1]
		v.Why = θ + " in line " + strconv.Itoa(symbol.At.Position().Line) + " does not depend on " + x + ", so nothing can be said of d" + θ + "/d" + x
	case j.scope.values[line.Name.Ident] != nil:
		j.above = j.statement(m.div(m.name(line.Name.Ident), makerAt(line.Over).name(line.Over.Ident)))
		j.judgeClaim(line, line.Expr, nil)
	default:
		j.differential(line, differential, θ)
	}
}

// differential takes "dθ/dx = …" as "dθ = …·dx".
func (j *judge) differential(line, differential *notation.DeriveDefine, θ string) {
	j.above = j.statement(line.Expr)
	s, ok := j.quietly(differential.Expr)
	if !ok || j.above == nil {
		j.scope.declare(&check.Symbol{Ident: line.Name.Ident, At: line.Name.Span()})
		return
	}
	s.line = line.Span().Position().Line
	if err := j.scope.define(line.Name, differential.Expr, s.typ); err != nil {
		j.list.Addf(line.Expr.Span(), CodeTooLong, "%v", err)
		return
	}
	j.differentials[θ] = s
	j.rates[θ] = &rate{over: line.Over.Ident[1:], value: j.above, line: s.line}
}

// antiderivative judges "∫ f dx = F + C" by differentiating. A constant at the end
// that nothing else names is given here.
func (j *judge) antiderivative(line *notation.DeriveStep, b *notation.Bind) {
	j.chain, j.bound, j.above = "", "", nil
	if !j.declareVariable(b.Var) {
		return
	}
	absorbed := *line
	absorbed.X = j.absorbed(line.X, b.Var.Ident)
	line = &absorbed
	if sum, ok := notation.Unparen(line.X).(*notation.Binary); ok && (sum.Op == notation.OpAdd || sum.Op == notation.OpSub) {
		c, isName := sum.Y.(*notation.Name)
		if isName && c.Ident != "π" && j.scope.symbols[c.Ident] == nil {
			if s, ok := j.quietly(sum.X); ok {
				j.scope.give(c, s.typ.Dim, s.typ.Unit)
				j.forgetSampler()
			}
		}
	}
	m := makerAt(line.X)
	slope := &notation.Bind{Kind: notation.Derivative, Body: line.X, Var: b.Var, From: m.name(b.Var.Ident)}
	slope.At = line.X.Span()
	f, of, value := j.statement(b.Body), j.statement(j.scope.expand(slope)), j.statement(line.X)
	j.step++
	v := Verdict{Span: line.Span(), Line: line.Span().Position().Line, Step: j.step}
	if f == nil || of == nil || value == nil {
		v.Kind, v.Why = Open, "this line cannot be judged: a part of it has no meaning"
		j.verdicts = append(j.verdicts, v)
		return
	}
	j.compare(&v, f, of, nil)
	before := v.Kind
	j.refuteJump(&v, f, value, b.Var.Ident)
	switch {
	case v.Kind == before && v.Kind == Follows:
		v.Why = "the derivative of the right side is the integrand"
	case v.Kind == before && v.Kind == Fails:
		v.Why = "the derivative of the right side is not the integrand: " + v.Why
	}
	j.verdicts = append(j.verdicts, v)
	j.above = value
}

// declareVariable gives the variable of an integral without limits the dimension
// that it has among the forms that bind it.
func (j *judge) declareVariable(x *notation.Name) bool {
	if j.scope.variable(x.Ident) != nil {
		return true
	}
	t, ok := j.coordinate(x.Ident)
	if _, known := j.scope.symbols[x.Ident]; known || !ok {
		j.list.Addf(x.Span(), CodeNoCoordinate, "nothing says which dimension %s has", x.Ident).
			Repair = "write given " + x.Ident + ": length above this line"
		return false
	}
	j.scope.give(x, t.Dim, t.Unit)
	j.forgetSampler()
	return true
}

// boundaryValue judges "d(L) = d_1", where d is a function defined above and L has
// a meaning: a claim about its value there.
func (j *judge) boundaryValue(line *notation.DeriveDefine, known *check.Symbol) bool {
	if known.Kind != check.Function || len(known.Func.Params) != len(line.Params) {
		return false
	}
	var args []notation.Expr
	for _, p := range line.Params {
		if j.scope.symbols[p.Ident] == nil {
			return false
		}
		args = append(args, p)
	}
	j.above = j.statement(makerAt(line.Name).call(line.Name.Ident, args...))
	j.judgeClaim(line, line.Expr, nil)
	return true
}
