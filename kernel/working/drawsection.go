package working

import (
	"errors"
	"fmt"
	"math"

	"shaftbook/kernel/check"
	"shaftbook/kernel/elementary"
	drawing "shaftbook/kernel/figure/shaft"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/unit"
)

var (
	stressType = check.Type{Kind: check.Number, Dim: unit.Base(-1, 1, -2)}
	momentType = check.Type{Kind: check.Number, Dim: unit.Base(2, 1, -2)}
	angleType  = check.Type{Kind: check.Number, Angle: check.IsAngle}
)

// bounds returns the bounds of a field of the shaft, of the nominal one where it has
// tolerances.
func (v shaftValue) bounds(name string, args ...float64) (interval.Interval, error) {
	points := make([]interval.Interval, len(args))
	for i, x := range args {
		points[i] = interval.Interval{Lo: x, Hi: x}
	}
	c, err := v.s.Certain()
	if err != nil {
		return interval.Interval{}, err
	}
	return v.certain(c, name, points)
}

// marked writes a value in a unit, with Mark before an estimate: one that its bounds do
// not prove to the last digit. The bounds are of the value divided by times.
func marked(value float64, b interval.Interval, err error, times float64, u unit.Unit) string {
	text := unit.Format(value, u, unit.Rounding{})
	if err == nil {
		b, err = interval.Mul(b, interval.Interval{Lo: times, Hi: times})
	}
	if value == 0 && err == nil && b.Lo <= 0 && b.Hi >= 0 && b.Hi-b.Lo < 1e-9 {
		return text
	}
	if err != nil || !unit.Certain(b.Lo, b.Hi, text, u, unit.Rounding{}) {
		return Mark + text
	}
	return text
}

// placeOf evaluates the place of a draw statement, which must lie on the shaft.
func (e *evaluation) placeOf(n *notation.Draw, s *shaft.Shaft) (float64, bool) {
	x, ok := e.number(n.X)
	if !ok {
		return 0, false
	}
	if _, err := s.Depth(x); err != nil {
		e.fail(n.X.Span(), CodeFigure, "%s", inWords(err)).Repair = "name a place on the shaft"
		return 0, false
	}
	return x, true
}

// drawSection draws the cross-section at a place with the stress on it.
func (e *evaluation) drawSection(n *notation.Draw, v shaftValue) {
	x, ok := e.placeOf(n, v.s)
	if !ok {
		return
	}
	torque, err := v.s.Torque(x)
	if err != nil {
		e.fail(n.Span(), CodeFigure, "%s", inWords(err))
		return
	}
	length, place := e.lengthUnit(), e.showShaft(x, shaft.Length)
	d := &drawing.Section{Heading: fmt.Sprintf("Cross-section of %s at x = %s", n.Shaft.Ident, place), LengthUnit: length.Text, Torque: torque}
	of, proof := v.bounds("torque", x)
	d.TorqueText = "T = " + marked(torque, of, proof, 1, e.w.unitFor(torque, momentType))
	section, err := v.s.SectionAt(x)
	if err == nil && section != nil {
		e.drawShape(d, v, section, x, length)
	} else if err = e.drawLayers(d, v, x, length); err != nil {
		e.fail(n.Span(), CodeFigure, "%s", inWords(err))
		return
	}
	e.setFigure(d, "drawing", n.Span())
}

// drawShape draws a section that is not round.
func (e *evaluation) drawShape(d *drawing.Section, v shaftValue, section *shaft.Section, x float64, length unit.Unit) {
	sizes := make([]float64, len(section.Sizes))
	for i, size := range section.Sizes {
		sizes[i] = size / length.Factor
		if section.Kind == shaft.TubeKind && i == 0 {
			sizes[i] /= length.Factor // an area
		}
	}
	if d.Shape = drawing.ShapeOf(section.Kind, sizes); d.Shape == nil {
		return
	}
	stress, err := v.s.Stress(x)
	if err != nil {
		return
	}
	of, proof := v.bounds("stress", x)
	u := e.w.unitFor(stress, stressType)
	d.StressUnit, d.Shape.Text = u.Text, marked(stress, of, proof, 1, u)
	if d.Torque == 0 {
		d.Finding = "No torque acts on this section"
		return
	}
	d.Finding = fmt.Sprintf("The greatest shear stress is %s, %s; the stress does not grow in a straight line from the middle, since the section warps", d.Shape.Text, d.Shape.Where)
	switch section.Kind {
	case shaft.TubeKind:
		d.Finding = fmt.Sprintf("The shear stress runs along the wall and is taken as equal across it: %s", d.Shape.Text)
	case shaft.OpenKind:
		d.Finding = fmt.Sprintf("The shear stress runs one way on one face of the wall and back on the other, %s, and is 0 on the median line between them", d.Shape.Text)
	}
}

// drawLayers draws a round section.
func (e *evaluation) drawLayers(d *drawing.Section, v shaftValue, x float64, length unit.Unit) error {
	layers, err := v.s.Layers(x)
	if err != nil {
		return err
	}
	if layers[len(layers)-1].Yielded {
		return e.drawYielding(d, v, x, layers, length)
	}
	most := 0.0
	for _, l := range layers {
		most = max(most, math.Abs(l.AtInner), math.Abs(l.AtOuter))
	}
	u := e.w.unitFor(most, stressType)
	rate, proof := v.bounds("rate", x)
	rate = interval.Abs(rate)
	text := func(g, r, stress float64) string { return marked(math.Abs(stress), rate, proof, g*r, u) }
	d.StressUnit = u.Text
	for _, l := range layers {
		d.Layers = append(d.Layers, drawing.Layer{
			Inner: l.Inner / length.Factor, Outer: l.Outer / length.Factor,
			AtInner: math.Abs(l.AtInner) / u.Factor, AtOuter: math.Abs(l.AtOuter) / u.Factor,
			InnerText: text(l.G, l.Inner, l.AtInner), OuterText: text(l.G, l.Outer, l.AtOuter),
		})
	}
	l := layers[len(layers)-1]
	r := ringRadius(l.Inner/length.Factor, l.Outer/length.Factor) * length.Factor
	stress := l.AtOuter * (r / l.Outer)
	d.Ring = &drawing.Ring{R: r / length.Factor, Stress: math.Abs(stress) / u.Factor, Text: text(l.G, r, stress)}
	d.Finding = layersFinding(d)
	return nil
}

// ringRadius returns a radius for the ring that is drawn as an example: about the middle
// of what is there, in two figures.
func ringRadius(inner, outer float64) float64 {
	r := max((inner+outer)/2, float64(0.62*outer))
	if inner > 0.4*outer {
		r = (inner + outer) / 2
	}
	edge := float64((outer - inner) * 0.2)
	step := elementary.Pow(10, math.Floor(elementary.Log10(r))-1)
	if round := float64(math.Round(r/step) * step); round > inner+edge && round < outer-edge {
		return round
	}
	return r
}

// layersFinding says how the stress runs over the radius.
func layersFinding(d *drawing.Section) string {
	last := d.Layers[len(d.Layers)-1]
	switch {
	case d.Torque == 0:
		return "No torque acts on this section"
	case len(d.Layers) > 1:
		core := d.Layers[0]
		text := fmt.Sprintf("Where the core ends, the shear stress jumps from %s to %s, as the moduli do", core.OuterText, last.InnerText)
		if core.AtOuter > last.AtOuter {
			return text + "; the greatest is that of the core there"
		}
		return text + fmt.Sprintf("; the greatest is %s at the surface", last.OuterText)
	case last.Inner > 0:
		return fmt.Sprintf("The shear stress is %s at the bore and grows in a straight line to %s at the surface", last.InnerText, last.OuterText)
	}
	return fmt.Sprintf("The shear stress is 0 in the middle and grows in a straight line to %s at the surface", last.OuterText)
}

// notRound reports that a figure is for round shafts only.
func (e *evaluation) notRound(n *notation.Draw, err error) {
	var shape *shaft.ShapeError
	d := e.fail(n.Span(), CodeFigure, "%s", inWords(err))
	if errors.As(err, &shape) {
		d.Message = "this figure is for round shafts, whose sections turn without warping"
		d.Repair = "draw the shaft with draw " + n.Shaft.Ident
	}
}
