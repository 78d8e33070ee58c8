package typeset

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// deriveLine sets a line of a derivation. The reason of a step is left out of
// the formula: it is prose beside the formula.
func (s setter) deriveLine(n notation.DeriveLine) box.Box {
	switch n := n.(type) {
	case *notation.Given:
		return s.given(n)
	case *notation.DeriveDefine:
		left := nameOrNothing(n.Name)
		if n.Params != nil {
			left = s.head(n.Name, n.Params)
		}
		if n.Over != nil {
			left = box.Fraction{Num: differential(n.Name), Den: differential(n.Over)}
		}
		return led(n.Lead, s.equation(left, n.Expr))
	case *notation.DeriveStep:
		return led(n.Lead, s.step(n))
	default:
		return asWritten(n)
	}
}

// led sets ⇒ or ∴ before a line that has it.
func led(sign string, line box.Box) box.Box {
	if sign == "" {
		return line
	}
	return box.Row{box.Op{Sign: sign, Form: box.Relation}, line}
}

// differential sets dθ with an upright d.
func differential(n *notation.Name) box.Box {
	return box.Row{box.Ident{Name: "d", Upright: true}, nameBox(strings.TrimPrefix(n.Ident, "d"))}
}

func (s setter) step(n *notation.DeriveStep) box.Box {
	if n.Gap {
		return box.Row{box.Op{Sign: "=", Form: box.Relation}, box.Text("?")}
	}
	out := box.Row{box.Op{Sign: n.Op.String(), Form: box.Relation}, s.expr(n.X)}
	if n.Left != nil {
		out = append(box.Row{s.expr(n.Left)}, out...)
	}
	if n.Domain != nil {
		out = append(out, box.Text("  for "), s.compare(n.Domain))
	}
	if n.Small != nil {
		out = append(out, s.smallness(n)...)
	}
	for i, name := range n.Constant {
		if i == 0 {
			out = append(out, box.Text("  for constant "), nameBox(name.Ident))
			continue
		}
		out = append(out, box.Op{Sign: ",", Form: box.Comma}, nameBox(name.Ident))
	}
	if n.With == nil {
		return out
	}
	return append(out, box.Text("  with "), nameBox(n.With.Ident), box.Op{Sign: "=", Form: box.Relation}, s.expr(n.WithX))
}

// given sets each name with its word or unit, and each domain once: a chain
// such as d_1 > d_0 > 0 belongs to several names.
func (s setter) given(n *notation.Given) box.Box {
	out := box.Row{box.Text("given ")}
	shown := map[*notation.Compare]bool{}
	for _, item := range n.Items {
		piece := s.givenItem(item, shown)
		if piece == nil {
			continue
		}
		if len(out) > 1 {
			out = append(out, box.Op{Sign: ",", Form: box.Comma})
		}
		out = append(out, piece...)
	}
	return out
}

func (s setter) givenItem(item notation.GivenItem, shown map[*notation.Compare]bool) box.Row {
	var out box.Row
	switch {
	case item.Word != "" && item.Name != nil:
		out = box.Row{box.Text(item.Word + " "), nameBox(item.Name.Ident)}
	case item.Unit != nil && item.Name != nil:
		out = box.Row{nameBox(item.Name.Ident), box.Text(" in "), unitBox(item.Unit.Text)}
	}
	if item.Domain == nil {
		if out == nil && item.Name != nil {
			return box.Row{nameBox(item.Name.Ident)}
		}
		return out
	}
	if shown[item.Domain] {
		return out
	}
	shown[item.Domain] = true
	if out != nil && startsWithName(item) {
		out = box.Row{box.Text(item.Word + " ")}
		switch {
		case item.Word == "" && !item.ShowsUnit():
			return box.Row{s.compare(item.Domain)}
		case item.Word == "":
			return box.Row{s.compare(item.Domain), box.Text(" in "), unitBox(item.Unit.Text)}
		}
		return append(out, s.compare(item.Domain))
	}
	if out != nil {
		out = append(out, box.Op{Sign: ",", Form: box.Comma})
	}
	return append(out, s.compare(item.Domain))
}

// startsWithName reports whether the domain of an item begins with its name,
// so that the name need not be written twice: torque T > 0.
func startsWithName(item notation.GivenItem) bool {
	if len(item.Domain.Xs) == 0 {
		return false
	}
	n, ok := item.Domain.Xs[0].(*notation.Name)
	return ok && n.Ident == item.Name.Ident
}
