package marking

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// stiffnessesAdded takes the twist of pieces that carry one torque as if their
// stiffnesses, torque over twist, were added: the reciprocal of the sum of reciprocals.
func stiffnessesAdded(c *slipCase) ([]float64, error) {
	if !c.angle {
		return nil, errors.New("the answer is not a twist: give the wrong formula as formula: …")
	}
	if names := c.named(torques); len(names) != 1 {
		return nil, fmt.Errorf("the pieces carry one torque and %d names could be it: give the wrong formula as formula: …", len(names))
	}
	pieces := c.numbers.Pieces(c.part.Answer)
	if len(pieces) < 2 {
		return nil, errors.New("the answer is not a sum of pieces: give the wrong formula as formula: …")
	}
	sum := 0.0
	for _, x := range pieces {
		v, problems := c.numbers.Value(c.ctx, x)
		if problems.HasErrors() || v.Value.Dim != c.dim || v.Value.Number*c.right <= 0 {
			return nil, errors.New("the pieces do not all turn the same way: give the wrong formula as formula: …")
		}
		sum += 1 / v.Value.Number
	}
	return []float64{1 / sum}, nil
}

// oneTorque takes the torque of one piece for all of them, each in turn.
func oneTorque(c *slipCase) ([]float64, error) {
	names, err := c.need(torques)
	if err != nil {
		return nil, err
	}
	if len(names) < 2 {
		return nil, errors.New("there is one torque given: give the wrong formula as formula: …")
	}
	var list []float64
	for _, i := range names {
		values := map[int]float64{}
		for _, k := range names {
			values[k] = c.number(i)
		}
		v, err := c.with(values)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
}

// wrongPower integrates (d_0 + k·x)⁻⁴ without the divisor 3 of the power.
func wrongPower(c *slipCase) ([]float64, error) {
	if _, err := c.ends(); err != nil {
		return nil, err
	}
	if !c.angle && !c.dim.IsNumber() {
		return nil, errors.New("the answer is not a twist: give the wrong formula as formula: …")
	}
	return []float64{3 * c.right}, nil
}

// chainRule leaves out the divisor k = (d_1 − d_0)/L of the integral over a taper.
func chainRule(c *slipCase) ([]float64, error) {
	pairs, err := c.ends()
	if err != nil {
		return nil, err
	}
	length, found := 0.0, 0
	for i, g := range c.numbers.Givens() {
		v, _, ok := c.numbers.GivenValue(i)
		base, _, _ := strings.Cut(g.Name, "_")
		if ok && !g.IsFunc && !v.IsBracket && !v.IsTruth && v.Dim == lengthDim && slices.Contains([]string{"L", "l"}, base) {
			length, found = v.Number, found+1
		}
	}
	if found != 1 || length <= 0 || !c.angle && !c.dim.IsNumber() {
		return nil, errors.New("this is not the twist of one taper of a given length L: give the wrong formula as formula: …")
	}
	k := (c.number(pairs[0].b) - c.number(pairs[0].a)) / length
	return []float64{c.right * math.Abs(k)}, nil
}

// stiffnessPerDegree mixes up the units of the angle in a stiffness, whose dimension is
// that of a torque since an angle has none.
func stiffnessPerDegree(c *slipCase) ([]float64, error) {
	if c.dim != torqueDim || c.part.Unit == nil || !strings.Contains(c.part.Unit.Text, "rad") && !strings.Contains(c.part.Unit.Text, "deg") {
		return nil, errors.New("the unit of the answer is not that of a stiffness: write unit: N·m/rad or N·m/deg")
	}
	return []float64{c.right * math.Pi / 180, c.right * 180 / math.Pi}, nil
}
