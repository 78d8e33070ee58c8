package num

import (
	"container/heap"
	"errors"
	"fmt"
	"math"
)

// An Integral is the value of an integral with what is known about it.
type Integral struct {
	Value         float64
	ErrorEstimate float64 // the true error is expected to be no larger
	Evaluations   int
	Method        string // what was used, for people
}

// A NotConvergedError says that the tolerance was not reached. Best is the
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
	return fmt.Sprintf("the integral is known only as %.6g ± %.2g; most of the doubt lies near %g: %s",
		e.Best.Value, e.Best.ErrorEstimate, e.Where, why)
}

// Unwrap returns the cause.
func (e *NotConvergedError) Unwrap() error { return e.Cause }

const (
	methodKronrod = "adaptive Gauss–Kronrod 7–15"
	methodEnds    = "adaptive Gauss–Kronrod 7–15 with a rule for singular ends"

	defaultRelTol       = 1e-10
	integrateEvaluation = 200_000

	pileDepth   = 7  // bisections towards one point before it is looked at
	pileSlow    = 4  // of which so many lowered the error by less than smooth
	endTries    = 3  // times the rules for singular ends are tried on a way down
	poleDepth   = 14 // bisections before a point inside is searched for a pole
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
		absTol:    max(o.AbsTol, 0), relTol: max(o.RelTol, 0),
	}
	return q.run(a, b)
}

// A piece is a part of the range with its share of the integral.
type piece struct {
	lo, hi float64
	estimate
	before       estimate // of the piece it is a half of
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

	open     worstFirst // pieces that may be bisected
	done     []piece    // pieces that gain nothing from bisection
	usedEnds bool
}

func (q *quadrature) run(a, b float64) (Integral, error) {
	err := q.add([]piece{{lo: a, hi: b}})
	if err == nil && len(q.open) == 1 && q.open[0].flat {
		err = q.quarter(a, b)
	}
	for err == nil {
		value, doubt, abs, jitter := q.totals()
		if !finite(value) || !finite(abs) {
			return Integral{}, &UndefinedError{Where: q.worstPlace(), Value: value}
		}
		tolerance := q.tolerance(value, abs)
		if doubt+jitter <= tolerance {
			return q.result(value, doubt+jitter), nil
		}
		batch := q.mustBisect(doubt, tolerance, jitter)
		if len(batch) == 0 {
			return Integral{}, &NotConvergedError{Best: q.result(value, doubt+jitter), Where: q.worstPlace()}
		}
		err = q.refine(batch, tolerance, abs/(b-a))
	}
	if budget := (*BudgetError)(nil); errors.As(err, &budget) {
		value, doubt, _, jitter := q.totals()
		return Integral{}, &NotConvergedError{Best: q.result(value, doubt+jitter), Where: q.worstPlace(), Cause: budget}
	}
	return Integral{}, err
}

// tolerance returns the error that is accepted for a value.
func (q *quadrature) tolerance(value, abs float64) float64 {
	return max(q.absTol, q.relTol*math.Abs(value), 60*ulp*abs)
}

// totals adds up the pieces. jitter is what the rounding of places can change:
// in a panel where f swings by s, a place off by the spacing of numbers there
// changes the panel by s·spacing at most and by a twelfth of that in the mean,
// since the 15 places are rounded independently; so are panels, and their
// squares add. Two standard deviations are returned. They matter only for
// peaks that are a millionth of their place wide, or less.
func (q *quadrature) totals() (value, doubt, abs, jitter float64) {
	var carry, squares float64
	add := func(p piece) {
		// Compensated summation (Neumaier 1974): many small pieces must not
		// cost digits that their error estimates do not account for.
		sum := value + p.value
		if math.Abs(value) >= math.Abs(p.value) {
			carry += value - sum + p.value
		} else {
			carry += p.value - sum + value
		}
		value = sum
		doubt += p.err
		abs += p.abs
		moved := p.swing * max(spacing(p.lo), spacing(p.hi))
		squares += moved * moved
	}
	for _, p := range q.done {
		add(p)
	}
	for _, p := range q.open {
		add(p)
	}
	return value + carry, doubt, abs, math.Sqrt(squares) / 6
}

func (q *quadrature) result(value, doubt float64) Integral {
	method := methodKronrod
	if q.usedEnds {
		method = methodEnds
	}
	return Integral{Value: value, ErrorEstimate: doubt, Evaluations: q.count, Method: method}
}

// worstPlace returns the middle of the piece with the largest error.
func (q *quadrature) worstPlace() float64 {
	var worst piece
	for _, list := range [][]piece{q.open, q.done} {
		for _, p := range list {
			if worst.lo == worst.hi || p.err > worst.err {
				worst = p
			}
		}
	}
	return worst.lo/2 + worst.hi/2
}

// mustBisect takes from the heap the pieces that any worst-first bisection
// would have to bisect: the worst ones, until the rest could be within the
// tolerance. Where final pieces alone exceed it, the open ones are brought
// well below them, so that the best value is as good as it can be.
func (q *quadrature) mustBisect(doubt, tolerance, jitter float64) []piece {
	stays := 0.0
	for _, p := range q.done {
		stays += p.err
	}
	tolerance = max(tolerance-jitter, 1.05*stays, jitter/4)
	var batch []piece
	for len(q.open) > 0 && doubt > tolerance {
		p := heap.Pop(&q.open).(piece)
		doubt -= p.err
		batch = append(batch, p)
	}
	return batch
}

// worstFirst is a heap with the largest error on top.
type worstFirst []piece

func (w worstFirst) Len() int           { return len(w) }
func (w worstFirst) Less(i, j int) bool { return w[i].err > w[j].err }
func (w worstFirst) Swap(i, j int)      { w[i], w[j] = w[j], w[i] }
func (w *worstFirst) Push(p any)        { *w = append(*w, p.(piece)) }
func (w *worstFirst) Pop() any {
	last := (*w)[len(*w)-1]
	*w = (*w)[:len(*w)-1]
	return last
}
