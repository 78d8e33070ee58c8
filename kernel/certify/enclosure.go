package certify

import (
	"fmt"
	"math"

	"shaftbook/kernel/interval"
)

// An Enclosure is what is known about an integral, a root or an extreme.
//
// If Certain, the true value lies from Low to High, ends included; that is
// proven, up to the error bounds of package interval. The two may lie far
// apart, and Reason then says what kept them so. If not Certain, Low and High
// are 0, and nothing but Reason is to be relied on.
type Enclosure struct {
	Value     float64 // the middle of the enclosure
	Low, High float64
	Certain   bool
	Reason    Reason // why there is no enclosure, or no narrow one
	Where     float64
	// Evaluations counts the single points, and Work all evaluations: those over
	// intervals and discs too.
	Evaluations, Work int
}

// Interval returns the enclosure as an interval.
func (e Enclosure) Interval() interval.Interval {
	return interval.Interval{Lo: e.Low, Hi: e.High}
}

// Width returns High − Low, rounded up, or +Inf without an enclosure.
func (e Enclosure) Width() float64 {
	if !e.Certain {
		return math.Inf(1)
	}
	return math.Nextafter(e.High-e.Low, math.Inf(1))
}

// Within reports whether the enclosure exists and is no wider than rel times
// its smallest magnitude.
func (e Enclosure) Within(rel float64) bool {
	if !e.Certain {
		return false
	}
	smallest := min(math.Abs(e.Low), math.Abs(e.High))
	if e.Low <= 0 && e.High >= 0 {
		smallest = 0
	}
	return e.High-e.Low <= rel*smallest
}

// A Reason says why a value has no enclosure, or only a wide one.
type Reason uint8

const (
	// NoReason goes with a value that is as narrow as asked for.
	NoReason Reason = iota
	// BudgetSpent: more work would be needed than was allowed.
	BudgetSpent
	// NotBounded: the function could not be bounded near Where.
	NotBounded
	// NoIntervalForm: a part of the function can be evaluated at points only.
	NoIntervalForm
	// NotSettled: the arguments or constants are known too loosely, or the rounding of
	// places is too coarse.
	NotSettled
	// TouchesZero: the function comes so close to zero at Where that whether it
	// is zero there, and how often, cannot be decided.
	TouchesZero
)

// String returns the reason in words that can follow "because".
func (r Reason) String() string {
	switch r {
	case NoReason:
		return "nothing is in doubt"
	case BudgetSpent:
		return "the formula changes too often to be bounded everywhere in the work allowed"
	case NotBounded:
		return "the formula cannot be bounded near one place"
	case NoIntervalForm:
		return "a part of the formula is known at single points only"
	case NotSettled:
		return "the numbers that go in are not known closely enough"
	case TouchesZero:
		return "the formula touches zero, or comes too close to it to be told apart"
	}
	return fmt.Sprintf("reason %d", uint8(r))
}

// A DivergentError says that an integral has no finite value: near Where the
// integrand keeps its sign and is at least a constant times the distance to the
// power Exponent, and Exponent ≤ −1. Where is ±Inf if it is a constant times
// |x|^Exponent far out, and Exponent ≥ −1. It is proven.
type DivergentError struct {
	Where    float64
	Exponent float64
}

func (e *DivergentError) Error() string {
	if math.IsInf(e.Where, 0) {
		return fmt.Sprintf("the integral has no finite value: far out the integrand goes like x^%.3g", e.Exponent)
	}
	return fmt.Sprintf("the integral has no finite value: near %.6g the integrand grows like distance^%.3g", e.Where, e.Exponent)
}

// stopEvery is the number of evaluations between two calls of Options.Stop; with a long
// body about half a millisecond.
const stopEvery = 100

// Options bound a method. The zero Options are good defaults.
type Options struct {
	// Work is the most evaluations of any kind; 0 means DefaultWork.
	Work int
	// Stop is asked every stopEvery evaluations; an error stops the method. May be nil.
	Stop func() error
}

// DefaultWork is the work that a method may do unless Options say otherwise.
const DefaultWork = 60_000

func (o Options) work() int {
	if o.Work <= 0 {
		return DefaultWork
	}
	return o.Work
}
