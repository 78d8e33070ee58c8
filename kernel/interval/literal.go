package interval

import (
	"math/big"
	"strconv"
	"strings"
)

// Literal returns the tightest bracket of a decimal as written: "0.1" lies
// between two float64 next to each other, "0.5" is one. It takes an optional
// sign, digits with at most one point, and an exponent after e or E. It fails
// with ErrInvalid on anything else, and with ErrOverflow.
func Literal(text string) (Interval, error) {
	if text == "" || strings.Trim(text, "+-.0123456789eE") != "" {
		return Interval{}, &Error{"literal", Interval{}, ErrInvalid}
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil && v == 0 {
		return Interval{}, &Error{"literal", Interval{}, ErrInvalid}
	}
	if err != nil {
		return Interval{}, &Error{"literal", Interval{}, ErrOverflow}
	}
	if v == 0 {
		return tinyLiteral(text), nil
	}
	// The value is in the range of float64, so the rational stays as small as
	// the text is.
	exact, ok := new(big.Rat).SetString(text)
	if !ok {
		return Interval{}, &Error{"literal", Interval{}, ErrInvalid}
	}
	switch exact.Cmp(new(big.Rat).SetFloat64(v)) {
	case -1:
		return Interval{below(v), v}, nil
	case 1:
		return checked("literal", whole(v), v, above(v))
	}
	return whole(v), nil
}

// tinyLiteral is the bracket of a literal that rounds to 0.
func tinyLiteral(text string) Interval {
	digits, _, _ := strings.Cut(strings.ToLower(text), "e")
	switch {
	case !strings.ContainsAny(digits, "123456789"):
		return Interval{}
	case text[0] == '-':
		return Interval{below(0), 0}
	}
	return Interval{0, above(0)}
}
