package num

import "math"

// Differentiate returns f′(x) and an estimate of its error, for functions that
// have no symbolic derivative.
//
// Central differences
//
//	D(h) = (f(x+h) − f(x−h))/(2h) = f′ + c₂h² + c₄h⁴ + …
//
// with steps that shrink by 1.4 from scale/4 are extrapolated to h = 0; the
// entry of the tableau that differs least from its neighbours is returned,
// with that difference plus what the rounding of f can do (2 ulp of |f|
// divided by its step) as the error. scale > 0 is a length over which f
// changes noticeably; f is asked within x ± scale/4. All 29 points are one
// block.
//
// At a kink or a value of its own at x, central differences agree with each
// other and not with f. So the difference of the slopes to the right and to the
// left,
//
//	S(h) = (f(x+h) − 2·f(x) + f(x−h))/h = c₁h + c₃h³ + …
//
// is extrapolated to h = 0 likewise and must vanish there.
//
// Failure: *RangeError for x or scale not finite or scale ≤ 0 or too small
// beside x, *UndefinedError if f(x) is not finite or fewer than three steps have
// finite values on both sides, *NoDerivativeError if no digit is certain or the
// two sides differ, or the error of f or Stop.
//
// Source: C.J.F. Ridders, Adv. Eng. Software 4 (1982) 75–76.
func Differentiate(f Func, x, scale float64, o Options) (value, errorEstimate float64, err error) {
	const steps, shrink = 14, 1.4
	if !finite(x) || !finite(scale) || scale/4 < 0x1p-30*math.Abs(x) || scale <= 0 {
		return 0, 0, &RangeError{x - scale, x + scale}
	}
	var at, y [2*steps + 1]float64
	at[2*steps] = x
	h := scale / 4
	for i := range steps {
		at[2*i], at[2*i+1] = x-h, x+h
		h /= shrink
	}
	e := newEvaluator(f, o, len(at))
	if err := e.fill(y[:], at[:]); err != nil {
		return 0, 0, err
	}
	middle := y[2*steps]
	if !finite(middle) {
		return 0, 0, &UndefinedError{Where: x, Value: middle}
	}
	slope, sides := newTableau(shrink*shrink, shrink), newTableau(shrink, shrink)
	for i := range steps {
		lower, upper := y[2*i], y[2*i+1]
		if !finite(lower) || !finite(upper) {
			slope.row, sides.row = nil, nil // a singularity lies within the step: start again closer in
			continue
		}
		h := at[2*i+1] - at[2*i] // twice the step, as rounded
		rounding := 2 * ulp * (math.Abs(lower) + math.Abs(upper)) / h
		slope.add((upper-lower)/h, rounding)
		sides.add(2*((upper-middle)-(middle-lower))/h, 2*rounding)
	}
	value, errorEstimate = slope.best, slope.doubt
	if math.IsInf(errorEstimate, 1) || !finite(value) {
		return 0, 0, &UndefinedError{Where: x, Value: math.NaN()}
	}
	size := max(math.Abs(value), span(y[:])/scale)
	if (errorEstimate > 1e-3*size || math.Abs(sides.best)+sides.doubt > 1e-2*size) && size > 0 {
		return 0, 0, &NoDerivativeError{X: x, Value: value, ErrorEstimate: errorEstimate}
	}
	return value, errorEstimate, nil
}

// A tableau extrapolates a quantity Q(h) = q + c·h^a + d·h^(a+2) + … to h = 0,
// given for steps that shrink by one factor, and holds the entry that differs
// least from its neighbours.
type tableau struct {
	first, shrink float64 // by how much the first power falls from step to step, and h
	row           []float64
	best, doubt   float64
}

func newTableau(first, shrink float64) *tableau {
	return &tableau{first: first, shrink: shrink, doubt: math.Inf(1)}
}

// add takes in the quantity for the next step, with what rounding can do to it.
func (t *tableau) add(q, rounding float64) {
	above := t.row
	row := append([]float64(nil), q)
	factor := t.first
	for j := range above {
		row = append(row, row[j]+(row[j]-above[j])/(factor-1))
		factor *= t.shrink * t.shrink
		difference := max(math.Abs(row[j+1]-row[j]), math.Abs(row[j+1]-above[j]))
		// Extrapolation with steps this close magnifies rounding about fourfold.
		if doubt := difference + float64(4*rounding); doubt < t.doubt {
			t.best, t.doubt = row[j+1], doubt
		}
	}
	t.row = row
}

// span returns the difference of the largest and the smallest value.
func span(y []float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range y {
		if finite(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	return high - low
}
