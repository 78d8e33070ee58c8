package working

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// shaftValue lets expressions ask a shaft for its values. spec is what it was
// solved from. tol is the same shaft with its tolerances, nil if it has none.
type shaftValue struct {
	s          *shaft.Shaft
	spec       shaft.Spec
	tol        *shaft.Tolerant
	tolerances []tolerance
	read       []readNumber            // what its lines work out from other numbers
	sizesOff   func() (float64, error) // how far those of its pieces may be from what is meant; may be nil
}

// Field implements program.Fielder.
func (v shaftValue) Field(name string, args []float64) (float64, error) {
	if len(args) == 0 {
		return v.whole(name)
	}
	y, err := v.fieldValue(name, args)
	return y, inWords(err)
}

// inWords words an error about a place or a size with the units a reader uses.
func inWords(err error) error {
	if err == nil {
		return nil
	}
	var off *shaft.RangeError
	if errors.As(err, &off) {
		return fmt.Errorf("x = %s is off the shaft, which runs from 0 mm to %s", lengthText(off.X), lengthText(off.Length))
	}
	var size *shaft.SizeError
	if errors.As(err, &size) {
		dim := unit.Base(1, 0, 0)
		if strings.Contains(size.What, "area") {
			dim = unit.Base(2, 0, 0)
		}
		value := unit.Format(size.Value, unit.Choose(size.Value, dim, nil, unit.NoHint), unit.Rounding{})
		return fmt.Errorf("a %s of %s is not possible: it must %s", size.What, value, size.Must)
	}
	var fast *shaft.HeldFastError
	if errors.As(err, &fast) {
		return fmt.Errorf("the section at x = %s is held fast and does not turn, so there is no torque per angle", lengthText(fast.X))
	}
	var yield *shaft.YieldError
	if errors.As(err, &yield) {
		if yield.Reason == shaft.NotOneRound {
			return fmt.Errorf("the section at x = %s is not a round one of one material, and yielding is worked out for these only", lengthText(yield.X))
		}
		return fmt.Errorf("the piece at x = %s has no yield stress; one is given above it in its cell, as in yields at 150 MPa", lengthText(yield.X))
	}
	var radius *shaft.RadiusError
	if errors.As(err, &radius) {
		return fmt.Errorf("there is no material at the radius %s: the section reaches from %s to %s", lengthText(radius.R), lengthText(radius.Inner), lengthText(radius.Outer))
	}
	var hold *shaft.SupportError
	if !errors.As(err, &hold) {
		return err
	}
	if len(hold.Holds) == 0 {
		return fmt.Errorf("there is no hold at x = %s, nor anywhere on this shaft", lengthText(hold.X))
	}
	places := make([]string, len(hold.Holds))
	for i, x := range hold.Holds {
		places[i] = lengthText(x)
	}
	return fmt.Errorf("there is no hold at x = %s; this shaft is held at %s", lengthText(hold.X), words.And(places))
}

func lengthText(x float64) string {
	return unit.Format(x, unit.Choose(x, unit.Base(1, 0, 0), nil, unit.NoHint), unit.Rounding{})
}

// fieldValue returns a value at a place, or by a number of segments.
func (v shaftValue) fieldValue(name string, args []float64) (float64, error) {
	switch name {
	case "twist":
		return v.s.Twist(args[0])
	case "rate":
		return v.s.TwistRate(args[0])
	case "torque":
		return v.s.Torque(args[0])
	case "J":
		return v.s.J(args[0])
	case "d":
		return v.s.Diameter(args[0])
	case "bore":
		return v.s.Bore(args[0])
	case "stress":
		if len(args) == 2 {
			return v.s.StressAt(args[0], args[1])
		}
		return v.s.Stress(args[0])
	case "yield_torque":
		return v.s.YieldTorque(args[0])
	case "plastic_torque":
		return v.s.PlasticTorque(args[0])
	case "elastic_core":
		return v.s.ElasticCore(args[0])
	case "permanent_twist":
		return v.s.PermanentTwist(args[0])
	case "spring_back":
		return v.s.SpringBack(args[0])
	case "residual_stress":
		return v.s.ResidualStress(args[0], args[1])
	case "reaction":
		return v.s.Reaction(args[0])
	case "rotation":
		return v.s.RotationAt(args[0])
	case "stiffness_at":
		return v.s.StiffnessAt(args[0])
	case "segments":
		n, err := count(args[0])
		if err != nil {
			return 0, err
		}
		return v.s.Segments(n)
	}
	return 0, fmt.Errorf("a shaft has no value called %s", name)
}

// whole returns a value of the shaft as a whole.
func (v shaftValue) whole(name string) (float64, error) {
	switch name {
	case "twist":
		return v.s.TwistTotal(), nil
	case "length":
		return v.s.Length(), nil
	case "stiffness":
		return v.s.Stiffness(), nil
	case "energy":
		return v.s.Energy(), nil
	case "stress_max":
		stress, _ := v.s.StressMax()
		return stress, nil
	case "permanent_twist":
		return v.s.PermanentTotal(), nil
	case "spring_back":
		return v.s.SpringBackTotal(), nil
	case "stress_at":
		_, x := v.s.StressMax()
		return x, nil
	}
	return 0, fmt.Errorf("a shaft has no value called %s", name)
}

// FieldBlock implements program.Fielder.
func (v shaftValue) FieldBlock(dst []float64, name string, args [][]float64) error {
	at := make([]float64, len(args))
	for i := range dst {
		for k := range args {
			at[k] = args[k][i]
		}
		y, err := v.fieldValue(name, at)
		if err != nil {
			y = math.NaN()
		}
		dst[i] = y
	}
	return nil
}

// FieldBracket implements program.Fielder.
func (v shaftValue) FieldBracket(name string, args []interval.Interval) (interval.Interval, error) {
	if v.tol != nil && !check.IsNominal(name) {
		b, err := v.tolerantField(name, args)
		return b, inWords(err)
	}
	if name == "bracket" {
		n, err := count(wholeIn(args[0]))
		if err != nil {
			return interval.Interval{}, err
		}
		return v.s.Bracket(n)
	}
	if name == "length" {
		b, err := v.lengthBounds()
		return b, inWords(err)
	}
	if len(args) == 1 {
		if b, ok, err := v.placeField(name, args[0]); ok {
			return b, inWords(err)
		}
	}
	c, err := v.s.Certain()
	if err != nil {
		return interval.Interval{}, inWords(err)
	}
	b, err := v.certain(c, name, args)
	return b, inWords(err)
}

// lengthBounds returns the bounds of the length, for which loads and moduli need not
// be known.
func (v shaftValue) lengthBounds() (interval.Interval, error) {
	slack := segmentsError
	if v.sizesOff != nil {
		off, err := v.sizesOff()
		if err != nil {
			return interval.Interval{}, err
		}
		slack = max(slack, 2*off)
	}
	return around(v.s.Length(), float64(slack*v.s.Length())), nil
}

// placeField returns the bounds of a field that needs no statics; ok is false for others.
func (v shaftValue) placeField(name string, x interval.Interval) (b interval.Interval, ok bool, err error) {
	switch name {
	case "d":
		b, err = v.s.DiameterOver(x)
	case "bore":
		b, err = v.s.BoreOver(x)
	case "J":
		b, err = v.s.JOver(x)
	default:
		return b, false, nil
	}
	return b, true, err
}

// certain returns the bounds of a field of a solved shaft.
func (v shaftValue) certain(c *shaft.Certain, name string, args []interval.Interval) (interval.Interval, error) {
	if len(args) == 0 {
		return v.certainWhole(c, name)
	}
	switch x := args[0]; name {
	case "torque":
		return c.Torque(x)
	case "rate":
		return c.TwistRate(x)
	case "stress":
		if len(args) == 2 {
			return c.StressAt(x, args[1])
		}
		return c.Stress(x)
	case "yield_torque":
		return c.YieldTorque(x)
	case "plastic_torque":
		return c.PlasticTorque(x)
	case "elastic_core":
		return c.ElasticCore(x)
	case "permanent_twist":
		return c.PermanentTwist(x)
	case "spring_back":
		return c.SpringBack(x)
	case "residual_stress":
		return c.ResidualStress(x, args[1])
	case "twist":
		return c.Twist(x)
	case "rotation":
		return c.Rotation(x)
	case "stiffness_at":
		return v.s.StiffnessAtOver(x)
	case "reaction":
		return c.Reaction(x.Mid())
	case "segments":
		// A sum of uniform segments, each term of which is good to some units in
		// the last place; compared with longer arithmetic, not proven.
		y, err := v.Field(name, []float64{wholeIn(x)})
		return around(y, float64(segmentsError*v.twistScale())), err
	}
	return interval.Interval{}, fmt.Errorf("a shaft has no value called %s", name)
}

// certainWhole returns the bounds of a value of the shaft as a whole.
func (v shaftValue) certainWhole(c *shaft.Certain, name string) (interval.Interval, error) {
	switch name {
	case "twist":
		return c.TwistTotal()
	case "permanent_twist":
		return c.PermanentTotal()
	case "spring_back":
		return c.SpringBackTotal(), nil
	case "stiffness":
		return c.Stiffness()
	case "stress_max":
		return c.StressMax(), nil
	case "energy":
		b, ok := c.Energy()
		if !ok {
			return b, errors.New("the energy under a torque that varies along the shaft is found by a rule of fixed points, whose error is not bounded")
		}
		return b, nil
	}
	y, err := v.whole(name)
	return around(y, float64(segmentsError*math.Abs(y))), err
}

func around(y, slack float64) interval.Interval {
	return interval.Interval{Lo: math.Nextafter(y-slack, math.Inf(-1)), Hi: math.Nextafter(y+slack, math.Inf(1))}
}

// segmentsError is how far a sum of segments is from its exact value at most, as
// a share of the largest twist.
const segmentsError = 1e-12

// twistScale is the largest twist at a break of the shaft, since a small twist
// may be a difference of large ones.
func (v shaftValue) twistScale() float64 {
	largest := 0.0
	for _, x := range v.s.Breaks() {
		if t, err := v.s.Twist(x); err == nil {
			largest = max(largest, math.Abs(t))
		}
	}
	return largest
}

// Cost implements program.Fielder: a value looks up a piece of the shaft and
// solves a short integral; segments and brackets are summed one by one.
func (v shaftValue) Cost(name string, args []float64) int64 {
	value, segment, bracketed := int64(500), int64(30), int64(200)
	if v.tol != nil {
		ends := int64(2 * v.tol.Corners()) // the softest and the stiffest pieces under each
		value, bracketed = ends*value, ends*bracketed
	}
	if len(args) == 0 {
		return value
	}
	part := segment
	switch name {
	case "segments":
	case "stiffness_at":
		return 40 * value // shafts are solved for it
	case "bracket":
		part = bracketed
	default:
		return value
	}
	n, err := count(args[0])
	if err != nil {
		return value
	}
	return value + int64(n)*part
}

// wholeIn returns the whole number in a narrow bracket, or its middle.
func wholeIn(b interval.Interval) float64 {
	if n := math.Round(b.Mid()); b.Contains(n) {
		return n
	}
	return b.Mid()
}

// IsBracket implements program.Fielder.
func (v shaftValue) IsBracket(name string) bool {
	return name == "bracket" || v.tol != nil && !check.IsNominal(name)
}

// mostSegments bounds the work one S.segments(n) may ask for.
const mostSegments = 1_000_000

// count returns the whole number that n is, but for the rounding of what it was
// calculated from: 0.7 m/(0.1 m) is 7.
func count(n float64) (int, error) {
	whole := math.Round(n)
	if !(math.Abs(n-whole) <= 1e-12*whole) || whole < 1 || whole > mostSegments {
		return 0, fmt.Errorf("the number of segments must be a whole number from 1 to 1 000 000, not %g", n)
	}
	return int(whole), nil
}
