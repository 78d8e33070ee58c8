package typeset

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// stmt sets a statement. Display suffixes are left out: they belong to the
// result beside the formula.
func (s setter) stmt(n notation.Stmt) box.Box {
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
	case *notation.Readings:
		return s.readings(n)
	case *notation.Line:
		return s.line(n)
	case *notation.PlotLine:
		return s.plotLine(n)
	case *notation.SegmentTable:
		return box.Row{box.Text("table of "), nameOrNothing(n.Shaft), box.Text(" in "), s.expr(n.Segments), box.Text(" " + segments(n.Segments))}
	case *notation.ToleranceTable:
		return box.Row{box.Text("table of tolerances of "), s.expr(n.Expr)}
	case *notation.Trials:
		return s.trials(n)
	case *notation.Draw:
		return s.draw(n)
	case *notation.Prefer:
		out := box.Row{box.Text("units: ")}
		for i, u := range n.Units {
			if i > 0 {
				out = append(out, box.Op{Sign: ",", Form: box.Comma})
			}
			out = append(out, unitBox(u.Text))
		}
		return out
	default:
		return asWritten(n)
	}
}

func nameOrNothing(n *notation.Name) box.Box {
	if n == nil {
		return box.Row(nil)
	}
	return nameBox(n.Ident)
}

func (s setter) equation(left box.Box, right notation.Expr) box.Box {
	return box.Row{left, box.Op{Sign: "=", Form: box.Relation}, s.expr(right)}
}

// head sets the left side of a function definition.
func (s setter) head(name *notation.Name, params []*notation.Name) box.Box {
	var inside box.Row
	for i, p := range params {
		if i > 0 {
			inside = append(inside, box.Op{Sign: ",", Form: box.Comma})
		}
		inside = append(inside, nameBox(p.Ident))
	}
	return box.Row{nameOrNothing(name), box.Apply{}, box.Fence{Open: "(", Close: ")", X: inside}}
}

func (s setter) vary(n *notation.Vary) box.Box {
	out := box.Row{nameOrNothing(n.Name), box.Text(" from "), s.expr(n.From), box.Text(" to "), s.expr(n.To)}
	if n.Step != nil {
		out = append(out, box.Text(" by "), s.expr(n.Step))
	}
	return out
}

func (s setter) expect(n *notation.Expect) box.Box {
	switch {
	case n.Low != nil || n.High != nil:
		return box.Row{s.operand(n.Low, levelAdd, false), box.Op{Sign: "≤", Form: box.Relation}, s.operand(n.X, levelAdd, false),
			box.Op{Sign: "≤", Form: box.Relation}, s.operand(n.High, levelAdd, false)}
	case n.Bracket != nil:
		return box.Row{s.expr(n.X), box.Text(" within "), s.expr(n.Bracket)}
	case n.Approx != nil:
		out := box.Row{s.expr(n.X), box.Op{Sign: "≈", Form: box.Relation}, s.expr(n.Approx)}
		if n.Tolerance != nil {
			out = append(out, box.Text(" within "), s.expr(n.Tolerance))
		}
		return out
	}
	return s.expr(n.Cond)
}

// columns sets the head of a table or a plot: what is shown, over which range.
func (s setter) columns(columns []*notation.Column, r *notation.Range) box.Box {
	var out box.Row
	for i, c := range columns {
		if i > 0 {
			out = append(out, box.Op{Sign: ",", Form: box.Comma})
		}
		out = append(out, s.expr(c.Expr))
	}
	if r == nil {
		return out
	}
	return append(out, box.Text(" for "), s.span(r))
}

// span sets a range: 0 m ≤ x ≤ L.
func (s setter) span(r *notation.Range) box.Box {
	out := box.Row{s.expr(r.From), box.Op{Sign: "≤", Form: box.Relation}, nameOrNothing(r.Var), box.Op{Sign: "≤", Form: box.Relation}, s.expr(r.To)}
	if r.Step != nil {
		out = append(out, box.Text(" by "), s.expr(r.Step))
	}
	if r.Mark != nil {
		out = append(out, box.Text(", marked at "), s.expr(r.Mark))
	}
	return out
}

// drawnWords stand before the name of the shaft.
var drawnWords = map[notation.DrawForm]string{
	notation.DrawShaft: "drawing of ", notation.DrawTwisting: "drawing of ", notation.DrawCompanions: "drawing of ",
	notation.DrawSection: "cross-section of ", notation.DrawCut: "free bodies of ",
}

func (s setter) draw(n *notation.Draw) box.Box {
	out := box.Row{box.Text(drawnWords[n.Form]), nameOrNothing(n.Shaft)}
	switch {
	case n.X != nil:
		out = append(out, box.Text(" at "), s.expr(n.X))
	case n.Form == notation.DrawTwisting:
		out = append(out, box.Text(" before and after twisting"))
	case n.Form == notation.DrawCompanions:
		out = append(out, box.Text(" between its uniform companions"))
	}
	if n.Segments != nil {
		out = append(out, box.Text(" in "), s.expr(n.Segments), box.Text(" "+segments(n.Segments)))
	}
	if n.Times != nil {
		out = append(out, box.Text(", twist shown "), s.expr(n.Times), box.Text(" times"))
	}
	if n.Axial {
		out = append(out, box.Text(" with axial arrows"))
	}
	if n.Alone {
		out = append(out, box.Text(" alone"))
	}
	return out
}

// segments is the word after a number of segments.
func segments(n notation.Expr) string {
	if notation.Print(n) == "1" {
		return "segment"
	}
	return "segments"
}
