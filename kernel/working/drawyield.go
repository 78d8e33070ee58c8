package working

import (
	"fmt"
	"math"

	drawing "shaftbook/kernel/figure/shaft"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/unit"
)

// drawYielding draws a round section of which a part yields: its elastic core, the
// ring around it, and the stress that remains after unloading.
func (e *evaluation) drawYielding(d *drawing.Section, v shaftValue, x float64, layers []shaft.Layer, length unit.Unit) error {
	core, ring := layers[0], layers[1]
	u := e.w.unitFor(math.Abs(ring.AtOuter), stressType)
	d.StressUnit = u.Text
	stress := func(r float64) (float64, string, error) {
		value, err := v.s.StressAt(x, r)
		of, proof := v.bounds("stress", x, r)
		return value / u.Factor, marked(value, of, proof, 1, u), err
	}
	for _, l := range layers {
		inner, innerText, err := stress(l.Inner)
		if err != nil {
			return err
		}
		outer, outerText, err := stress(l.Outer)
		if err != nil {
			return err
		}
		d.Layers = append(d.Layers, drawing.Layer{Inner: l.Inner / length.Factor, Outer: l.Outer / length.Factor,
			AtInner: inner, AtOuter: outer, InnerText: innerText, OuterText: outerText, Yielded: l.Yielded})
	}
	for _, r := range []float64{core.Inner, core.Outer, ring.Outer} {
		_, loaded, err := stress(r)
		if err != nil {
			return err
		}
		left, err := v.s.ResidualStress(x, r)
		if err != nil {
			return err
		}
		of, proof := v.bounds("residual_stress", x, r)
		d.Left = append(d.Left, drawing.Left{R: r / length.Factor, Stress: left / u.Factor, Text: marked(left, of, proof, 1, u), LoadedText: loaded})
	}
	r := ringRadius(core.Inner/length.Factor, core.Outer/length.Factor) * length.Factor
	on, text, err := stress(r)
	if err != nil {
		return err
	}
	d.Ring = &drawing.Ring{R: r / length.Factor, Stress: on, Text: text}
	of, proof := v.bounds("elastic_core", x)
	diameter := marked(2*core.Outer, of, proof, 1, e.shaftUnit(2*core.Outer, shaft.Diameter))
	rim, surface := d.Left[1].Text, d.Left[2].Text
	d.Finding = fmt.Sprintf("The shear stress grows in a straight line up to %s at the rim of the elastic core, ⌀%s, and is the same from there to the surface; after unloading %s remains at that rim and %s at the surface",
		d.Layers[1].OuterText, diameter, rim, surface)
	return nil
}
