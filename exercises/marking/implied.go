package marking

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
)

// implied are the slips that are looked for in every part, whether its author
// lists them or not, in the order in which they are named.
var implied = []string{
	"flipped-sign", "radius-for-diameter", "diameter-for-radius", "bending-for-torsion",
	"degrees-for-radians", "radians-for-degrees", "percent-for-fraction", "one-piece",
}

// impliedLast is looked for where nothing else explains an answer.
const impliedLast = "power-of-ten"

// impliedSlip returns a slip of the catalogue that a part does not list, or nil.
func (m *Marker) impliedSlip(name string) *Slip {
	if slices.ContainsFunc(m.Scheme.Slips, func(s *Slip) bool { return s.Name == name }) {
		return nil
	}
	g := catalogue[name]
	return &Slip{Name: name, Says: g.Says, Next: g.Next, General: g}
}

// impliedValues returns what a slip that is not listed leads to; none where it
// cannot be made.
func (m *Marker) impliedValues(ctx context.Context, name string) SlipValues {
	if known, ok := m.found[name]; ok {
		return known
	}
	var found SlipValues
	if s := m.impliedSlip(name); s != nil && (m.hasAngle() || name != "degrees-for-radians" && name != "radians-for-degrees") {
		values, err := m.SlipValues(ctx, s)
		if ctx.Err() != nil {
			return found
		}
		if err == nil {
			found = SlipValues{s, values}
		}
	}
	if m.found == nil {
		m.found = map[string]SlipValues{}
	}
	m.found[name] = found
	return found
}

// hasAngle reports whether an angle is asked or given.
func (m *Marker) hasAngle() bool {
	c := m.slipCase(context.Background(), nil)
	return m.Key.Angle || len(c.angles()) > 0
}

// recognised returns the slips that an answer is the value of: those that the
// part lists, else those that every part has.
func (m *Marker) recognised(ctx context.Context, g numericAnswer) []*Slip {
	if found := m.Key.match(m.Key.Slips, g, m.Scheme.Tolerance); len(found) > 0 {
		return found
	}
	// What nobody expected is not told from a number of one or two figures alone: it needs
	// more, or to be near without the allowance for rounding.
	if g.half > math.Abs(g.value)*coarsest {
		g.half = 0
	}
	var all []SlipValues
	for _, name := range implied {
		all = append(all, m.impliedValues(ctx, name))
	}
	if found := m.Key.match(all, g, m.Scheme.Tolerance); len(found) > 0 {
		return found
	}
	return m.Key.match([]SlipValues{m.impliedValues(ctx, impliedLast)}, g, m.Scheme.Tolerance)
}

// recognisedFormula returns the slips of every part that a formula equals at
// every point.
func (m *Marker) recognisedFormula(ctx context.Context, k *formulaKey, ratios []float64) []*Slip {
	if len(ratios) < len(k.points) {
		return nil
	}
	var found []*Slip
	for _, name := range implied {
		if s := m.impliedSlip(name); s != nil && m.isEverywhere(ctx, k, s, ratios) {
			found = append(found, s)
		}
	}
	return found
}

func (m *Marker) isEverywhere(ctx context.Context, k *formulaKey, s *Slip, ratios []float64) bool {
	for n, p := range k.points {
		hit := false
		err := m.Numbers.WithValues(ctx, p.values, func() error {
			c := m.slipCase(ctx, s)
			c.right = p.right
			values, err := c.values()
			hit = isOneOf(ratios[n]*p.right, values)
			return err
		})
		if err != nil || !hit {
			return false
		}
	}
	return true
}

// isOneOf compares the value of a formula with those of a slip. A mean over a
// taper may be found from two diameters that are not quite equal, which costs
// digits.
func isOneOf(x float64, values []float64) bool {
	return slices.ContainsFunc(values, func(v float64) bool { return math.Abs(x-v) <= 1e-6*math.Abs(v) })
}

// angles returns the givens that are written as angles.
func (c *slipCase) angles() []int {
	var found []int
	for i, g := range c.numbers.Givens() {
		v, text, ok := c.numbers.GivenValue(i)
		if !ok || g.IsFunc || v.IsBracket || v.IsTruth || !v.Dim.IsNumber() {
			continue
		}
		for _, symbol := range []string{"deg", "°", "rad", "′", "″"} {
			if strings.HasSuffix(text, symbol) {
				found = append(found, i)
				break
			}
		}
	}
	return found
}

// degreesIn puts the number of degrees of a given angle in where radians belong,
// or converts an angle twice.
func degreesIn(c *slipCase) ([]float64, error) {
	var list []float64
	names := c.angles()
	if c.angle || c.dim.IsNumber() && len(names) == 0 {
		list = append(list, c.right*180/math.Pi)
	}
	if len(names) > 0 {
		put, err := c.scale(names, 180/math.Pi)
		if err != nil && len(list) == 0 {
			return nil, err
		}
		list = append(list, put...)
	}
	if len(list) == 0 {
		return nil, errors.New("neither the answer nor a given is an angle")
	}
	return list, nil
}

// radiansOut gives radians the unit of degrees: in the result, or where a given
// angle is put in.
func radiansOut(c *slipCase) ([]float64, error) {
	names := c.angles()
	if c.angle || c.dim.IsNumber() && len(names) == 0 {
		return []float64{c.right * math.Pi / 180}, nil
	}
	if len(names) == 0 {
		return nil, errors.New("neither the answer nor a given is an angle")
	}
	return c.scale(names, math.Pi/180)
}

// percent takes a percentage for a fraction, or the other way.
func percent(c *slipCase) ([]float64, error) {
	if c.angle || !c.dim.IsNumber() {
		return nil, errors.New("the answer is not a pure number")
	}
	return []float64{c.right * 100, c.right / 100}, nil
}

func flippedSign(c *slipCase) ([]float64, error) {
	if c.part.Sign == "" {
		return nil, errors.New("the question does not say which sense is positive: write sign: with the convention")
	}
	return []float64{-c.right}, nil
}

// onePiece counts one piece of a shaft, or one term of a sum, and forgets the
// others.
func onePiece(c *slipCase) ([]float64, error) {
	if c.dim.IsNumber() && !c.angle {
		return nil, errors.New("the answer is a pure number")
	}
	pieces := c.numbers.Pieces(c.part.Answer)
	if len(pieces) < 2 {
		return nil, errors.New("the answer is not a sum of pieces: give the wrong formula as formula: …")
	}
	var list []float64
	for _, x := range pieces {
		v, problems := c.numbers.Value(c.ctx, x)
		if problems.HasErrors() || v.Value.Dim != c.dim {
			return nil, errors.New("a piece of the answer has no value by itself")
		}
		list = append(list, v.Value.Number)
		if c.part.Sign == "" && v.Value.Number < 0 {
			list = append(list, -v.Value.Number)
		}
	}
	return list, nil
}

// mostPlaces is the greatest power of ten that is looked for: mm⁴ for m⁴.
const mostPlaces = 12

// powerOfTen loses a power of ten in one given value, in all lengths, or in the
// result.
func powerOfTen(c *slipCase) ([]float64, error) {
	var list []float64
	for k := 1; k <= mostPlaces; k++ {
		p := math.Pow(10, float64(k))
		list = append(list, c.right*p, c.right/p)
	}
	take := func(names []int, factor float64) {
		if len(names) == 0 {
			return
		}
		if v, err := c.scale(names, factor); err == nil { // some shafts cannot be made so
			list = append(list, v...)
		}
	}
	var all []int
	for i, g := range c.numbers.Givens() {
		v, _, ok := c.numbers.GivenValue(i)
		if !ok || g.IsFunc || v.IsBracket || v.IsTruth || v.Dim.IsNumber() {
			continue
		}
		if v.Dim == lengthDim {
			all = append(all, i)
		}
		for _, factor := range []float64{10, 0.1, 1000, 0.001} {
			take([]int{i}, factor)
		}
	}
	for _, factor := range []float64{10, 0.1, 1000, 0.001} {
		take(all, factor)
	}
	return list, c.ctx.Err()
}
