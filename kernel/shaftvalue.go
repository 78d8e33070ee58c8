package kernel

import (
	"fmt"
	"math"

	"shaftbook/kernel/bracket"
	"shaftbook/kernel/shaft"
)

// shaftValue lets expressions ask a shaft for its values. spec is what it was
// solved from.
type shaftValue struct {
	s    *shaft.Shaft
	spec shaft.Spec
}

// Field implements program.Fielder.
func (v shaftValue) Field(name string, args []float64) (float64, error) {
	if len(args) == 0 {
		return v.whole(name)
	}
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
		return v.s.Stress(args[0])
	case "reaction":
		return v.s.Reaction(args[0])
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
	case "stress_at":
		_, x := v.s.StressMax()
		return x, nil
	}
	return 0, fmt.Errorf("a shaft has no value called %s", name)
}

// FieldBlock implements program.Fielder.
func (v shaftValue) FieldBlock(dst []float64, name string, args [][]float64) error {
	for i := range dst {
		y, err := v.Field(name, []float64{args[0][i]})
		if err != nil {
			y = math.NaN()
		}
		dst[i] = y
	}
	return nil
}

// FieldBracket implements program.Fielder.
func (v shaftValue) FieldBracket(name string, args []bracket.Bracket) (bracket.Bracket, error) {
	if name == "bracket" {
		n, err := count(args[0].Lo)
		if err != nil {
			return bracket.Bracket{}, err
		}
		return v.s.Bracket(n)
	}
	if len(args) > 0 && args[0].Lo != args[0].Hi {
		return bracket.Bracket{}, fmt.Errorf("%s of a shaft is known at one place, not over a bracket of places: take mid(…), low(…) or high(…)", name)
	}
	point := make([]float64, len(args))
	for i, a := range args {
		point[i] = a.Lo
	}
	y, err := v.Field(name, point)
	if err != nil {
		return bracket.Bracket{}, err
	}
	// Closed forms and quadrature agree with slice theory to 1e-12 of the
	// largest twist; the bracket is that much wider than the number.
	return bracket.New(y-1e-12*math.Abs(y), y+1e-12*math.Abs(y))
}

// IsBracket implements program.Fielder.
func (v shaftValue) IsBracket(name string) bool { return name == "bracket" }

// mostSegments bounds the work one S.segments(n) may ask for.
const mostSegments = 1_000_000

func count(n float64) (int, error) {
	if n != math.Trunc(n) || n < 1 || n > mostSegments {
		return 0, fmt.Errorf("the number of segments must be a whole number from 1 to %d, not %g", mostSegments, n)
	}
	return int(n), nil
}
