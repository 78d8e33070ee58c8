package working

import (
	"cmp"
	"math"
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/figure"
	drawing "shaftbook/kernel/figure/shaft"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

const (
	outlinePoints = 49  // along a piece that is not straight
	diagramPoints = 25  // between two breaks
	mostDrawn     = 400 // segments that can be told apart in a drawing
)

// draw evaluates a draw statement.
func (e *evaluation) draw(n *notation.Draw) {
	object, _ := scope{e.w}.Lookup(n.Shaft.Ident)
	value, ok := object.(shaftValue)
	if !ok {
		return
	}
	switch n.Form {
	case notation.DrawSection:
		e.drawSection(n, value)
		return
	case notation.DrawCut:
		e.drawCut(n, value)
		return
	case notation.DrawTwisting:
		e.drawTwisting(n, value)
		return
	case notation.DrawCompanions:
		e.drawCompanions(n, value)
		return
	}
	mm := e.lengthUnit()
	d := &drawing.Drawing{Heading: "Shaft " + n.Shaft.Ident, LengthUnit: mm.Text, Axial: n.Axial}
	e.drawShaft(d, value, mm)
	if n.Segments != nil && !e.drawSegments(d, value.s, n, mm) {
		return
	}
	if n.Times != nil {
		if !e.drawTwist(d, value, n, mm) {
			return
		}
	} else if n.Segments == nil && !n.Alone && value.isLoaded() {
		e.drawDiagrams(d, value, mm)
	}
	if d.Finding == "" {
		d.Finding = e.shaftFinding(value)
	}
	e.setFigure(d, "drawing", n.Span())
}

// lengthUnit is the unit of the lengths of a drawing.
func (e *evaluation) lengthUnit() unit.Unit {
	return e.w.unitFor(0.1, check.Type{Kind: check.Number, Dim: unit.Base(1, 0, 0)})
}

// drawShaft fills outline, holds and loads.
func (e *evaluation) drawShaft(d *drawing.Drawing, v shaftValue, u unit.Unit) {
	at := 0.0
	for i := range v.spec.Pieces {
		p := &v.spec.Pieces[i]
		drawn := e.drawPiece(v, p, at, u)
		at = drawn.To * u.Factor
		for _, t := range v.tolerances {
			if !t.Of.IsLoad() && t.Index == i {
				drawTolerance(&drawn, t, u)
			}
		}
		d.Pieces = append(d.Pieces, drawn)
	}
	for _, h := range v.spec.Supports {
		hold := drawing.Support{X: h.X / u.Factor, Elastic: h.Elastic}
		if h.Elastic {
			hold.Label = e.markGiven(v, h.At, h.Stiffness, e.showShaft(h.Stiffness, shaft.SupportStiffness)) + "/rad"
		}
		d.Supports = append(d.Supports, hold)
	}
	for _, t := range v.spec.Torques {
		d.Torques = append(d.Torques, drawing.Torque{X: t.X / u.Factor, Value: t.Value, Label: e.markGiven(v, t.At, t.Value, e.showShaft(math.Abs(t.Value), shaft.Moment))})
	}
	for _, t := range v.spec.DistributedTorques {
		label := e.markGiven(v, t.At, t.Start, e.showShaft(math.Abs(t.Start), shaft.MomentPer))
		if t.End != t.Start {
			label += " to " + e.markGiven(v, t.At, t.End, e.showShaft(math.Abs(t.End), shaft.MomentPer))
		}
		d.DistributedTorques = append(d.DistributedTorques, drawing.DistributedTorque{From: t.From / u.Factor, To: t.To / u.Factor, Start: t.Start, End: t.End, Label: label})
	}
}

// drawPiece returns the outline of a piece that starts at x = at.
func (e *evaluation) drawPiece(v shaftValue, p *shaft.Piece, at float64, u unit.Unit) drawing.Piece {
	length := pieceLength(p)
	drawn := drawing.Piece{From: at / u.Factor, To: (at + length) / u.Factor}
	switch {
	case p.Section != nil:
		drawn.Flat, drawn.Text = true, p.Section.Kind
		drawn.Outer = straight(at, length, shaft.Uniform(p.Section.Depth), u)
		return drawn
	case len(p.Stations) > 0:
		for _, x := range inside(at, at+length, outlinePoints) {
			if depth, err := v.s.Depth(x); err == nil {
				drawn.Outer = append(drawn.Outer, drawing.Sample{X: x / u.Factor, D: depth / u.Factor})
			}
		}
	default:
		drawn.Outer = profileOutline(at, length, p.Outer, u)
	}
	if p.Bore != nil {
		drawn.Bore = profileOutline(at, length, *p.Bore, u)
	}
	if p.Core != nil {
		drawn.Core = straight(at, length, shaft.Uniform(p.Core.Diameter), u)
	}
	return drawn
}

// drawTolerance writes a tolerance beside the diameter that it is of.
func drawTolerance(p *drawing.Piece, t tolerance, u unit.Unit) {
	by := (t.High - t.Low) / 2 / u.Factor
	switch t.Of {
	case shaft.OuterEven:
		p.Tolerance = [2]float64{by, by}
	case shaft.OuterStart:
		p.Tolerance[0] = by
	case shaft.OuterEnd:
		p.Tolerance[1] = by
	case shaft.BoreEven:
		p.BoreTolerance = [2]float64{by, by}
	case shaft.BoreStart:
		p.BoreTolerance[0] = by
	case shaft.BoreEnd:
		p.BoreTolerance[1] = by
	}
}

func straight(at, length float64, p shaft.Profile, u unit.Unit) []drawing.Sample {
	return []drawing.Sample{{X: at / u.Factor, D: p.Start / u.Factor}, {X: (at + length) / u.Factor, D: p.End / u.Factor}}
}

func profileOutline(at, length float64, p shaft.Profile, u unit.Unit) []drawing.Sample {
	if p.Func == nil {
		return straight(at, length, p, u)
	}
	x := spread(0, length, outlinePoints, false)
	d := make([]float64, len(x))
	if err := p.Func(d, x); err != nil {
		return nil // the shaft has been solved, so its profile has values everywhere
	}
	samples := make([]drawing.Sample, len(x))
	for i := range x {
		samples[i] = drawing.Sample{X: (at + x[i]) / u.Factor, D: d[i] / u.Factor}
	}
	return samples
}

// inside returns n places from a to b of which the first and the last lie just
// inside, where the value on this side of a jump is found.
func inside(a, b float64, n int) []float64 {
	xs := spread(a, b, n, false)
	nudge := float64(1e-9 * (b - a))
	xs[0], xs[n-1] = a+nudge, b-nudge
	return xs
}

// drawSegments lays the stepped model over the shaft.
func (e *evaluation) drawSegments(d *drawing.Drawing, s *shaft.Shaft, n *notation.Draw, u unit.Unit) bool {
	v, ok := e.number(n.Segments)
	if !ok {
		return false
	}
	if v != math.Trunc(v) || v < 1 || v > mostDrawn {
		e.fail(n.Segments.Span(), CodeFigure, "each piece can be drawn with 1 to %d segments, a whole number", mostDrawn).
			Repair = "more could not be told apart"
		return false
	}
	steps, err := s.Steps(int(v))
	if err != nil {
		e.fail(n.Segments.Span(), CodeFigure, "%s", err)
		return false
	}
	for _, g := range steps {
		d.Segments = append(d.Segments, drawing.Segment{From: g.From / u.Factor, To: g.To / u.Factor, D: g.Depth / u.Factor})
	}
	d.Finding = words.Count(int(v), "uniform segment") + " per piece, each with the diameter at its mid-length"
	return true
}

// drawTwist adds the surface lines of the twisted shaft.
func (e *evaluation) drawTwist(d *drawing.Drawing, v shaftValue, n *notation.Draw, u unit.Unit) bool {
	times, ok := e.number(n.Times)
	if !ok {
		return false
	}
	if !(times > 0) || math.IsInf(times, 0) {
		e.fail(n.Times.Span(), CodeFigure, "the magnification must be above zero").Repair = "write twisted 20 times"
		return false
	}
	t := &drawing.Twist{Times: times}
	for _, p := range alongShaft(v.s) {
		theta, err := v.s.Twist(p.at)
		if err != nil {
			e.fail(n.Span(), CodeFigure, "%s", err)
			return false
		}
		t.X, t.Angle = append(t.X, p.at/u.Factor), append(t.Angle, theta)
	}
	lo, hi := figure.Extremes(t.Angle)
	t.Estimate = !v.provesAll("twist", []float64{t.X[lo] * u.Factor, t.X[hi] * u.Factor, v.s.Length()}, math.Max(math.Abs(t.Angle[lo]), math.Abs(t.Angle[hi])))
	d.Twist = t
	return true
}

// A place along a shaft: where it is drawn, and where a value that may jump
// there is asked for. Just beside a jump the two differ.
type place struct{ at, beside float64 }

// isLoaded reports whether anything twists the shaft. The diagrams of one that
// rests would be three straight lines.
func (v shaftValue) isLoaded() bool { return len(v.spec.Torques)+len(v.spec.DistributedTorques) > 0 }

// alongShaft returns places along the shaft. The first and the last between two
// breaks lie on the breaks, each with its own side of them.
func alongShaft(s *shaft.Shaft) []place {
	breaks := s.Breaks()
	var places []place
	for i := 1; i < len(breaks); i++ {
		at := spread(breaks[i-1], breaks[i], diagramPoints, false)
		for k, beside := range inside(breaks[i-1], breaks[i], diagramPoints) {
			places = append(places, place{at[k], beside})
		}
	}
	return places
}

// withPeaks puts the places among those along a shaft at which the stress and the twist
// are greatest or least, whose values are written in the diagrams: where the stress has
// its peak, and where the internal torque passes through zero.
func withPeaks(places []place, s *shaft.Shaft) []place {
	torque := func(x float64) float64 {
		var t [1]float64
		if s.TorqueTo(t[:], []float64{x}) != nil {
			return math.NaN()
		}
		return t[0]
	}
	_, peak := s.StressMax()
	var out []place
	for i, p := range places {
		if i > 0 && places[i-1].at < p.at {
			a, b := places[i-1], p
			if a.at < peak && peak < b.at {
				out = append(out, place{peak, peak})
			}
			if x, ok := passesZero(torque, a.beside, b.beside); ok {
				out = append(out, place{x, x})
			}
		}
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(a, b place) int { return cmp.Compare(a.at, b.at) })
	return out
}

// passesZero returns where f changes its sign between two places at which it has one,
// to the last digit.
func passesZero(f func(float64) float64, a, b float64) (x float64, ok bool) {
	fa, fb := f(a), f(b)
	if !(fa < 0 && fb > 0 || fa > 0 && fb < 0) {
		return 0, false
	}
	for {
		mid := a + float64((b-a)/2)
		if mid <= a || mid >= b {
			return a, true
		}
		switch fm := f(mid); {
		case fm == 0:
			return mid, true
		case (fm > 0) == (fa > 0):
			a = mid
		default:
			b = mid
		}
	}
}

// drawDiagrams puts torque, twist and stress under the drawing.
func (e *evaluation) drawDiagrams(d *drawing.Drawing, v shaftValue, u unit.Unit) {
	s := v.s
	places := withPeaks(alongShaft(s), s)
	at, beside, shown := make([]float64, len(places)), make([]float64, len(places)), make([]float64, len(places))
	for i, p := range places {
		at[i], beside[i], shown[i] = p.at, p.beside, p.at/u.Factor
	}
	add := func(label, field string, q figure.Quantity, values func(dst, x []float64) error, xs []float64, dim unit.Dimension, angle check.Angle) {
		ys := make([]float64, len(xs))
		if err := values(ys, xs); err != nil {
			e.fail(e.it.span(), CodeFigure, "the %s cannot be drawn: %s", label, err)
			return
		}
		scale := series{low: ys, high: ys}.scale()
		in := e.w.unitFor(scale, check.Type{Kind: check.Number, Dim: dim, Angle: angle})
		d.Diagrams = append(d.Diagrams, drawing.Diagram{Label: label, Unit: in.Text, Quantity: q, X: shown, Y: scaledBy(ys, in.Factor),
			Estimate: !v.provesAll(field, turning(xs, ys), scale)})
	}
	add("internal torque", "torque", figure.Torque, s.TorqueTo, beside, unit.Base(2, 1, -2), check.Unknown)
	add("twist", "twist", figure.Twist, s.TwistTo, at, unit.Dimension{}, check.IsAngle)
	add("greatest shear stress", "stress", figure.Stress, s.StressTo, beside, unit.Base(-1, 1, -2), check.Unknown)
}
