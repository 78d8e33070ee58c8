package typeset

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// unitBehind sets a product with a unit behind it, as a quantity is set.
func (s setter) unitBehind(x notation.Expr, unit string) box.Box {
	out := box.Row{s.operand(x, levelMul, false)}
	if !holdsDegree(unit) {
		out = append(out, box.Thin{})
	}
	return append(out, unitBox(unit))
}

// smallness sets what follows a step with ≈: for small k, for t ≪ d.
func (s setter) smallness(n *notation.DeriveStep) box.Row {
	if n.SmallTo == nil {
		return box.Row{box.Text("  for small "), nameBox(n.Small.Ident)}
	}
	return box.Row{box.Text("  for "), nameBox(n.Small.Ident), box.Op{Sign: "≪", Form: box.Relation}, s.expr(n.SmallTo)}
}
