package derive

import (
	"math"
	"math/big"
	"strconv"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// factorText writes a factor as a reader would: a fraction, perhaps times or
// over π or π². ok is false for a number that is none of these.
func factorText(f float64) (text string, ok bool) {
	for _, power := range []int{0, 1, -1, 2, -2} {
		r, ok := fraction(f / elementary.Pow(math.Pi, float64(power)))
		if !ok || power != 0 && (r.Num().CmpAbs(big.NewInt(720)) > 0 || r.Denom().Cmp(big.NewInt(720)) > 0) {
			continue
		}
		return withPi(r, power), true
	}
	return unit.FormatNumber(f, unit.Rounding{}), false
}

// fraction finds the fraction with a small denominator that f is, to 11 digits,
// by continued fractions.
func fraction(f float64) (*big.Rat, bool) {
	if f == 0 || math.Abs(f) > 1e13 || math.Abs(f) < 1e-13 {
		return nil, false
	}
	if math.Abs(f) < 1e-3 {
		if r, ok := fraction(1 / f); ok && r.IsInt() {
			return r.Inv(r), true
		}
	}
	x := math.Abs(f)
	p0, q0, p1, q1 := 0.0, 1.0, 1.0, 0.0
	rest := x
	for range 12 {
		a := math.Floor(rest + 1e-9)
		p0, p1 = p1, float64(a*p1)+p0
		q0, q1 = q1, float64(a*q1)+q0
		if q1 > 2000 {
			return nil, false
		}
		if math.Abs(p1/q1-x) <= 1e-11*x {
			r := big.NewRat(int64(p1), int64(q1))
			if f < 0 {
				r.Neg(r)
			}
			return r, true
		}
		if rest == a {
			return nil, false
		}
		rest = 1 / (rest - a)
	}
	return nil, false
}

func withPi(r *big.Rat, power int) string {
	if power == 0 {
		return signed(r.RatString())
	}
	symbol := "π"
	if power == 2 || power == -2 {
		symbol = "π²"
	}
	num, den := r.Num().String(), r.Denom().String()
	if power > 0 {
		if num == "1" || num == "-1" {
			num = num[:len(num)-1] + symbol
		} else {
			num += "·" + symbol
		}
	} else if den == "1" {
		den = symbol
	} else {
		den = "(" + den + "·" + symbol + ")"
	}
	if den == "1" {
		return signed(num)
	}
	return signed(num + "/" + den)
}

func signed(text string) string {
	if text[0] == '-' {
		return "−" + text[1:]
	}
	return text
}

// constantFactor explains a step that is off by one factor everywhere.
func constantFactor(f float64, a, b, fullA notation.Expr) (string, Slip) {
	text, known := factorText(f)
	fewer := len(binds(a, notation.Integral)) > len(binds(b, notation.Integral))
	switch {
	case f == -1 && fewer:
		return "the sign is reversed: the limits were swapped, or a minus sign was lost", SwappedLimits
	case f == -1 && len(binds(a, notation.Integral)) > 0 && limitsSwapped(a, b):
		return "the limits of the integral were swapped, which reverses the sign", SwappedLimits
	case f == -1:
		return "the sign is reversed", WrongSign
	case math.Abs(f-1) < 2e-2 && (!known || len([]rune(text)) > 7):
		return "it is off by the factor " + unit.FormatNumber(f, unit.Rounding{Figures: 9}) + ", which looks like rounding: keep π and fractions until the end", Rounded
	case isPowerOfThousand(f):
		return times(text) + ": units were not converted, as millimetres for metres", WrongFactor
	case text == "180/π" || text == "π/180" || text == "32400/π²" || text == "π²/32400":
		return times(text) + ": degrees and radians were mixed", WrongAngle
	case math.Abs(float64(f*math.Ln10)-1) < 1e-12 || math.Abs(f/math.Ln10-1) < 1e-12:
		return times(text) + ": the natural and the decimal logarithm, ln and log10, were mixed", WrongName
	case text == "π/30" || text == "30/π":
		return times(text) + ": revolutions per minute and radians per second were mixed", WrongAngle
	}
	if exponent, name, ok := radiusPower(f, a, b, fullA); ok {
		return times(text) + ": radius and diameter were mixed, since (d/2)" + superscript(exponent) + " and d" + superscript(exponent) +
			" differ by " + strconv.Itoa(1<<exponent) + " (see " + name + ")", RadiusSlip
	}
	if r, ok := fraction(f); ok && fewer && r.IsInt() && r.Num().CmpAbs(big.NewInt(12)) <= 0 && r.Sign() > 0 {
		return times(text) + ": after integrating, divide by the new exponent", WrongFactor
	}
	return times(text), WrongFactor
}

func times(text string) string {
	if share := shareWords[text]; share != "" {
		return "this line is " + share + " the line above"
	}
	return "this line is " + text + " times the line above"
}

// shareWords are the factors that are read as a share.
var shareWords = map[string]string{
	"1/2": "half of", "1/3": "one third of", "2/3": "two thirds of", "1/4": "a quarter of", "3/4": "three quarters of",
	"1/8": "one eighth of", "1/16": "one sixteenth of", "1/32": "one thirty-second of",
}

func isPowerOfThousand(f float64) bool {
	n := elementary.Log10(math.Abs(f)) / 3
	return f > 0 && math.Abs(n) > 0.5 && math.Abs(n-math.Round(n)) < 1e-12
}

func superscript(n int) string { return [...]string{"", "", "²", "³", "⁴"}[n] }

// radiusPower reports whether a factor is what a half or a double in a third or
// fourth power would make, and such a power is in either line.
func radiusPower(f float64, lines ...notation.Expr) (exponent int, name string, ok bool) {
	l := math.Abs(elementary.Log2(math.Abs(f)))
	exponent = int(math.Round(l))
	if f <= 0 || math.Abs(l-math.Round(l)) > 1e-9 || exponent < 3 || exponent > 4 {
		return 0, "", false
	}
	for _, e := range lines {
		powers := find(e, func(p *notation.Binary) bool {
			n, isNumber := notation.Unparen(p.Y).(*notation.Number)
			return p.Op == notation.OpPow && isNumber && math.Abs(n.Value) == float64(exponent) && len(notation.FreeNames(p.X)) > 0
		})
		if len(powers) > 0 {
			return exponent, notation.Print(powers[0]), true
		}
	}
	return 0, "", false
}

// limitsSwapped reports whether an integral of b has the limits of one of a
// the other way round.
func limitsSwapped(a, b notation.Expr) bool {
	for _, x := range binds(a, notation.Integral) {
		for _, y := range binds(b, notation.Integral) {
			if notation.Print(x.From) == notation.Print(y.To) && notation.Print(x.To) == notation.Print(y.From) {
				return true
			}
		}
	}
	return false
}
