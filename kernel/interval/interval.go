package interval

import (
	"errors"
	"fmt"
	"math"
)

// A Interval holds every number from Lo to Hi. Lo ≤ Hi, and both are finite.
// The zero Bracket is the number 0.
type Interval struct{ Lo, Hi float64 }

// What can go wrong with a bracket; test with errors.Is.
var (
	ErrDivideByZero = errors.New("the divisor may be 0")
	ErrDomain       = errors.New("the function is not defined on all of the bracket")
	ErrOverflow     = errors.New("the result is too large to be held")
	ErrInvalid      = errors.New("the ends do not make a bracket")
)

// An Error reports which operation failed on which operand. Err is one of the
// errors above.
type Error struct {
	Op      string   // as a reader would say it: "division", "ln"
	Operand Interval // the divisor, or the argument of the function
	Err     error
}

func (e *Error) Error() string { return fmt.Sprintf("%s of %v: %v", e.Op, e.Operand, e.Err) }

// Unwrap returns the error behind e.
func (e *Error) Unwrap() error { return e.Err }

// New returns the bracket from lo to hi. It fails with ErrInvalid if lo > hi or
// an end is not finite.
func New(lo, hi float64) (Interval, error) {
	b := Interval{lo, hi}
	if !(lo <= hi) || !finite(lo) || !finite(hi) {
		return Interval{}, &Error{"bracket", b, ErrInvalid}
	}
	return b, nil
}

// Point returns the bracket that holds v alone. It fails with ErrInvalid if v
// is not finite.
func Point(v float64) (Interval, error) { return New(v, v) }

// whole returns the bracket of a number known to be finite.
func whole(v float64) Interval { return Interval{v, v} }

// Pi is the tightest bracket of π.
var Pi = Interval{math.Pi, math.Nextafter(math.Pi, 4)}

// String returns "between 0.1 and 0.2", or the number for a point.
func (b Interval) String() string {
	if b.IsPoint() {
		return fmt.Sprintf("%v", b.Lo)
	}
	return fmt.Sprintf("between %v and %v", b.Lo, b.Hi)
}

// IsPoint reports whether b holds one number only.
func (b Interval) IsPoint() bool { return b.Lo == b.Hi }

// Contains reports whether v lies in b, ends included. No bracket contains NaN.
func (b Interval) Contains(v float64) bool { return b.Lo <= v && v <= b.Hi }

// Encloses reports whether all of c lies in b.
func (b Interval) Encloses(c Interval) bool { return b.Lo <= c.Lo && c.Hi <= b.Hi }

// Mid returns the float64 nearest to the middle of b, or a neighbour of it; it
// lies in b.
func (b Interval) Mid() float64 {
	if m := (b.Lo + b.Hi) / 2; finite(m) {
		return min(max(m, b.Lo), b.Hi)
	}
	return float64(b.Lo/2) + float64(b.Hi/2)
}

// Width returns Hi − Lo, rounded up. It fails with ErrOverflow if that is past
// the largest float64.
func (b Interval) Width() (float64, error) {
	w := addUp(b.Hi, -b.Lo)
	if !finite(w) {
		return 0, &Error{"width", b, ErrOverflow}
	}
	return w, nil
}

// Hull returns the smallest bracket that holds both.
func Hull(x, y Interval) Interval { return Interval{min(x.Lo, y.Lo), max(x.Hi, y.Hi)} }

// Intersect returns what x and y have in common; ok is false if that is nothing.
func Intersect(x, y Interval) (b Interval, ok bool) {
	b = Interval{max(x.Lo, y.Lo), min(x.Hi, y.Hi)}
	if b.Lo > b.Hi {
		return Interval{}, false
	}
	return b, true
}

// checked returns the bracket of two computed ends, which are NaN or infinite
// only where a value on the way was too large.
func checked(op string, operand Interval, lo, hi float64) (Interval, error) {
	if lo >= -math.MaxFloat64 && hi <= math.MaxFloat64 && lo <= hi {
		return Interval{lo, hi}, nil
	}
	return Interval{}, &Error{op, operand, ErrOverflow}
}

// finite is also right for a product, which must not be fused into the
// difference.
func finite(v float64) bool { return float64(v)-float64(v) == 0 }
