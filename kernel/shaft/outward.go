package shaft

import (
	"math"

	"shaftbook/kernel/interval"
)

// An outward reckons with brackets and keeps the first thing that goes wrong,
// after which its results mean nothing.
type outward struct {
	err error
	off float64 // how far the numbers of the Spec may be from what is meant, as a share of them
}

func (o *outward) keep(b interval.Interval, err error) interval.Interval {
	if err != nil && o.err == nil {
		o.err = err
	}
	return b
}

func (o *outward) sum(x interval.Interval, more ...interval.Interval) interval.Interval {
	for _, y := range more {
		x = o.keep(interval.Add(x, y))
	}
	return x
}

func (o *outward) product(x interval.Interval, more ...interval.Interval) interval.Interval {
	for _, y := range more {
		x = o.keep(interval.Mul(x, y))
	}
	return x
}

func (o *outward) add(x, y interval.Interval) interval.Interval { return o.keep(interval.Add(x, y)) }
func (o *outward) mul(x, y interval.Interval) interval.Interval { return o.keep(interval.Mul(x, y)) }
func (o *outward) sub(x, y interval.Interval) interval.Interval { return o.keep(interval.Sub(x, y)) }
func (o *outward) div(x, y interval.Interval) interval.Interval { return o.keep(interval.Div(x, y)) }
func (o *outward) sqr(x interval.Interval) interval.Interval    { return o.keep(interval.Sqr(x)) }

// point is the bracket of one number.
func point(v float64) interval.Interval { return interval.Interval{Lo: v, Hi: v} }

// readError is the relative error of a decimal in a unit such as mm, which
// reaches us rounded up to three times: itself, the size of its unit, and their
// product.
const readError = 3 * 0x1p-52

// given returns a bracket of the number that an author meant by the float64 v.
func (o *outward) given(v float64) interval.Interval {
	return widened(v, float64(max(o.off, readError)*math.Abs(v)))
}

// widened returns the bracket v ± by, rounded outward.
func widened(v, by float64) interval.Interval {
	if by == 0 {
		return point(v)
	}
	return interval.Interval{Lo: math.Nextafter(v-by, math.Inf(-1)), Hi: math.Nextafter(v+by, math.Inf(1))}
}

// signed reports whether all of b has one sign.
func signed(b interval.Interval) bool { return b.Lo >= 0 || b.Hi <= 0 }

// size returns the greatest size of a number in b.
func magnitude(b interval.Interval) float64 { return max(math.Abs(b.Lo), math.Abs(b.Hi)) }
