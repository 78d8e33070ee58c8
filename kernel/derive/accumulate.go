package derive

import (
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// isDifferential reports whether a line is dθ = …: a name that begins with d,
// and a product with a name dx in it.
func isDifferential(line *notation.DeriveDefine) bool {
	return len(coordinateOf(line)) > 0
}

// coordinateOf returns the x of a differential statement dθ = …·dx, "" if line
// is none.
func coordinateOf(line *notation.DeriveDefine) string {
	if rest, ok := strings.CutPrefix(line.Name.Ident, "d"); !ok || rest == "" || strings.HasPrefix(rest, "_") {
		return ""
	}
	for _, n := range notation.FreeNames(line.Expr) {
		rest, ok := strings.CutPrefix(n.Ident, "d")
		if ok && rest != "" && !strings.HasPrefix(rest, "_") && rest != line.Name.Ident[1:] {
			return rest
		}
	}
	return ""
}

// declareCoordinate gives the x and dx of a differential statement their
// dimension, which is that of the limits of a later integral over x.
func (j *judge) declareCoordinate(line *notation.DeriveDefine) {
	x := coordinateOf(line)
	if x == "" {
		return
	}
	if _, known := j.scope.symbols["d"+x]; known {
		return
	}
	t, ok := j.coordinate(x)
	if symbol, known := j.scope.symbols[x]; known {
		t, ok = symbol.Type, symbol.Kind == check.Value
	}
	if !ok {
		j.list.Addf(line.Span(), CodeNoCoordinate, "nothing says which dimension %s has", x).
			Repair = "write given " + x + ": length above this line"
		return
	}
	names := map[string]*notation.Name{}
	for _, n := range notation.FreeNames(line.Expr) {
		names[n.Ident] = n
	}
	for _, ident := range []string{x, "d" + x} {
		if _, known := j.scope.symbols[ident]; known {
			continue
		}
		name := names[ident]
		if name == nil {
			name = makerAt(line).name(ident)
		}
		j.scope.give(name, t.Dim, t.Unit)
		j.forgetSampler()
	}
}

// coordinate looks for the dimension of a name among the forms that bind it.
func (j *judge) coordinate(x string) (check.Type, bool) {
	for _, line := range j.cell.Lines {
		e := expressionOf(line)
		if e == nil {
			continue
		}
		for _, b := range find(e, func(b *notation.Bind) bool { return b.Var.Ident == x && b.To != nil }) {
			for _, end := range []notation.Expr{b.To, b.From} {
				t, errs := j.scope.typeOf(end)
				if !source.List(errs).HasErrors() && t.IsQuantity() && !t.Zero {
					return t, true
				}
			}
		}
	}
	return check.Type{}, false
}

// accumulates judges "θ = integral of …" against "dθ = …·dx" above it: what is
// accumulated, times dx, must be the differential. It reports whether
// there was such a statement.
func (j *judge) accumulates(line *notation.DeriveDefine, s *statement) bool {
	differential := j.differentials[line.Name.Ident]
	if differential == nil {
		return false
	}
	integrals := binds(s.expr, notation.Integral)
	if len(integrals) == 0 {
		return j.notAccumulated(line, s, differential)
	}
	if len(integrals) != 1 || len(binds(s.full, notation.Integral)) != 1 {
		return false
	}
	b := integrals[0]
	m := makerAt(b)
	dx := "d" + b.Var.Ident
	if j.scope.variable(dx) == nil || j.scope.variable(b.Var.Ident) == nil || !isFree(differential.full, dx) {
		return false
	}
	element := m.paren(m.mul(m.paren(b.Body), m.name(dx)))
	claimed := replace(s.expr, b, element)
	full, err := j.scope.full(claimed)
	if err != nil {
		return false
	}
	if err := j.scope.define(line.Name, line.Expr, s.typ); err != nil {
		return false
	}
	j.step++
	v := Verdict{Span: line.Span(), Line: line.Span().Position().Line, Step: j.step}
	j.compare(&v, differential, &statement{expr: claimed, full: full, part: j.scope.apply(claimed), typ: s.typ, line: v.Line}, nil)
	if v.Kind == Follows {
		v.Why = "the integrand is that of d" + line.Name.Ident + " above"
	}
	j.verdicts = append(j.verdicts, v)
	return true
}

// notAccumulated leaves a line open that follows a differential statement but is
// not an integral of it.
func (j *judge) notAccumulated(line *notation.DeriveDefine, s, differential *statement) bool {
	if err := j.scope.define(line.Name, line.Expr, s.typ); err != nil {
		return false
	}
	j.step++
	j.verdicts = append(j.verdicts, Verdict{Span: line.Span(), Line: line.Span().Position().Line, Step: j.step, Kind: Open,
		Why: "nothing connects this line with d" + line.Name.Ident + " above" +
			": write first " + line.Name.Ident + " = integral of … for the coordinate between its limits"})
	return true
}
