package typeset

import "shaftbook/kernel/notation"

// stmt sets a statement. Display suffixes are left out: they belong to the
// result that stands beside the formula.
func (s setter) stmt(n notation.Stmt) box {
	switch n := n.(type) {
	case *notation.Define:
		return s.equation(nameOrNothing(n.Name), n.Expr)
	case *notation.DefineFunc:
		return s.equation(s.head(n.Name, n.Params), n.Body)
	case *notation.Show:
		return s.expr(n.Expr)
	case *notation.Vary:
		return s.vary(n)
	case *notation.Expect:
		return s.expect(n)
	case *notation.Table:
		return s.columns(n.Columns, n.Range)
	case *notation.Plot:
		return s.columns(n.Columns, n.Range)
	case *notation.Draw:
		return s.draw(n)
	case *notation.Prefer:
		out := row{text("units: ")}
		for i, u := range n.Units {
			if i > 0 {
				out = append(out, op{",", comma})
			}
			out = append(out, unitBox(u.Text))
		}
		return out
	default:
		return asWritten(n)
	}
}

func nameOrNothing(n *notation.Name) box {
	if n == nil {
		return row(nil)
	}
	return nameBox(n.Ident)
}

func (s setter) equation(left box, right notation.Expr) box {
	return row{left, op{"=", relation}, s.expr(right)}
}

// head sets the left side of a function definition.
func (s setter) head(name *notation.Name, params []*notation.Name) box {
	var inside row
	for i, p := range params {
		if i > 0 {
			inside = append(inside, op{",", comma})
		}
		inside = append(inside, nameBox(p.Ident))
	}
	return row{nameOrNothing(name), apply{}, fence{"(", ")", inside}}
}

func (s setter) vary(n *notation.Vary) box {
	out := row{nameOrNothing(n.Name), text(" from "), s.expr(n.From), text(" to "), s.expr(n.To)}
	if n.Step != nil {
		out = append(out, text(" by "), s.expr(n.Step))
	}
	return out
}

func (s setter) expect(n *notation.Expect) box {
	switch {
	case n.Low != nil || n.High != nil:
		return row{s.operand(n.Low, levelAdd, false), op{"≤", relation}, s.operand(n.X, levelAdd, false),
			op{"≤", relation}, s.operand(n.High, levelAdd, false)}
	case n.Bracket != nil:
		return row{s.expr(n.X), text(" within "), s.expr(n.Bracket)}
	case n.Approx != nil:
		out := row{s.expr(n.X), op{"≈", relation}, s.expr(n.Approx)}
		if n.Tolerance != nil {
			out = append(out, text(" within "), s.expr(n.Tolerance))
		}
		return out
	}
	return s.expr(n.Cond)
}

// columns sets the head of a table or a plot: what is shown, over which range.
func (s setter) columns(columns []*notation.Column, r *notation.Range) box {
	var out row
	for i, c := range columns {
		if i > 0 {
			out = append(out, op{",", comma})
		}
		out = append(out, s.expr(c.Expr))
	}
	if r == nil {
		return out
	}
	return append(out, text(" for "), s.span(r))
}

// span sets a range: 0 m ≤ x ≤ L.
func (s setter) span(r *notation.Range) box {
	out := row{s.expr(r.From), op{"≤", relation}, nameOrNothing(r.Var), op{"≤", relation}, s.expr(r.To)}
	if r.Step != nil {
		out = append(out, text(" by "), s.expr(r.Step))
	}
	return out
}

func (s setter) draw(n *notation.Draw) box {
	out := row{text("drawing of "), nameOrNothing(n.Shaft)}
	if n.Segments != nil {
		out = append(out, text(" in "), s.expr(n.Segments), text(" segments"))
	}
	if n.Times != nil {
		out = append(out, text(", twist shown "), s.expr(n.Times), text(" times"))
	}
	return out
}
