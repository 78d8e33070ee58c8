package working

import (
	"errors"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/unit"
)

// section makes a piece that is not round.
func (r *shaftReader) section(l *notation.ShaftSection) {
	sizes := make([]float64, len(l.Sizes))
	for i, x := range l.Sizes {
		sizes[i] = r.number(x)
	}
	if !r.ok {
		return
	}
	section, err := sectionOf(l.Kind, sizes)
	if err != nil {
		r.badSize(l, sizes, err)
		return
	}
	r.piece(shaft.Piece{Length: r.number(l.Length), Section: section, At: l.Span()})
}

// badSize reports a size that a section cannot have, at that size.
func (r *shaftReader) badSize(l *notation.ShaftSection, sizes []float64, err error) {
	var size *shaft.SizeError
	if !errors.As(err, &size) {
		r.fail(l.Span(), "%s", err)
		return
	}
	at := l.Span()
	for i, v := range sizes {
		if v == size.Value {
			at = l.Sizes[i].Span()
			break
		}
	}
	dim := unit.Base(1, 0, 0)
	if l.Kind == notation.ThinTube && size.Value == sizes[0] {
		dim = unit.Base(2, 0, 0)
	}
	shown := unit.Format(size.Value, unit.Choose(size.Value, dim, r.e.w.preferred, unit.NoHint), unit.Rounding{})
	r.fail(at, "a %s of %s is not possible: it must %s", size.What, shown, size.Must).
		Repair = "the full form is: " + sectionForms[l.Kind]
}

var sectionForms = map[notation.SectionKind]string{
	notation.Square:    "square 40 mm for 300 mm",
	notation.Rectangle: "rectangle 60 mm by 40 mm for 300 mm",
	notation.Ellipse:   "ellipse 60 mm by 40 mm for 300 mm",
	notation.Triangle:  "triangle 50 mm for 300 mm",
	notation.ThinTube:  "tube area 17850 mm² around 514 mm wall 8 mm for 300 mm",
	notation.OpenWall:  "open wall 8 mm along 514 mm for 300 mm",
}

func sectionOf(kind notation.SectionKind, sizes []float64) (*shaft.Section, error) {
	switch kind {
	case notation.Square:
		return shaft.Square(sizes[0])
	case notation.Rectangle:
		return shaft.Rectangle(sizes[0], sizes[1])
	case notation.Ellipse:
		return shaft.Ellipse(sizes[0], sizes[1])
	case notation.Triangle:
		return shaft.EquilateralTriangle(sizes[0])
	case notation.OpenWall:
		walls := make([]shaft.Wall, 0, len(sizes)/2)
		for i := 0; i+1 < len(sizes); i += 2 {
			walls = append(walls, shaft.Wall{Length: sizes[i+1], Thickness: sizes[i]})
		}
		return shaft.OpenWall(walls...)
	}
	return shaft.ThinTube(sizes[0], shaft.Wall{Length: sizes[1], Thickness: sizes[2]})
}

// checkOpenWalls notes what the formulas of an open thin wall take for granted: that each
// part is long beside its thickness, and that sections are free to warp, which a support
// may prevent.
func (e *evaluation) checkOpenWalls(cell *notation.ShaftCell, spec shaft.Spec) {
	piece, told := -1, len(spec.Supports) == 0
	for _, line := range cell.Lines {
		switch line.(type) {
		case *notation.ShaftSolid, *notation.ShaftHollow, *notation.ShaftProfile, *notation.ShaftMeasured, *notation.ShaftSection:
			piece++
		}
		l, ok := line.(*notation.ShaftSection)
		if !ok || l.Kind != notation.OpenWall || piece >= len(spec.Pieces) {
			continue
		}
		sizes := spec.Pieces[piece].Section.Sizes
		for i := 0; i+1 < len(sizes); i += 2 {
			if w := (shaft.Wall{Length: sizes[i], Thickness: sizes[i+1]}); w.IsStubby() {
				e.noteStubby(l.Sizes[i+1], w)
			}
		}
		if !told {
			told = true
			e.r.Diagnostics.Notef(l.Span(), CodeThinWall, "this wall is taken as free to warp along the shaft; where a support or a joint keeps its section flat, it is stiffer and bears stress along the shaft as well")
		}
	}
}

// noteStubby notes a part of an open wall that is not long beside its thickness, whose
// length is written at x.
func (e *evaluation) noteStubby(x notation.Expr, w shaft.Wall) {
	flat, err := shaft.Rectangle(w.Length, w.Thickness)
	if err != nil {
		return
	}
	two := unit.Rounding{Figures: 2}
	excess := w.Length*w.Thickness*w.Thickness*w.Thickness/3/flat.J - 1
	e.r.Diagnostics.Notef(x.Span(), CodeThinWall, "this part of the wall is only %s times as long as thick; J = s·t³/3 is for thin walls, and for this part, if flat, %s too large",
		unit.Format(w.Length/w.Thickness, unit.Unit{Factor: 1}, two), percent(excess)).
		Repair = "write a flat strip as a rectangle, which is worked out for any thickness: rectangle 60 mm by 40 mm for 300 mm"
}
