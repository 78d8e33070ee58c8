package shaft

import (
	"math"

	"shaftbook/kernel/bracket"
)

// An outward reckons with brackets and keeps the first thing that goes wrong,
// after which its results mean nothing.
type outward struct{ err error }

func (o *outward) keep(b bracket.Bracket, err error) bracket.Bracket {
	if err != nil && o.err == nil {
		o.err = err
	}
	return b
}

func (o *outward) sum(x bracket.Bracket, more ...bracket.Bracket) bracket.Bracket {
	for _, y := range more {
		x = o.keep(bracket.Add(x, y))
	}
	return x
}

func (o *outward) product(x bracket.Bracket, more ...bracket.Bracket) bracket.Bracket {
	for _, y := range more {
		x = o.keep(bracket.Mul(x, y))
	}
	return x
}

func (o *outward) sub(x, y bracket.Bracket) bracket.Bracket { return o.keep(bracket.Sub(x, y)) }
func (o *outward) div(x, y bracket.Bracket) bracket.Bracket { return o.keep(bracket.Div(x, y)) }
func (o *outward) sqr(x bracket.Bracket) bracket.Bracket    { return o.keep(bracket.Sqr(x)) }

// point is the bracket of one number.
func point(v float64) bracket.Bracket { return bracket.Bracket{Lo: v, Hi: v} }

// given returns a bracket of the number that an author meant by the float64 v.
// A decimal in a unit such as mm reaches us rounded up to three times: itself,
// the size of its unit, and their product.
func given(v float64) bracket.Bracket {
	return widened(v, 3*0x1p-52*math.Abs(v))
}

// widened returns the bracket v ± by, rounded outward.
func widened(v, by float64) bracket.Bracket {
	if by == 0 {
		return point(v)
	}
	return bracket.Bracket{Lo: math.Nextafter(v-by, math.Inf(-1)), Hi: math.Nextafter(v+by, math.Inf(1))}
}

// signed reports whether all of b has one sign.
func signed(b bracket.Bracket) bool { return b.Lo >= 0 || b.Hi <= 0 }

// size returns the greatest size of a number in b.
func magnitude(b bracket.Bracket) float64 { return max(math.Abs(b.Lo), math.Abs(b.Hi)) }
