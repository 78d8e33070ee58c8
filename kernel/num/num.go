package num

import (
	"fmt"
	"math"
)

// MaxBlock is the most points a [Func] is asked for at once.
const MaxBlock = 256

// A Func fills dst[i] = f(x[i]). The slices have equal length, at most
// MaxBlock; x may come in any order and must not be changed or kept. A value
// that does not exist is NaN or an infinity in dst, without error; an error
// stops the method, which returns it unchanged.
type Func func(dst, x []float64) error

// Options bound a method. The zero Options are good defaults.
type Options struct {
	AbsTol, RelTol float64      // accepted error; both 0 means RelTol = 1e-10
	MaxEvaluations int          // 0 means the method's own limit, see the package comment
	Stop           func() error // asked before every block; an error stops the method. May be nil
}

// A DivergentError reports that an integral has no finite value, because |f|
// grows like |x − Where|^Exponent with Exponent ≤ −1. This package only measures
// that; a narrow peak of a finite integral may look the same from where it was
// measured. Proven is set by those who have proved it.
type DivergentError struct {
	Where    float64 // the place of the singularity
	Exponent float64 // the measured exponent
	Proven   bool
}

func (e *DivergentError) Error() string {
	return fmt.Sprintf("the integral has no finite value: near %.6g the integrand grows like distance^%.3g", e.Where, e.Exponent)
}

// An UndefinedError reports that the function has no finite value at a place
// where the method needs one.
type UndefinedError struct {
	Where float64 // the place asked for
	Value float64 // what the function gave: NaN or an infinity
}

func (e *UndefinedError) Error() string {
	return fmt.Sprintf("the function has no finite value at %.6g (%g)", e.Where, e.Value)
}

// An UnboundedError reports that the function grows without bound near a place
// inside the range, so that it has no largest or smallest value.
type UnboundedError struct {
	Where float64
	Value float64 // the value at which the search gave up
}

func (e *UnboundedError) Error() string {
	return fmt.Sprintf("the function grows without bound near %.6g (%.3g there)", e.Where, e.Value)
}

// A NoDerivativeError reports that difference quotients around X do not settle, as
// at a kink, a jump or in noise.
type NoDerivativeError struct {
	X                    float64
	Value, ErrorEstimate float64 // the best guess and its error
}

func (e *NoDerivativeError) Error() string {
	return fmt.Sprintf("the slope at %.6g does not settle (%.3g ± %.2g): the function has a kink, a jump or noise there", e.X, e.Value, e.ErrorEstimate)
}

// A RangeError reports that an end of the range is not a finite number.
type RangeError struct{ A, B float64 }

func (e *RangeError) Error() string {
	return fmt.Sprintf("the range from %g to %g has no finite ends", e.A, e.B)
}

// A BudgetError reports that a search needed more evaluations than allowed.
type BudgetError struct{ MaxEvaluations int }

func (e *BudgetError) Error() string {
	return fmt.Sprintf("more than %d evaluations would be needed", e.MaxEvaluations)
}

// ulp is the spacing of float64 at 1.
const ulp = 0x1p-52

// evaluator counts, bounds and interrupts the evaluations of one call.
type evaluator struct {
	f     Func
	stop  func() error
	limit int
	count int
}

func newEvaluator(f Func, o Options, defaultLimit int) *evaluator {
	limit := o.MaxEvaluations
	if limit <= 0 {
		limit = defaultLimit
	}
	return &evaluator{f: f, stop: o.Stop, limit: limit}
}

// fill evaluates f at any number of points, a block at a time.
func (e *evaluator) fill(dst, x []float64) error {
	for len(x) > 0 {
		n := min(len(x), MaxBlock)
		if e.count+n > e.limit {
			return &BudgetError{MaxEvaluations: e.limit}
		}
		if e.stop != nil {
			if err := e.stop(); err != nil {
				return err
			}
		}
		if err := e.f(dst[:n:n], x[:n:n]); err != nil {
			return err
		}
		e.count += n
		dst, x = dst[n:], x[n:]
	}
	return nil
}

// one evaluates f at a single point.
func (e *evaluator) one(x float64) (float64, error) {
	var dst, at [1]float64
	at[0] = x
	err := e.fill(dst[:], at[:])
	return dst[0], err
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// spacing returns the distance from |x| to the next larger float64.
func spacing(x float64) float64 {
	x = math.Abs(x)
	return math.Nextafter(x, math.Inf(1)) - x
}
