package working

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/source"
)

// gearLine returns the first line of a shaft cell that joins it to another
// shaft by gears, or nil.
func gearLine(it *item) *notation.ShaftGear {
	cell, ok := it.node.(*notation.ShaftCell)
	if !ok {
		return nil
	}
	for _, line := range cell.Lines {
		if gear, ok := line.(*notation.ShaftGear); ok {
			return gear
		}
	}
	return nil
}

// joint is where a reader looks for the gears of a shaft: their line, or the
// cell at its place in the partner's.
func joint(it *item) source.Span {
	if gear := gearLine(it); gear != nil {
		return gear.Span()
	}
	return it.span()
}

// gears reads the line of a gear pair. A shaft has one partner, and the pair
// is in one of the two cells; anything more would be left out silently.
func (r *shaftReader) gears(l *notation.ShaftGear) {
	if r.gear != nil {
		r.fail(l.Span(), "a shaft can have only one gear pair, and this is a second one").Repair = "solve the shafts pair by pair"
		return
	}
	r.gear = l
	for _, teeth := range []notation.Expr{l.Teeth, l.OtherTeeth} {
		if z := r.number(teeth); r.ok && (z < 1 || !whole(z)) {
			r.fail(teeth.Span(), "a gear has a whole number of teeth, and %g is not one", z).
				Repair = "where only the radii are known, take numbers of teeth in the same ratio"
			return
		}
	}
	other := r.e.w.definers[l.Other.Ident][0] // checking has found that it is a shaft
	switch partner := r.of.partner; {
	case other == r.of:
		r.fail(l.Other.Span(), "%s cannot drive itself", r.of.defines).Repair = "name the shaft that carries the other gear"
	case partner != other && partner != nil:
		r.fail(l.Span(), "%s is already joined to %s by gears", r.of.defines, partner.defines).Repair = "solve the shafts pair by pair"
	case partner != other:
		r.fail(l.Span(), "%s is already joined to %s by gears", other.defines, other.partner.defines).Repair = "solve the shafts pair by pair"
	case gearLine(other) != nil && gearLine(other).Other.Ident == r.of.defines:
		d := r.fail(l.Span(), "the gears between %s and %s are given twice", r.of.defines, other.defines)
		d.Repair = "keep the line in one of the two cells"
		d.Related = []source.Related{{Span: gearLine(other).Span(), Message: "they are given here too"}}
	}
}

// solve solves the shaft alone or, where it has a partner, the pair.
func (r *shaftReader) solve(partner *item) (*shaft.Shaft, source.List) {
	if partner == nil {
		return shaft.New(r.spec)
	}
	other := r.e.partnerReader(partner)
	if !other.ok {
		return nil, nil // partnerReader has said so
	}
	driver, driven, first := r, &other, true
	if r.gear == nil {
		driver, driven, first = &other, r, false
	}
	mesh := shaft.Mesh{At: driver.gear.Span(),
		XA: r.number(driver.gear.X), XB: r.number(driver.gear.OtherX),
		TeethA: r.number(driver.gear.Teeth), TeethB: r.number(driver.gear.OtherTeeth)}
	pair, list := shaft.NewPair(driver.spec, driven.spec, mesh)
	if list.HasErrors() {
		return nil, r.own(list, partner)
	}
	x, torque, s := mesh.XA, pair.TorqueA, pair.A
	if !first {
		x, torque, s = mesh.XB, pair.TorqueB, pair.B
	}
	r.spec.Torques = append(r.spec.Torques, shaft.Torque{X: x, Value: torque, At: mesh.At})
	return s, r.own(list, partner)
}

// own keeps what is in this shaft's cell. What is in the partner's is
// reported there; where nothing is left, one message points there.
func (r *shaftReader) own(list source.List, partner *item) source.List {
	var own source.List
	var elsewhere source.Span
	for _, d := range list {
		switch {
		case d.Span.Text == r.spec.At.Text:
			own = append(own, d)
		case d.Severity == source.Error && !elsewhere.IsValid():
			elsewhere = d.Span
		}
	}
	if elsewhere.IsValid() && !own.HasErrors() {
		d := own.Addf(joint(r.of), CodeNeeds, "the gears join this shaft to %s, and the pair cannot be solved", partner.defines)
		d.Repair = "correct the cell of that shaft first"
		d.Related = []source.Related{{Span: elsewhere, Message: "this is the reason"}}
	}
	return own
}

// partnerReader reads the cell of the shaft on the other side of a gear pair.
func (e *evaluation) partnerReader(partner *item) shaftReader {
	if e.w.mustCheck(partner) {
		e.w.check(partner) // its quantities must be known to be of the right kind
	}
	if partner.parsed.HasErrors() || partner.checked.HasErrors() {
		e.partnerFails(partner)
		return shaftReader{}
	}
	kept := e.r.Diagnostics
	r := e.readShaft(partner, partner.node.(*notation.ShaftCell))
	e.r.Diagnostics = kept
	if !r.ok {
		e.partnerFails(partner)
	}
	return r
}

func (e *evaluation) partnerFails(partner *item) {
	e.fail(joint(e.it), CodeNeeds, "the gears join this shaft to %s, which has an error", partner.defines).
		Repair = "correct that shaft first"
}
