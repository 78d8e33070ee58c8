package shaft

import (
	"errors"
	"fmt"
	"math"

	"shaftbook/kernel/source"
)

// MaxPieces is the greatest number of pieces in one shaft, and of loads, holds
// and stations too.
const MaxPieces = 1000

// A validator gathers what is wrong with a Spec.
type validator struct {
	spec *Spec
	list source.List
}

// show prints a value in the reader's units where the caller can, else in SI.
func (v *validator) show(value float64, q Quantity) string {
	if v.spec.Show != nil {
		return v.spec.Show(value, q)
	}
	return ShowSI(value, q)
}

// ShowSI prints a value with its SI unit.
func ShowSI(value float64, q Quantity) string {
	unit := map[Quantity]string{
		Length: "m", Diameter: "m", Moment: "N·m", MomentPer: "N·m/m",
		Modulus: "Pa", Stress: "Pa", TwistRate: "rad/m", SupportStiffness: "N·m/rad",
	}[q]
	return fmt.Sprintf("%.6g %s", value, unit)
}

// fail adds an error with its repair.
func (v *validator) fail(at source.Span, code source.Code, repair, format string, args ...any) {
	if !at.IsValid() {
		at = v.spec.At
	}
	v.list.Addf(at, code, format, args...).Repair = repair
}

// finite reports whether every value is finite, and adds an error if not.
func (v *validator) finite(at source.Span, what string, values ...float64) bool {
	for _, x := range values {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			v.fail(at, CodeNumber, "look for a division by zero in what it is worked out from",
				"%s is not a finite number", what)
			return false
		}
	}
	return true
}

// count reports whether there are not too many of something.
func (v *validator) count(n int, what string) bool {
	if n > MaxPieces {
		v.fail(v.spec.At, CodeEmpty, fmt.Sprintf("keep to %d, or join some into one", MaxPieces),
			"%d %s are more than one shaft may have", n, what)
		return false
	}
	return true
}

// pieces checks every piece for itself.
func (v *validator) pieces() {
	if len(v.spec.Pieces) == 0 {
		v.fail(v.spec.At, CodeEmpty, "add one, for example “solid 36 mm for 200 mm”", "this shaft has no pieces")
		return
	}
	if !v.count(len(v.spec.Pieces), "pieces") {
		return
	}
	for i := range v.spec.Pieces {
		v.piece(&v.spec.Pieces[i])
	}
}

// edges reports whether the ends of the pieces can be told apart.
func (v *validator) edges(edges []float64) bool {
	if !v.finite(v.spec.At, "the length of this shaft", edges...) {
		return false
	}
	for i, p := range v.spec.Pieces {
		if edges[i+1]-edges[i] <= sameplace*edges[len(edges)-1] {
			v.fail(p.At, CodeLength, "look at the units of the lengths", "this piece is too short to be told from a point, beside a shaft of %s", v.show(edges[len(edges)-1], Length))
			return false
		}
	}
	return true
}

func (v *validator) piece(p *Piece) {
	if v.finite(p.At, "the length of this piece", p.Length) && p.Length <= 0 && (p.Length < 0 || p.Stations == nil) {
		v.fail(p.At, CodeLength, "give it a length above zero", "a piece of length %s is no piece", v.show(p.Length, Length))
	}
	if v.finite(p.At, "the shear modulus of this piece", p.G) && p.G <= 0 {
		if p.G == 0 {
			v.fail(p.At, CodeModulus, "put its shear modulus on a line above it, for example “G = 79 GPa”", "this piece has no shear modulus")
		} else {
			v.fail(p.At, CodeModulus, "give a modulus above zero", "a shear modulus of %s is not possible", v.show(p.G, Modulus))
		}
	}
	at := p.YieldAt
	if !at.IsValid() {
		at = p.At
	}
	if v.finite(at, "the yield stress of this piece", p.Yield) && p.Yield < 0 {
		v.fail(at, CodeYield, "give a yield stress above zero", "a yield stress of %s is not possible", v.show(p.Yield, Stress))
	}
	switch {
	case p.Section != nil:
		v.section(p)
	case p.Stations != nil:
		v.stations(p)
	default:
		v.round(p)
	}
	if p.Core != nil {
		v.core(p)
	}
}

func (v *validator) section(p *Piece) {
	s := p.Section
	if !v.finite(p.At, "the torsion constant of this section", s.J, s.W, s.Depth) {
		return
	}
	if s.J <= 0 || s.W <= 0 || s.Depth <= 0 {
		v.fail(p.At, CodeSection, "give the section larger sizes, all above zero", "this section has no torsion constant above zero that a number can hold")
	}
	if p.Bore != nil {
		v.fail(p.At, CodeBore, "leave out the bore, or make the piece round", "a bore can only be worked out in a round piece")
	}
}

func (v *validator) round(p *Piece) {
	if p.Outer.Func == nil {
		if !v.finite(p.At, "the diameter of this piece", p.Outer.Start, p.Outer.End) {
			return
		}
		d, widest := min(p.Outer.Start, p.Outer.End), max(p.Outer.Start, p.Outer.End)
		if d <= 0 || d < thinnest*widest {
			v.fail(p.At, CodeDiameter, "keep the diameter well above zero along the whole piece",
				"the diameter comes down to %s", v.show(d, Diameter))
			return
		}
	}
	b := p.Bore
	if b == nil || b.Func != nil {
		return
	}
	if !v.finite(p.At, "the bore of this piece", b.Start, b.End) {
		return
	}
	if d := min(b.Start, b.End); d < 0 {
		v.fail(p.At, CodeBore, "a bore is zero or more", "a bore of %s is not possible", v.show(d, Diameter))
		return
	}
	if p.Outer.Func != nil {
		return
	}
	for _, end := range []struct{ bore, outer float64 }{{b.Start, p.Outer.Start}, {b.End, p.Outer.End}} {
		if end.bore >= end.outer {
			v.fail(p.At, CodeBore, "make the bore smaller than the outside everywhere",
				"a bore of %s is not inside a diameter of %s", v.show(end.bore, Diameter), v.show(end.outer, Diameter))
			return
		}
	}
}

func (v *validator) core(p *Piece) {
	c := p.Core
	at := c.At
	if !at.IsValid() {
		at = p.At
	}
	if p.Bore != nil || p.Section != nil {
		v.fail(at, CodeCore, "put the core below a solid round piece", "only a solid round piece can have a core")
		return
	}
	if v.finite(at, "the diameter of this core", c.Diameter) && c.Diameter <= 0 {
		v.fail(at, CodeCore, "give the core a diameter above zero", "a core of %s is no core", v.show(c.Diameter, Diameter))
	}
	if v.finite(at, "the shear modulus of this core", c.G) && c.G <= 0 {
		v.fail(at, CodeModulus, "give the core a shear modulus above zero", "this core has no shear modulus")
	}
	if p.Outer.Func != nil || p.Stations != nil {
		return // met where the diameters are worked out
	}
	if d := min(p.Outer.Start, p.Outer.End); c.Diameter >= d {
		v.fail(at, CodeCore, "make the core thinner than the piece around it",
			"a core of %s is not inside a piece of %s", v.show(c.Diameter, Diameter), v.show(d, Diameter))
	}
}

// reportPiece reports a section that compliance refused, at the piece that it is in.
func (v *validator) reportPiece(p *piece, err error) {
	var list source.List
	if errors.As(err, &list) {
		v.list = append(v.list, list...)
		return
	}
	var stuck stuckError
	if errors.As(err, &stuck) {
		v.fail(p.At, CodeProfile, "look at the diameter there: plot it, and keep it well above zero",
			"near x = %s %s", v.show(p.start+stuck.x, Length), stuck.Error())
		return
	}
	var e placeError
	if !errors.As(err, &e) {
		v.fail(p.At, CodeProfile, "", "the diameter cannot be worked out: %s", err)
		return
	}
	x := v.show(e.x, Length)
	switch e.fault {
	case notFinite, boreNotFinite:
		v.fail(p.At, CodeProfile, "look for a division by zero or a root of a negative number", "the diameter is not a number at x = %s", x)
	case notPositive:
		v.fail(p.At, CodeDiameter, "keep the diameter above zero along the whole piece",
			"the diameter comes down to %s at x = %s", v.show(e.outer, Diameter), x)
	case boreNegative:
		v.fail(p.At, CodeBore, "a bore is zero or more", "the bore is %s at x = %s", v.show(e.bore, Diameter), x)
	case boreTooWide:
		v.fail(p.At, CodeBore, "make the bore smaller than the outside everywhere",
			"the bore of %s is not inside the diameter of %s at x = %s", v.show(e.bore, Diameter), v.show(e.outer, Diameter), x)
	case coreTooWide:
		at := p.Core.At
		if !at.IsValid() {
			at = p.At
		}
		v.fail(at, CodeCore, "make the core thinner than the piece around it",
			"a core of %s is not inside the diameter of %s at x = %s", v.show(p.Core.Diameter, Diameter), v.show(e.outer, Diameter), x)
	}
}
