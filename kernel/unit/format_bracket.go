package unit

import (
	"math"
	"math/big"
)

// FormatBracket writes a bracket, given in SI base units, in the unit u, each
// end rounded outward: "between 0.9321 deg and 1.014 deg". A bracket whose ends
// read the same is written once.
//
// By default at least four figures are shown, and more (up to 15) where the
// bracket is so narrow that rounding outward would widen it by more than a
// fifth. An end that lies within four units in the last place of a decimal of
// that many figures is shown as that decimal, since a decimal as typed is only
// held to about that; the ends shown can be inside the bracket by that much and
// no more.
func FormatBracket(lo, hi float64, u Unit, r Rounding) string {
	x, y := lo/u.Factor, hi/u.Factor
	if !finite(x) || !finite(y) {
		return NotFinite
	}
	figures := r.Figures
	if figures <= 0 {
		figures = bracketFigures(x, y)
	}
	figures = min(figures, maxFigures)
	below := endText(x, figures, r, false)
	above := endText(y, figures, r, true)
	if below == above {
		return attach(below, u)
	}
	return "between " + attach(below, u) + " and " + attach(above, u)
}

// bracketFigures returns the figures at which one unit of the last digit is at
// most a tenth of the width.
func bracketFigures(x, y float64) int {
	const most = 15
	size, width := math.Max(math.Abs(x), math.Abs(y)), y-x
	if !(width > 0) || math.IsInf(width, 0) {
		return most
	}
	needed := math.Floor(math.Log10(size)) - math.Floor(math.Log10(width)) + 2
	return int(min(max(needed, defaultFigures), most))
}

// endText writes one end, rounded down or up.
func endText(v float64, figures int, r Rounding, up bool) string {
	if v == 0 && !r.HasPlaces {
		return "0"
	}
	if s, ok := snap(v, figures); ok && !r.HasPlaces {
		return s
	}
	last := -places(r)
	if !r.HasPlaces {
		d := rounded(v, maxFigures)
		last = len(d.digits) - 1 + d.exponent - figures + 1
	}
	d := outward(v, last, up)
	if r.HasPlaces && math.Abs(v) < wholePure {
		return d.plain()
	}
	return d.text()
}

// snap returns v as a decimal of at most so many figures, if it is within four
// units in the last place of one.
func snap(v float64, figures int) (string, bool) {
	ulp := math.Nextafter(math.Abs(v), math.Inf(1)) - math.Abs(v)
	for n := 1; n <= figures && n <= 15; n++ {
		if d := rounded(v, n); math.Abs(d.float()-v) <= 4*ulp {
			if n > defaultFigures {
				return d.text(), true
			}
			return FormatNumber(d.float(), Rounding{}), true
		}
	}
	return "", false
}

// outward returns the multiple of 10^last next to v, below it or above it. The
// quotient that led to v is within two units in the last place, so v is moved
// outward by two first.
func outward(v float64, last int, up bool) decimal {
	away := math.Inf(-1)
	if up {
		away = math.Inf(1)
	}
	for range 2 {
		v = math.Nextafter(v, away)
	}
	x := new(big.Rat).SetFloat64(v)
	if x == nil { // past the largest float64
		return rounded(math.Copysign(math.MaxFloat64, v), maxFigures)
	}
	x = one().times(exact{rat: big.NewRat(10, 1)}, -last).times(exact{rat: x}, 1).rat
	m := new(big.Int).Div(x.Num(), x.Denom()) // floor, since the denominator is positive
	if up && !x.IsInt() {
		m.Add(m, big.NewInt(1))
	}
	d := readDecimal(m.String())
	d.exponent += last
	return d
}
