package derive

import (
	"math"
	"math/big"
	"strconv"
	"strings"

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
		if n := math.Abs(elementary.Log10(math.Abs(f))); power == 0 && n > 3.5 && math.Abs(n-math.Round(n)) < 1e-12 {
			return strings.Replace(unit.FormatNumber(f, unit.Rounding{}), "1×10", "10", 1), true
		}
		return withPi(r, power), true
	}
	for _, root := range []int{2, 3, 4} {
		power := elementary.Pow(math.Abs(f), float64(root))
		if r, ok := fraction(power); ok && r.Num().CmpAbs(big.NewInt(64)) <= 0 && r.Denom().Cmp(big.NewInt(64)) <= 0 {
			return rootText(r, root, f < 0), true
		}
	}
	return unit.FormatNumber(f, unit.Rounding{}), false
}

// rootText writes a root of a fraction: 2^(1/3).
func rootText(r *big.Rat, root int, negative bool) string {
	text := bracketed(r.RatString()) + "^(1/" + strconv.Itoa(root) + ")"
	if negative {
		return "−" + text
	}
	return text
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
func constantFactor(f float64, above, claim notation.Expr) (string, Slip) {
	text, _ := factorText(f)
	switch {
	case f == -1:
		return "the sign is reversed", WrongSign
	case math.Abs(f-1) < 2e-2:
		if words, ok := isRoundedCoefficient(above, claim, f); ok {
			return "it is off by the factor " + unit.FormatNumber(f, unit.Rounding{Figures: 9}) + ": " + words + "; keep π and fractions until the end", Rounded
		}
	case math.Abs(float64(f*math.Ln10)-1) < 1e-12 || math.Abs(f/math.Ln10-1) < 1e-12:
		return times(text) + ": the natural and the decimal logarithm, ln and log10, were mixed", WrongName
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

func superscript(n int) string { return [...]string{"", "", "²", "³", "⁴"}[n] }
