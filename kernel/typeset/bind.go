package typeset

import "shaftbook/kernel/notation"

// bind sets the forms that bind a name.
func (s setter) bind(e *notation.Bind) box {
	variable := row(nil)
	if e.Var != nil {
		variable = row{nameBox(e.Var.Ident)}
	}
	from, to := s.small().inner(e.From), s.small().inner(e.To)
	switch e.Kind {
	case notation.Sum, notation.Product:
		sign := "∑"
		if e.Kind == notation.Product {
			sign = "∏"
		}
		under := row{variable, op{"=", relation}, from}
		return row{limits{op{sign, large}, under, to}, s.operand(e.Body, levelMul, true)}
	case notation.Integral:
		return row{script{op{"∫", large}, from, to}, s.operand(e.Body, levelMul, true), thin{}, ident{"d", true}, variable}
	case notation.Derivative:
		quotient := fraction{ident{"d", true}, row{ident{"d", true}, variable}}
		return at{row{quotient, thin{}, s.operand(e.Body, levelMul, true)}, row{variable, op{"=", relation}, from}}
	case notation.Limit:
		return row{limits{ident{"lim", true}, row{variable, op{"→", relation}, from}, nil}, s.operand(e.Body, levelMul, true)}
	}
	reach := row{from, op{"≤", relation}, variable, op{"≤", relation}, to}
	word := ident{e.Kind.String(), true}
	return row{limits{word, reach, nil}, thin{}, fence{"(", ")", s.inner(e.Body)}}
}

// conditional sets if … then … else … as a brace with one line a case; an else
// that is itself a condition becomes further lines.
func (s setter) conditional(e *notation.If) box {
	var out cases
	for e != nil {
		out = append(out, caseLine{s.inner(e.Then), s.inner(e.Cond)})
		next, ok := unparen(e.Else).(*notation.If)
		if !ok {
			out = append(out, caseLine{s.inner(e.Else), nil})
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
