package unit

import (
	"math"
	"math/big"
	"strconv"
	"strings"

	"shaftbook/kernel/elementary"
)

const (
	bracketFiguresMost = 15 // a decimal of so many figures is restored from its float64
	endSlack           = 4  // units in the last place by which an end may be shown inward
)

// FormatBracket writes a bracket, given in SI base units, in the unit u, each
// end rounded outward: "between 0.9321 deg and 1.014 deg". A bracket whose ends
// read the same is written once.
//
// By default at least four figures are shown, and more (up to 15) where the
// bracket is so narrow that rounding outward would widen it by more than a
// fifth. An end that lies within four units in the last place of the nearest
// decimal is shown as that decimal, since a number as typed, and the quotient
// lo/u.Factor, are only held to about that; an end shown can be inside the
// bracket by that much and no more.
func FormatBracket(lo, hi float64, u Unit, r Rounding) string {
	x, y := lo/u.Factor, hi/u.Factor
	if !finite(x) || !finite(y) {
		return NotFinite
	}
	figures := r.Figures
	if figures <= 0 {
		figures = bracketFigures(x, y)
	}
	figures = min(figures, bracketFiguresMost)
	below := endText(x, figures, r, -1)
	above := endText(y, figures, r, 1)
	if below == above {
		return attach(below, u)
	}
	return "between " + attach(below, u) + " and " + attach(above, u)
}

// bracketFigures returns the figures at which one unit of the last digit is at
// most a tenth of the width.
func bracketFigures(x, y float64) int {
	size, width := math.Max(math.Abs(x), math.Abs(y)), y-x
	if !(width > 0) || math.IsInf(width, 0) {
		return bracketFiguresMost
	}
	needed := math.Floor(elementary.Log10(size)) - math.Floor(elementary.Log10(width)) + 2
	return int(min(max(needed, defaultFigures), bracketFiguresMost))
}

// endText writes one end, rounded down (outward −1) or up (outward +1).
func endText(v float64, figures int, r Rounding, outward int64) string {
	fixed := r.HasPlaces && math.Abs(v) < wholePure
	if v == 0 && !fixed {
		return "0"
	}
	d := rounded(v, figures)
	if fixed {
		d = readDecimal(RoundText(v, 'f', places(r)))
	}
	off := d.ulpsFrom(v)
	if outward < 0 {
		off.Neg(off)
	}
	switch {
	case off.Cmp(big.NewRat(-endSlack, 1)) < 0:
		d = d.step(outward)
	case off.Cmp(big.NewRat(endSlack, 1)) <= 0 && !r.HasPlaces && r.Figures <= 0:
		return d.short()
	}
	if fixed {
		return d.plain()
	}
	return d.text()
}

// ulpsFrom returns d − v in units of v's last place, exactly: a float64 of d
// would itself be off by up to half of one.
func (d decimal) ulpsFrom(v float64) *big.Rat {
	size := math.Abs(v)
	ulp := math.Nextafter(size, math.Inf(1)) - size
	if math.IsInf(ulp, 1) {
		ulp = size - math.Nextafter(size, 0)
	}
	off, _ := new(big.Rat).SetString(d.digits + "e" + strconv.Itoa(d.exponent))
	if d.negative {
		off.Neg(off)
	}
	off.Sub(off, new(big.Rat).SetFloat64(v))
	return off.Quo(off, new(big.Rat).SetFloat64(ulp))
}

// step moves d by one unit of its last digit.
func (d decimal) step(by int64) decimal {
	n, err := strconv.ParseInt(d.digits, 10, 64)
	if err != nil {
		return d // more digits than any float64 can be off by
	}
	if d.negative {
		n = -n
	}
	moved := readDecimal(strconv.FormatInt(n+by, 10))
	moved.exponent += d.exponent
	return moved
}

// short writes d without trailing zeros, as FormatNumber does.
func (d decimal) short() string {
	trimmed := strings.TrimRight(d.digits, "0")
	if len(trimmed) <= defaultFigures {
		return FormatNumber(d.float(), Rounding{})
	}
	d.exponent += len(d.digits) - len(trimmed)
	d.digits = trimmed
	return d.text()
}
