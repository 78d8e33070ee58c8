package lessons

import (
	"fmt"
	"math"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// CodeRepeat: a cell writes out a quantity that has a name in the working (a note).
const CodeRepeat source.Code = "repeated-value"

// A named is a quantity that a line of the working gives a name: G = 79 GPa.
type named struct {
	name string
	unit string // as written
	fact
}

// checkRepeats notes the quantities of shaft cells, and those within the formulas of
// calculation cells, that have a name in the working: a reader who changes the one
// would leave the other as it is. What a line only names again (L_2 = 0.8 m), the
// ends of sliders, tables and plots, the two sides of a check, the stations of a
// measured piece, and a formula that goes over to other units on purpose may agree by
// chance or with reason, and are left alone.
func (l *Lesson) checkRepeats(w *kernel.Working) source.List {
	constants := l.constants(w)
	var list source.List
	for _, c := range l.WorkingCells() {
		for _, r := range w.Results(c.ID) {
			_, inShaft := r.Node.(*notation.ShaftCell)
			for _, q := range repeatable(r.Node) {
				names := namesOf(q, constants, inShaft)
				if len(names) == 0 {
					continue
				}
				list.Notef(q.Span(), CodeRepeat, "this repeats %s, so that a reader who changes %s leaves it as it is",
					strings.Join(names, " and "), oneOf(names)).
					Repair = fmt.Sprintf("write %s", strings.Join(names, " or "))
			}
		}
	}
	return list
}

func oneOf(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	return "one of them"
}

// constants lists the lines of calculation cells that name a literal quantity. A pure
// number has no unit by which a repetition could be told from chance.
func (l *Lesson) constants(w *kernel.Working) []named {
	var list []named
	for _, c := range l.WorkingCells() {
		for _, r := range w.Results(c.ID) {
			d, ok := r.Node.(*notation.Define)
			if !ok {
				continue
			}
			if q, ok := d.Expr.(*notation.Quantity); ok && q.Unit.Unit.Dim != (unit.Dimension{}) {
				list = append(list, named{d.Name.Ident, q.Unit.Span().Content(), quantityFact(q)})
			}
		}
	}
	return list
}

func quantityFact(q *notation.Quantity) fact {
	return fact{si: q.Number.Value * q.Unit.Unit.Factor, dim: q.Unit.Unit.Dim}
}

// repeatable lists the quantities of a statement that should be names where there is one.
func repeatable(n notation.Node) []*notation.Quantity {
	switch n := n.(type) {
	case *notation.ShaftCell:
		return quantitiesIn(n)
	case *notation.Define:
		if _, whole := n.Expr.(*notation.Quantity); whole {
			return nil
		}
		return quantitiesIn(n.Expr)
	case *notation.DefineFunc:
		return quantitiesIn(n.Body)
	case *notation.Show:
		return quantitiesIn(n.Expr)
	}
	return nil
}

func quantitiesIn(n notation.Node) []*notation.Quantity {
	var found []*notation.Quantity
	notation.Inspect(n, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.ShaftMeasured:
			return false
		case *notation.Quantity:
			if n.Number.Value != 0 {
				found = append(found, n)
			}
		}
		return true
	})
	return found
}

// namesOf lists the names whose value is that of the quantity, in its own unit or in any.
func namesOf(q *notation.Quantity, constants []named, anyUnit bool) []string {
	const rounding = 1e-12 // of 0.8 m against 800 mm
	f := quantityFact(q)
	var names []string
	for _, c := range constants {
		if !anyUnit && c.unit != q.Unit.Span().Content() {
			continue
		}
		if c.dim == f.dim && math.Abs(c.si-f.si) <= rounding*math.Abs(f.si) {
			names = append(names, c.name)
		}
	}
	return names
}
