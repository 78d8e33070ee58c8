package working

import (
	"errors"
	"fmt"
	"math"

	drawing "shaftbook/kernel/figure/shaft"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/unit"
)

// shownTurn is about how far the section that turns most is drawn to turn, in radians,
// where the lesson does not say how many times larger.
const shownTurn = 0.9

// timesOf returns how many times larger the angles of a figure are drawn, of which the
// largest is most.
func (e *evaluation) timesOf(n *notation.Draw, most float64) (float64, bool) {
	if n.Times == nil {
		return plainTimes(most), true
	}
	times, ok := e.number(n.Times)
	if ok && (!(times > 0) || math.IsInf(times, 0)) {
		e.fail(n.Times.Span(), CodeFigure, "the magnification must be above zero").Repair = "write twisted 20 times"
		return 0, false
	}
	return times, ok
}

// plainTimes returns a factor in one figure, or 15 or 25 times a power of ten, that brings
// an angle up to about shownTurn and never beyond it; 1 for an angle that is larger.
func plainTimes(most float64) float64 {
	if !(most > 0) || most >= shownTurn {
		return 1
	}
	best := 1.0
	for power := 1.0; power <= 1e12; power *= 10 {
		for _, m := range []float64{1, 1.5, 2, 2.5, 3, 4, 5, 6, 8} {
			if m*power*most <= shownTurn {
				best = m * power
			}
		}
	}
	return best
}

// bar returns the outline of a round shaft with its twist, and the largest of its angles.
func (e *evaluation) bar(v shaftValue, u unit.Unit) (b drawing.Bar, most float64, err error) {
	whole := &drawing.Drawing{}
	e.drawShaft(whole, v, u)
	for _, p := range whole.Pieces {
		if p.Flat {
			return b, 0, &shaft.ShapeError{X: p.From * u.Factor}
		}
		b.Pieces, b.Bore = append(b.Pieces, p.Outer), 0
		if n := len(p.Bore); n > 0 {
			b.Bore = p.Bore[n-1].D
		}
	}
	for _, p := range alongShaft(v.s) {
		theta, err := v.s.Twist(p.at)
		if err != nil {
			return b, 0, err
		}
		most = max(most, math.Abs(theta))
		b.X, b.Angle = append(b.X, p.at/u.Factor), append(b.Angle, theta)
	}
	return b, most, nil
}

// drawTwisting draws the shaft before and after twisting.
func (e *evaluation) drawTwisting(n *notation.Draw, v shaftValue) {
	u := e.lengthUnit()
	after, most, err := e.bar(v, u)
	if err != nil {
		e.notRound(n, err)
		return
	}
	times, ok := e.timesOf(n, most)
	if !ok {
		return
	}
	d := &drawing.Bars{Heading: "Shaft " + n.Shaft.Ident + " before and after twisting", LengthUnit: u.Text, Times: times, Marks: true}
	after.Label = "after"
	d.Bars = []drawing.Bar{{Label: "before", Pieces: after.Pieces, Bore: after.Bore}, after}
	twist := v.s.TwistTotal()
	of, proof := v.bounds("twist", v.s.Length())
	d.Bars[1].Value = ""
	angle := marked(twist, of, proof, 1, e.w.unitFor(twist, angleType))
	d.Notes = []string{"θ = " + angle + ", by which the far end turns relative to x = 0, which is drawn at rest."}
	rate, err := v.s.TwistRate(0)
	if err != nil {
		e.notRound(n, err)
		return
	}
	diameter, err := v.s.Diameter(0)
	if err != nil {
		e.notRound(n, err)
		return
	}
	of, proof = v.bounds("rate", 0)
	gamma := marked(diameter/2*rate, of, proof, diameter/2, e.w.unitFor(diameter/2*rate, angleType))
	d.Notes = append(d.Notes, "γ = (d/2)·dθ/dx = "+gamma+" at x = 0.")
	switch {
	case most == 0:
		d.Finding = "Nothing twists this shaft"
	case isEven(v.s):
		d.Finding = "A straight line on the surface becomes a helix: the rate of twist is the same all along, and so is the shear strain γ"
	default:
		d.Finding = "A straight line on the surface becomes a curve about the shaft: it is steepest where the shear strain γ is greatest"
	}
	e.setFigure(d, "drawing", n.Span())
}

// isEven reports whether the rate of twist and the diameter are the same all along.
func isEven(s *shaft.Shaft) bool {
	var rate, d float64
	for i, p := range alongShaft(s) {
		r, err := s.TwistRate(p.beside)
		at, fail := s.Depth(p.beside)
		if err != nil || fail != nil {
			return false
		}
		if i == 0 {
			rate, d = r, at
		}
		if math.Abs(r-rate) > 1e-9*math.Abs(rate) || math.Abs(at-d) > 1e-9*d {
			return false
		}
	}
	return true
}

// drawCompanions draws the shaft between the two whose pieces are uniform, of its stiffest
// and of its most flexible sections.
func (e *evaluation) drawCompanions(n *notation.Draw, v shaftValue) {
	u := e.lengthUnit()
	own, most, err := e.bar(v, u)
	if err != nil {
		e.notRound(n, err)
		return
	}
	if v.s.Yields() {
		e.fail(n.Span(), CodeFigure, "a part of %s yields, and its uniform companions are elastic ones", n.Shaft.Ident).
			Repair = "make the torque smaller, or leave out yields at"
		return
	}
	d := &drawing.Bars{Heading: "Shaft " + n.Shaft.Ident + " between its uniform companions", LengthUnit: u.Text}
	names := []string{"thick", "thin"}
	for _, p := range v.spec.Pieces {
		if p.Bore != nil {
			// The stiffest section of a tube need not be the thickest one.
			names = []string{"stiff", "soft"}
		}
	}
	twists := make([]float64, 0, 3)
	add := func(label string, b drawing.Bar, of shaftValue) {
		twist := of.s.TwistTotal()
		bounds, proof := of.bounds("twist", of.s.Length())
		text := marked(twist, bounds, proof, 1, e.w.unitFor(twist, angleType))
		if len(b.Pieces) == 1 && label != n.Shaft.Ident {
			label += fmt.Sprintf(", ⌀%s", e.showShaft(b.Pieces[0][0].D*u.Factor, shaft.Diameter))
			if bore := of.spec.Pieces[0].Bore; bore != nil {
				label += fmt.Sprintf(", bore ⌀%s", e.showShaft(bore.Start, shaft.Diameter))
			}
		}
		b.Label, b.Value = label, "twists by "+text
		d.Bars = append(d.Bars, b)
		twists = append(twists, twist)
	}
	for i, thick := range []bool{true, false} {
		spec, err := companion(v.spec, thick)
		if err != nil {
			f := e.fail(n.Span(), CodeFigure, "%s", err)
			f.Repair = "draw a shaft of uniform and tapered pieces"
			return
		}
		s, list := shaft.New(spec)
		if s == nil {
			e.r.Diagnostics = append(e.r.Diagnostics, list...)
			return
		}
		other := shaftValue{s: s, spec: spec}
		b, turn, err := e.bar(other, u)
		if err != nil {
			e.notRound(n, err)
			return
		}
		most = max(most, turn)
		if i == 1 {
			add(n.Shaft.Ident, own, v)
		}
		add(names[i], b, other)
	}
	times, ok := e.timesOf(n, most)
	if !ok {
		return
	}
	d.Times = times
	d.Finding = companionsFinding(d, twists, names)
	e.setFigure(d, "drawing", n.Span())
}

// companionsFinding says where the shaft lies between its companions.
func companionsFinding(d *drawing.Bars, twists []float64, names []string) string {
	low, own, high := twists[0], twists[1], twists[2]
	name := d.Bars[1].Label
	switch {
	case low == high:
		return fmt.Sprintf("%s is as thick everywhere as its companions, and all three twist alike", name)
	case (own-low)*(high-own) < 0:
		return fmt.Sprintf("%s does not twist by an amount between those of its companions: its torque changes its sign along the way, or its supports share the load otherwise", name)
	}
	share := (own - low) / (high - low)
	side := "half-way between the two"
	if share < 0.499 {
		side = "nearer to the " + names[0] + " one"
	} else if share > 0.501 {
		side = "nearer to the " + names[1] + " one"
	}
	return fmt.Sprintf("The twist of %s lies %s: %s of the way from %s to %s", name, side, unit.Format(share, unit.Unit{Factor: 1}, unit.Rounding{Places: 2, HasPlaces: true}), names[0], names[1])
}

// companion returns a shaft whose pieces are uniform: each with its stiffest section all
// along, or with its most flexible one.
func companion(spec shaft.Spec, thick bool) (shaft.Spec, error) {
	pieces := make([]shaft.Piece, len(spec.Pieces))
	for i, p := range spec.Pieces {
		switch {
		case p.Section != nil:
			return spec, &shaft.ShapeError{}
		case p.Outer.Func != nil && p.Stations == nil || p.Bore != nil && p.Bore.Func != nil:
			return spec, errors.New("the greatest and the least diameter of a profile are not known in advance")
		}
		low, high := min(p.Outer.Start, p.Outer.End), max(p.Outer.Start, p.Outer.End)
		if p.Stations != nil {
			// Between stations the diameter only grows or only falls.
			low, high = math.Inf(1), 0
			for _, s := range p.Stations {
				low, high = min(low, s.Diameter), max(high, s.Diameter)
			}
			p.Length, p.Stations = pieceLength(&spec.Pieces[i]), nil
		}
		outer := high
		if !thick {
			outer = low
		}
		if p.Bore != nil {
			at := sectionOfExtreme(p, thick)
			outer = along(p.Outer, at)
			bore := shaft.Uniform(along(*p.Bore, at))
			p.Bore = &bore
		}
		p.Outer = shaft.Uniform(outer)
		pieces[i] = p
	}
	spec.Pieces = pieces
	return spec, nil
}

// sectionOfExtreme returns where along a straight hollow piece, as a share of its length
// from 0 to 1, the polar second moment of area is greatest, or least. With both diameters
// straight lines, J ∝ D⁴ − b⁴ has one level place at most: where D·∛D′ = b·∛b′.
func sectionOfExtreme(p shaft.Piece, greatest bool) float64 {
	places := []float64{0, 1}
	slopeD, slopeB := math.Cbrt(p.Outer.End-p.Outer.Start), math.Cbrt(p.Bore.End-p.Bore.Start)
	value := float64(p.Outer.Start*slopeD) - float64(p.Bore.Start*slopeB)
	gain := float64((p.Outer.End-p.Outer.Start)*slopeD) - float64((p.Bore.End-p.Bore.Start)*slopeB)
	if level := -value / gain; level > 0 && level < 1 {
		places = append(places, level)
	}
	best, at := math.NaN(), 0.0
	for _, t := range places {
		d, b := along(p.Outer, t), along(*p.Bore, t)
		size := float64(d*d*d*d) - float64(b*b*b*b)
		if math.IsNaN(best) || greatest == (size > best) && size != best {
			best, at = size, t
		}
	}
	return at
}

// along returns the value of a straight line at the share t of its length.
func along(line shaft.Profile, t float64) float64 {
	return line.Start + float64((line.End-line.Start)*t)
}
