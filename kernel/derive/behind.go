package derive

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// CodeUnitBehind: a unit is written behind a value that has one.
// Example: given T: torque, d: length
//
//	τ = 16·T/(π·d^3) MPa
const CodeUnitBehind source.Code = "unit-behind"

// checkUnitBehind reports a unit behind a side that is not a pure number.
func (j *judge) checkUnitBehind(e notation.Expr) {
	b, ok := e.(*notation.Binary)
	if !ok || !b.UnitBehind {
		return
	}
	t, errs := j.scope.typeOf(b.X)
	if source.List(errs).HasErrors() || !t.IsQuantity() || t.Dim.IsNumber() {
		return
	}
	q := b.Y.(*notation.Quantity)
	j.list.Addf(q.Span(), CodeUnitBehind, "%s is %s already, and %s would come on top", notation.Print(b.X), unit.Describe(t.Dim), q.Unit.Text).
		Repair = "leave the unit out; a unit is put behind numbers only, as in 16·420000/(π·36^3) MPa"
}
