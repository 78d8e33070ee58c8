package working

import (
	"slices"
	"sync"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/source"
)

// gearLines returns the lines of a shaft cell that join it to other shafts.
func gearLines(it *item) []*notation.ShaftGear {
	cell, ok := it.node.(*notation.ShaftCell)
	if !ok {
		return nil
	}
	var lines []*notation.ShaftGear
	for _, line := range cell.Lines {
		if gear, ok := line.(*notation.ShaftGear); ok {
			lines = append(lines, gear)
		}
	}
	return lines
}

// A refusal says why a gear line does not join its two shafts.
type refusal struct {
	why  refusalKind
	with *item // twice: the cell of the other line
	line int   // which of the gear lines there
}

type refusalKind int

const (
	drivesItself refusalKind = iota + 1
	twice                    // the two are joined by another line
	ring                     // the two are joined by way of other shafts
)

// joinTrains finds the shafts that gears join. Each then needs what the lines of
// all of them need.
func (w *Working) joinTrains() {
	before := make(map[*item][]*item)
	for _, it := range w.items {
		if it.train != nil {
			before[it] = it.train
		}
		it.train, it.refused = nil, nil
	}
	type gearLine struct {
		in *item
		n  int
	}
	of := make(map[*item]*item) // one item stands for each train
	standsFor := func(it *item) *item {
		for of[it] != nil {
			it = of[it]
		}
		return it
	}
	joined := make(map[[2]*item]gearLine)
	for _, it := range w.items {
		for n, gear := range gearLines(it) {
			if len(w.definers[gear.Other.Ident]) == 0 {
				continue // checking reports it, and what is not a shaft
			}
			other := w.definers[gear.Other.Ident][0]
			if _, isShaft := other.node.(*notation.ShaftCell); !isShaft {
				continue
			}
			first, again := joined[[2]*item{other, it}]
			if !again {
				first, again = joined[[2]*item{it, other}]
			}
			a, b := standsFor(it), standsFor(other)
			switch {
			case other == it:
				it.refuse(n, refusal{why: drivesItself})
			case again:
				it.refuse(n, refusal{twice, first.in, first.n})
				first.in.refuse(first.n, refusal{twice, it, n})
			case a == b:
				it.refuse(n, refusal{why: ring})
			default:
				of[b] = a
				joined[[2]*item{it, other}] = gearLine{it, n}
			}
		}
	}
	trains := make(map[*item][]*item)
	for _, it := range w.items {
		s := standsFor(it)
		trains[s] = append(trains[s], it)
	}
	for _, it := range w.items {
		if train := trains[standsFor(it)]; len(train) > 1 {
			it.train = train
		}
	}
	for _, it := range w.items {
		if it.train != nil && slices.ContainsFunc(it.train, func(m *item) bool { return m.dirty }) ||
			!slices.Equal(it.train, before[it]) {
			it.markDirty()
		}
	}
}

func (it *item) refuse(line int, why refusal) {
	if it.refused == nil {
		it.refused = make(map[int]refusal)
	}
	if _, ok := it.refused[line]; !ok {
		it.refused[line] = why
	}
}

// joint is where a reader looks for the gears of a shaft: their first line, or
// the cell at its place in the partner's.
func joint(it *item) source.Span {
	if lines := gearLines(it); len(lines) > 0 {
		return lines[0].Span()
	}
	return it.span()
}

// A gearPair is a gear line with its numbers.
type gearPair struct {
	other *item
	mesh  shaft.Mesh // without the places of the shafts in the train
}

// gears reads the line of a gear pair.
func (r *shaftReader) gears(l *notation.ShaftGear) {
	n := r.gearLines
	r.gearLines++
	pair := gearPair{mesh: shaft.Mesh{At: l.Span()}}
	for _, gear := range []struct {
		teeth  notation.Expr
		number *float64
	}{{l.Teeth, &pair.mesh.TeethA}, {l.OtherTeeth, &pair.mesh.TeethB}} {
		z := r.number(gear.teeth)
		if r.ok && (z < 1 || !whole(z)) {
			r.fail(gear.teeth.Span(), "a gear has a whole number of teeth, and %g is not one", z).
				Repair = "where only the radii are known, take numbers of teeth in the same ratio"
			return
		}
		*gear.number = z
	}
	pair.mesh.XA, pair.mesh.XB = r.number(l.X), r.number(l.OtherX)
	pair.other = r.e.w.definers[l.Other.Ident][0] // checking has found that it is a shaft
	switch why := r.of.refused[n]; why.why {
	case drivesItself:
		r.fail(l.Other.Span(), "%s cannot drive itself", r.of.defines).Repair = "name the shaft that carries the other gear"
	case twice:
		d := r.fail(l.Span(), "the gears between %s and %s are given twice", r.of.defines, pair.other.defines)
		d.Repair = "keep the line in one of the two cells"
		d.Related = []source.Related{{Span: gearLines(why.with)[why.line].Span(), Message: "they are given here too"}}
	case ring:
		r.fail(l.Span(), "these gears close a ring: other gears join %s and %s already, by way of other shafts", r.of.defines, pair.other.defines).
			Repair = "leave out one gear pair of the ring"
	default:
		r.pairs = append(r.pairs, pair)
	}
}

// solve solves the shaft alone or, where gears join it to others, the train.
func (r *shaftReader) solve() (*shaft.Shaft, source.List) {
	members := r.of.train
	if members == nil {
		return shaft.New(r.spec)
	}
	readers, self := make([]*shaftReader, len(members)), slices.Index(members, r.of)
	for i, it := range members {
		if readers[i] = r; i == self {
			continue
		}
		other := r.e.partnerReader(it)
		if !other.ok {
			return nil, nil // partnerReader has said so
		}
		readers[i] = &other
	}
	specs, meshes := make([]shaft.Spec, len(members)), []shaft.Mesh(nil)
	off := sync.OnceValues(func() (float64, error) { return r.e.w.off(numbersOf(readers)) })
	for i, reader := range readers {
		specs[i] = reader.spec
		specs[i].Off = off // a gear line has places on both of its shafts
		for _, p := range reader.pairs {
			p.mesh.A, p.mesh.B = i, slices.Index(members, p.other)
			meshes = append(meshes, p.mesh)
		}
	}
	train, list := shaft.NewTrain(specs, meshes)
	if list.HasErrors() {
		return nil, r.own(list)
	}
	r.spec.Torques = append(r.spec.Torques, train.Gears(self)...)
	return train.Shafts[self], r.own(list)
}

// numbersOf lists what the shafts of a train are worked out from.
func numbersOf(readers []*shaftReader) []readNumber {
	var all []readNumber
	for _, r := range readers {
		all = append(all, r.read...)
	}
	return all
}

// own keeps what is in this shaft's cell. What is in another's is reported
// there; where nothing is left, one message points there.
func (r *shaftReader) own(list source.List) source.List {
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
		what := "train"
		if len(r.of.train) == 2 {
			what = "pair"
		}
		d := own.Addf(joint(r.of), CodeNeeds, "the gears join this shaft to %s, and the %s cannot be solved", r.memberAt(elsewhere), what)
		d.Repair = "correct the cell of that shaft first"
		d.Related = []source.Related{{Span: elsewhere, Message: "this is the reason"}}
	}
	return own
}

// memberAt returns the name of the shaft of the train in whose cell a place is.
func (r *shaftReader) memberAt(at source.Span) string {
	for _, it := range r.of.train {
		if it != r.of && it.span().Text == at.Text {
			return it.defines
		}
	}
	return "another"
}

// partnerReader reads the cell of another shaft of the train.
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
