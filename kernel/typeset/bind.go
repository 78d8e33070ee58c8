package typeset

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// bind sets the forms that bind a name.
func (s setter) bind(e *notation.Bind) box.Box {
	variable := box.Row(nil)
	if e.Var != nil {
		variable = box.Row{nameBox(e.Var.Ident)}
	}
	if n, ok := notation.IsFactorial(e); ok {
		return box.Row{s.operand(n, levelAtom, true), box.Op{Sign: "!", Form: box.Tight}}
	}
	from, to := s.small().inner(e.From), s.small().inner(e.To)
	switch e.Kind {
	case notation.Sum, notation.Product:
		sign := "∑"
		if e.Kind == notation.Product {
			sign = "∏"
		}
		under := box.Row{variable, box.Op{Sign: "=", Form: box.Relation}, from}
		return box.Row{box.Limits{Base: box.Op{Sign: sign, Form: box.Large}, Under: under, Over: to}, s.operand(e.Body, levelMul, true)}
	case notation.Integral:
		return box.Row{box.Script{Base: box.Op{Sign: "∫", Form: box.Large}, Sub: from, Sup: to}, s.operand(e.Body, levelMul, true), box.Thin{}, box.Ident{Name: "d", Upright: true}, variable}
	case notation.Derivative:
		quotient := box.Fraction{Num: box.Ident{Name: "d", Upright: true}, Den: box.Row{box.Ident{Name: "d", Upright: true}, variable}}
		if own, ok := unparen(e.From).(*notation.Name); ok && e.Var != nil && own.Ident == e.Var.Ident {
			return box.Row{quotient, box.Thin{}, s.operand(e.Body, levelPower, true)}
		}
		return box.At{X: box.Row{quotient, box.Thin{}, s.operand(e.Body, levelMul, true)}, Place: box.Row{variable, box.Op{Sign: "=", Form: box.Relation}, from}}
	case notation.Antiderivative:
		return box.Row{box.Op{Sign: "∫", Form: box.Large}, s.operand(e.Body, levelMul, true), box.Thin{}, box.Ident{Name: "d", Upright: true}, variable}
	case notation.Change:
		place := box.Row{variable, box.Op{Sign: "=", Form: box.Relation}, from}
		return box.Script{Base: box.Fence{Open: "[", Close: "]", X: s.inner(e.Body)}, Sub: place, Sup: to}
	case notation.Limit:
		return box.Row{box.Limits{Base: box.Ident{Name: "lim", Upright: true}, Under: box.Row{variable, box.Op{Sign: "→", Form: box.Relation}, from}, Over: nil}, s.operand(e.Body, levelMul, true)}
	}
	reach := box.Row{from, box.Op{Sign: "≤", Form: box.Relation}, variable, box.Op{Sign: "≤", Form: box.Relation}, to}
	word := box.Ident{Name: e.Kind.String(), Upright: true}
	return box.Row{box.Limits{Base: word, Under: reach, Over: nil}, box.Thin{}, box.Fence{Open: "(", Close: ")", X: s.inner(e.Body)}}
}

// conditional sets if … then … else … as a brace with one line a case; an else
// that is itself a condition becomes further lines.
func (s setter) conditional(e *notation.If) box.Box {
	var out box.Cases
	for e != nil {
		out = append(out, box.CaseLine{Value: s.inner(e.Then), When: s.inner(e.Cond)})
		next, ok := unparen(e.Else).(*notation.If)
		if !ok {
			out = append(out, box.CaseLine{Value: s.inner(e.Else), When: nil})
		}
		e = next
	}
	return out
}

func unparen(e notation.Expr) notation.Expr {
	if e == nil {
		return nil
	}
	return notation.Unparen(e)
}
