package num

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// An Integral is the value of an integral with what is known about it.
type Integral struct {
	Value         float64
	ErrorEstimate float64 // the true error is expected to be no larger
	Evaluations   int
	Method        string // what was used, for people
}

// A NotConvergedError reports that the tolerance was not reached. Best is the
// best value that was found, with its error estimate.
type NotConvergedError struct {
	Best  Integral
	Where float64 // where most of the remaining error lies
	Cause error   // a *BudgetError, or nil if the numbers have no more digits to give
}

func (e *NotConvergedError) Error() string {
	why := "the values near there carry no more digits"
	if e.Cause != nil {
		why = e.Cause.Error()
	}
	return fmt.Sprintf("the integral is known only as %.6g ± %.2g; most of the doubt lies near %.6g: %s",
		e.Best.Value, e.Best.ErrorEstimate, e.Where, why)
}

// Unwrap returns the cause.
func (e *NotConvergedError) Unwrap() error { return e.Cause }

const (
	methodKronrod = "adaptive Gauss–Kronrod 7–15"
	methodEnds    = "adaptive Gauss–Kronrod 7–15 with a rule for singular ends"

	defaultRelTol       = 1e-10
	integrateEvaluation = 200_000

	pileDepth   = 7 // bisections towards one point before it is looked at
	pileSlow    = 4 // of which so many lowered the error by less than smooth
	endTries    = 3 // times the rules for singular ends are tried on a way down
	poleDepth   = 8 // bisections before a point inside is searched for a pole
	deepest     = 1000
	smoothRatio = 1.0 / 32
)

// Integrate returns
//
//	I = ∫ f(x) dx from a to b
//
// for finite a and b; with b < a the sign is reversed, with a = b the value
// is 0 and f is not asked.
//
// The range is bisected where the difference of the 7-point Gauss and the
// 15-point Kronrod rule is largest, until the sum of the error estimates is at
// most max(AbsTol, RelTol·|I|), or what rounding permits: 50 ulp of ∫|f|. All
// panels that plain worst-first bisection would have to bisect in any case are
// bisected together, so that f is asked for whole blocks without a value more.
// Where bisection piles up at a point, that point is treated as a singular end
// (endpoint.go).
//
// Special cases: f is never asked for its values at a and b, so they need not
// exist. A single point inside without a value (sin x/x at 0) splits the range
// there.
//
// Failure: *RangeError, *DivergentError, *UndefinedError if f has no value in
// more than single points, *NotConvergedError, or the error of f or Stop.
//
// Source: R. Piessens, E. de Doncker-Kapenga, C.W. Überhuber, D.K. Kahaner,
// QUADPACK, Springer 1983, sections 2.2.2 and 3.4.1.
func Integrate(f Func, a, b float64, o Options) (Integral, error) {
	if !finite(a) || !finite(b) {
		return Integral{}, &RangeError{a, b}
	}
	if a == b {
		return Integral{Method: methodKronrod}, nil
	}
	if b < a {
		reversed, err := Integrate(f, b, a, o)
		reversed.Value = -reversed.Value
		if failed := (*NotConvergedError)(nil); errors.As(err, &failed) {
			failed.Best.Value = -failed.Best.Value
		}
		return reversed, err
	}
	if o.AbsTol <= 0 && o.RelTol <= 0 {
		o.RelTol = defaultRelTol
	}
	q := &quadrature{
		evaluator: newEvaluator(f, o, integrateEvaluation),
		absTol:    max(o.AbsTol, 0),
		relTol:    max(o.RelTol, 0),
		pieces:    []piece{{lo: a, hi: b, fresh: true}},
	}
	return q.run()
}

// A piece is a part of the range with its share of the integral.
type piece struct {
	lo, hi float64
	estimate
	before       estimate // of the piece it is a half of
	fresh        bool     // not yet evaluated; estimate is half of before
	compared     bool     // with the other half, see compareHalves
	final        bool     // bisection gains nothing more
	runLo, runHi int      // bisections in a row that kept the lower, the upper end
	slow         int      // bisections in a row that lowered the error less than a smooth integrand
	depth        int      // bisections from the whole range
	stuck        int      // bisections that gained nothing
	endTries     int      // times the rules for singular ends were tried
	poleSought   bool     // this or a piece around it was searched for a pole
}

// quadrature is the state of one call of Integrate.
type quadrature struct {
	*evaluator
	absTol, relTol float64
	pieces         []piece // from lower to upper, without gaps
	usedEnds       bool    // a rule for singular ends has a part in the result

	x, y []float64 // scratch of evaluate
}

// sums are the totals over all pieces.
type sums struct {
	value, abs float64
	doubts     []float64 // of each piece, what its joins can hide included
	doubt      float64   // their sum
	stays      float64   // the part of it that no bisection lowers
	jitter     float64   // what the rounding of places can change
}

func (q *quadrature) run() (Integral, error) {
	err := q.evaluate()
	if err == nil && len(q.pieces) == 1 && q.pieces[0].flat {
		err = q.quarter()
	}
	for err == nil {
		s := q.totals()
		if !finite(s.value) || !finite(s.abs) {
			return Integral{}, &UndefinedError{Where: q.worstPlace(s), Value: s.value}
		}
		tolerance := max(q.absTol, q.relTol*math.Abs(s.value), 60*ulp*s.abs)
		if s.doubt+s.jitter <= tolerance {
			return q.result(s), nil
		}
		batch := q.mustBisect(s, tolerance)
		if len(batch) == 0 {
			return Integral{}, &NotConvergedError{Best: q.result(s), Where: q.worstPlace(s)}
		}
		err = q.refine(batch, tolerance, s.abs)
	}
	if budget := (*BudgetError)(nil); errors.As(err, &budget) {
		s := q.totals()
		return Integral{}, &NotConvergedError{Best: q.result(s), Where: q.worstPlace(s), Cause: budget}
	}
	return Integral{}, err
}

// totals adds up the pieces.
//
// Where two pieces meet, the curves through the points of either are continued
// to the join. If they miss each other there, something lies between the last
// points of both, within 0.0043 of their lengths, that neither saw: a kink, a
// jump. It can hide an area of about the miss times that distance; twice that
// is added to the doubt of both, unless the miss is no more than the difference
// of the two rules leads to expect.
//
// jitter is what the rounding of places can change: in a panel where f swings
// by s, a place off by the spacing of numbers there changes the panel by
// s·spacing at most and by a twelfth of that in the mean, since the 15 places
// are rounded independently; so are panels, and their squares add. Two standard
// deviations are taken. They matter only for peaks that are a millionth of
// their place wide, or less.
func (q *quadrature) totals() sums {
	s := sums{doubts: make([]float64, len(q.pieces))}
	var carry, squares float64
	for i, p := range q.pieces {
		// Compensated summation (Neumaier 1974): many small pieces must not
		// cost digits that their error estimates do not account for.
		sum := s.value + p.value
		if math.Abs(s.value) >= math.Abs(p.value) {
			carry += s.value - sum + p.value
		} else {
			carry += p.value - sum + s.value
		}
		s.value = sum
		s.abs += p.abs
		moved := p.swing * max(spacing(p.lo), spacing(p.hi))
		squares += float64(moved * moved)
		s.doubts[i] += p.err
		if i == 0 || p.final && q.pieces[i-1].final {
			continue
		}
		left := q.pieces[i-1]
		if miss := math.Abs(left.upper-p.lower) - float64(16*(left.diff+p.diff)); miss > 0 {
			s.doubts[i-1] += float64(2 * miss * outerGap * (left.hi - left.lo))
			s.doubts[i] += float64(2 * miss * outerGap * (p.hi - p.lo))
		}
	}
	for i, p := range q.pieces {
		s.doubt += s.doubts[i]
		if p.final {
			s.stays += s.doubts[i]
		}
	}
	s.value += carry
	s.jitter = math.Sqrt(squares) / 6
	return s
}

func (q *quadrature) result(s sums) Integral {
	method := methodKronrod
	if q.usedEnds {
		method = methodEnds
	}
	return Integral{Value: s.value, ErrorEstimate: s.doubt + s.jitter, Evaluations: q.count, Method: method}
}

// worstPlace returns the middle of the piece with the largest doubt.
func (q *quadrature) worstPlace(s sums) float64 {
	worst := 0
	for i, d := range s.doubts {
		if d > s.doubts[worst] {
			worst = i
		}
	}
	return float64(q.pieces[worst].lo/2) + float64(q.pieces[worst].hi/2)
}

// mustBisect returns the indexes, ascending, of the pieces that any worst-first
// bisection would have to bisect: the worst ones, until the rest could be
// within the tolerance. Where final pieces alone exceed it, the open ones are
// brought well below them, so that the best value is as good as it can be.
func (q *quadrature) mustBisect(s sums, tolerance float64) []int {
	tolerance = max(tolerance-s.jitter, 1.05*s.stays, s.jitter/4)
	var open []int
	for i, p := range q.pieces {
		if !p.final {
			open = append(open, i)
		}
	}
	slices.SortStableFunc(open, func(i, j int) int {
		switch {
		case s.doubts[i] > s.doubts[j]:
			return -1
		case s.doubts[i] < s.doubts[j]:
			return 1
		}
		return 0
	})
	rest := s.doubt
	n := 0
	for n < len(open) && rest > tolerance {
		rest -= s.doubts[open[n]]
		n++
	}
	slices.Sort(open[:n])
	return open[:n]
}
