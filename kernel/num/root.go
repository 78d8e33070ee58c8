package num

import (
	"fmt"
	"math"
)

const (
	scanPoints       = 129
	searchEvaluation = 10_000
)

// A Root is a place where a function is zero.
type Root struct {
	X           float64
	Low, High   float64 // the function changes sign between them; equal to X if it is exactly 0 there
	Touches     bool    // f reaches zero at X without changing sign; no bracket then
	Others      int     // further sign changes seen in the range
	Evaluations int
}

// A NoRootError reports why no root was found.
type NoRootError struct {
	A, B       float64 // the range as asked for
	FA, FB     float64 // values at its ends (may be not finite)
	Points     int     // points looked at
	Nearest    float64 // where |f| was smallest
	Value      float64 // f there
	Jumps      []float64
	JumpIsPole bool // the first of Jumps is a pole rather than a jump
}

func (e *NoRootError) Error() string {
	if len(e.Jumps) > 0 {
		how := "jumps over zero without reaching it"
		if e.JumpIsPole {
			how = "changes sign by growing without bound, which is no root,"
		}
		return fmt.Sprintf("the function %s at %.6g, and nowhere else changes sign between %.6g and %.6g", how, e.Jumps[0], e.A, e.B)
	}
	sign := "of one sign"
	switch {
	case e.FA > 0 && e.FB > 0:
		sign = "positive"
	case e.FA < 0 && e.FB < 0:
		sign = "negative"
	}
	return fmt.Sprintf("the function is %s at both ends (%.4g at %.6g, %.4g at %.6g) and does not change sign at any of the %d points checked; it comes closest to zero at %.6g (%.4g)",
		sign, e.FA, e.A, e.FB, e.B, e.Points, e.Nearest, e.Value)
}

// FindRoot returns the root of f between a and b that is first when walking
// from a to b.
//
// f is looked at in 129 equally spaced points, ends included; the first
// interval over which it changes sign is narrowed by Chandrupatla's method,
// which takes inverse quadratic interpolation where that is safe and bisects
// where it is not, until f is 0 or Low and High are a few ulps apart. A
// change of sign over a pole or a jump is not a root and is passed over. Where no
// sign changes, places where |f| dips are refined; one where f is zero to
// rounding (8 ulp of the largest |f| seen) is returned with Touches set.
//
// Points without a finite value are passed over.
//
// Failure: *RangeError, *NoRootError, *UndefinedError if f has a finite value
// nowhere, *BudgetError, or the error of f or Stop.
//
// Source: T.R. Chandrupatla, Adv. Eng. Software 28 (1997) 145–149.
func FindRoot(f Func, a, b float64, o Options) (Root, error) {
	if !finite(a) || !finite(b) {
		return Root{}, &RangeError{a, b}
	}
	e := newEvaluator(f, o, searchEvaluation)
	s, err := e.scan(a, b)
	if err != nil {
		return Root{}, err
	}
	changes := s.signChanges()
	failure := &NoRootError{A: a, B: b, FA: s.y[0], FB: s.y[len(s.y)-1], Points: len(s.x)}
	for i, c := range changes {
		root, why, err := e.narrow(c)
		if err != nil {
			return Root{}, err
		}
		if why == isRoot {
			root.Others = len(changes) - i - 1
			root.Evaluations = e.count
			return root, nil
		}
		if len(failure.Jumps) == 0 {
			failure.JumpIsPole = why == isPole
		}
		failure.Jumps = append(failure.Jumps, root.X)
	}
	root, found, err := e.touching(s, failure)
	if err != nil {
		return Root{}, err
	}
	root.Evaluations = e.count
	if !found {
		return Root{}, failure
	}
	return root, nil
}

// A scan holds f at equally spaced points from a to b.
type scan struct {
	x, y    []float64
	largest float64 // largest finite |y|
}

func (e *evaluator) scan(a, b float64) (scan, error) {
	n := scanPoints
	if a == b {
		n = 1
	}
	s := scan{x: make([]float64, n), y: make([]float64, n)}
	for i := range s.x {
		t := float64(float64(i) / float64(scanPoints-1))
		s.x[i] = float64(a*(1-t)) + float64(b*t)
	}
	if n > 1 {
		s.x[n-1] = b
	}
	if err := e.fill(s.y, s.x); err != nil {
		return s, err
	}
	anyFinite := false
	for _, y := range s.y {
		if finite(y) {
			anyFinite = true
			s.largest = max(s.largest, math.Abs(y))
		}
	}
	if !anyFinite {
		return s, &UndefinedError{Where: s.x[n/2], Value: s.y[n/2]}
	}
	return s, nil
}

// A change is a pair of points between which f changes sign; they are equal at
// a point where f is 0.
type change struct{ x1, y1, x2, y2 float64 }

func (s scan) signChanges() []change {
	var changes []change
	last := -1 // last point with a finite value other than 0
	for i, y := range s.y {
		if !finite(y) {
			continue
		}
		if y == 0 {
			changes = append(changes, change{s.x[i], 0, s.x[i], 0})
			last = -1
			continue
		}
		if last >= 0 && (y > 0) != (s.y[last] > 0) {
			changes = append(changes, change{s.x[last], s.y[last], s.x[i], y})
		}
		last = i
	}
	return changes
}

// What a change of sign turns out to be.
type changeKind int

const (
	isRoot changeKind = iota
	isPole
	isJump
)

// narrow shrinks a change of sign to a few ulps.
func (e *evaluator) narrow(c change) (Root, changeKind, error) {
	if c.y1 == 0 {
		return Root{X: c.x1, Low: c.x1, High: c.x1}, isRoot, nil
	}
	x1, y1, x2, y2 := c.x1, c.y1, c.x2, c.y2 // always of opposite sign
	x3, y3 := x1, y1
	t := 0.5
	for {
		width := math.Abs(x2 - x1)
		grain := 2 * max(spacing(x1), spacing(x2))
		if width <= grain {
			break
		}
		x := x1 + float64(t*(x2-x1))
		y, err := e.one(x)
		if err != nil {
			return Root{}, 0, err
		}
		if y == 0 {
			return Root{X: x, Low: x, High: x}, isRoot, nil
		}
		if !finite(y) {
			return Root{X: x}, isPole, nil
		}
		if (y > 0) == (y1 > 0) {
			x3, y3 = x1, y1
			x1, y1 = x, y
		} else {
			x3, y3 = x2, y2
			x2, y2 = x1, y1
			x1, y1 = x, y
		}
		t = chandrupatla(x1, y1, x2, y2, x3, y3)
		if t != 0.5 {
			least := grain / 2 / math.Abs(x2-x1)
			t = min(max(t, least), 1-least)
		}
	}
	root := Root{X: x1, Low: min(x1, x2), High: max(x1, x2)}
	if math.Abs(y2) < math.Abs(y1) {
		root.X = x2
	}
	before := min(math.Abs(c.y1), math.Abs(c.y2))
	after := min(math.Abs(y1), math.Abs(y2))
	switch {
	case after > 4*max(math.Abs(c.y1), math.Abs(c.y2)):
		return root, isPole, nil
	case after > before/2:
		return root, isJump, nil
	}
	return root, isRoot, nil
}

// chandrupatla returns the fraction of the way from x1 to x2 at which to look
// next: inverse quadratic interpolation through the three points if it is sure
// to be monotone between them, else 1/2.
func chandrupatla(x1, y1, x2, y2, x3, y3 float64) float64 {
	xi := (x1 - x2) / (x3 - x2)
	phi := (y1 - y2) / (y3 - y2)
	if !(1-math.Sqrt(1-xi) < phi && phi < math.Sqrt(xi)) {
		return 0.5
	}
	al := (x3 - x1) / (x2 - x1)
	t := float64(y1/(y1-y2)*(y3/(y3-y2))) + float64(al*(y1/(y3-y1))*(y2/(y3-y2)))
	if !finite(t) {
		return 0.5
	}
	return t
}

// touching looks for a place where f dips to zero between points of one sign,
// and fills in how close f came.
func (e *evaluator) touching(s scan, failure *NoRootError) (Root, bool, error) {
	smallest := math.Inf(1)
	for i, y := range s.y {
		if finite(y) && math.Abs(y) < smallest {
			smallest = math.Abs(y)
			failure.Nearest, failure.Value = s.x[i], y
		}
	}
	for _, c := range s.dips(math.Abs) {
		sign := math.Copysign(1, s.y[c.middle])
		m, err := e.minimise(c, s, func(y float64) float64 { return sign * y })
		if err != nil {
			return Root{}, false, err
		}
		y := sign * m.y
		if math.Abs(y) < smallest {
			smallest = math.Abs(y)
			failure.Nearest, failure.Value = m.x, y
		}
		if m.y < 0 { // it dips through zero between two points
			at := s.x[c.left]
			root, why, err := e.narrow(change{at, s.y[c.left], m.x, y})
			if err != nil || why == isRoot {
				root.Others = 1
				return root, err == nil, err
			}
			continue
		}
		if m.y <= 8*ulp*s.largest {
			return Root{X: m.x, Low: m.x, High: m.x, Touches: y != 0}, true, nil
		}
	}
	return Root{}, false, nil
}
