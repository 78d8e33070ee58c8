package typeset

import (
	"strings"

	"shaftbook/kernel/notation"
)

// unitWords are the spoken names of unit symbols without a prefix, one and
// many.
var unitWords = map[string][2]string{
	"m": {"metre", "metres"}, "g": {"gram", "grams"}, "s": {"second", "seconds"}, "A": {"ampere", "amperes"},
	"K": {"kelvin", "kelvins"}, "mol": {"mole", "moles"}, "cd": {"candela", "candelas"},
	"N": {"newton", "newtons"}, "Pa": {"pascal", "pascals"}, "J": {"joule", "joules"}, "W": {"watt", "watts"},
	"Hz": {"hertz", "hertz"}, "rad": {"radian", "radians"}, "deg": {"degree", "degrees"}, "°": {"degree", "degrees"},
	"min": {"minute", "minutes"}, "h": {"hour", "hours"}, "d": {"day", "days"}, "t": {"tonne", "tonnes"},
	"L": {"litre", "litres"}, "bar": {"bar", "bars"}, "rev": {"revolution", "revolutions"},
	"rpm": {"revolution per minute", "revolutions per minute"}, "%": {"per cent", "per cent"},
	"in": {"inch", "inches"}, "ft": {"foot", "feet"}, "yd": {"yard", "yards"}, "mi": {"mile", "miles"},
	"lb": {"pound", "pounds"}, "lbf": {"pound-force", "pounds-force"}, "kip": {"kip", "kips"},
	"psi": {"pound per square inch", "pounds per square inch"}, "ksi": {"kip per square inch", "kips per square inch"},
	"hp": {"horsepower", "horsepower"}, "kgf": {"kilogram-force", "kilograms-force"}, "turn": {"turn", "turns"},
}

// prefixWords are the spoken SI prefixes (SI Brochure, 9th ed., table 7).
var prefixWords = map[string]string{"p": "pico", "n": "nano", "µ": "micro", "μ": "micro", "u": "micro", "m": "milli",
	"c": "centi", "d": "deci", "da": "deca", "h": "hecto", "k": "kilo", "M": "mega", "G": "giga", "T": "tera"}

// symbolWords returns the spoken name of a unit symbol; a symbol that is not
// known is read as it is.
func symbolWords(symbol string) [2]string {
	if words, ok := unitWords[symbol]; ok {
		return words
	}
	for prefix, spoken := range prefixWords {
		rest, ok := strings.CutPrefix(symbol, prefix)
		if !ok {
			continue
		}
		if words, ok := unitWords[rest]; ok {
			return [2]string{spoken + words[0], spoken + words[1]}
		}
	}
	return [2]string{symbol, symbol}
}

// unitSpoken reads a unit: "newton metres", "kilograms per cubic metre",
// "millimetres to the fourth". many chooses the plural, which falls on the
// last unit before the slash.
func unitSpoken(written string, many bool) string {
	factors := unitFactors(written)
	last := 0
	for i, f := range factors {
		if !f.divides {
			last = i
		}
	}
	var out []string
	for i, f := range factors {
		if f.divides && (i == 0 || !factors[i-1].divides) {
			out = append(out, "per")
		}
		words := symbolWords(f.symbol)
		name := words[0]
		if many && i == last && !f.divides {
			name = words[1]
		}
		out = append(out, powerOfUnit(name, f.exponent))
	}
	return strings.Join(out, " ")
}

func powerOfUnit(name, exponent string) string {
	switch exponent {
	case "":
		return name
	case "2":
		return "square " + name
	case "3":
		return "cubic " + name
	case "4":
		return name + " to the fourth"
	}
	return name + " to the power " + strings.ReplaceAll(exponent, "-", "minus ")
}

// numberSpoken reads a number: "3.2 times 10 to the minus 5".
func numberSpoken(written string) string {
	if rest, ok := strings.CutPrefix(strings.ReplaceAll(written, "−", "-"), "-"); ok {
		return "minus " + numberSpoken(rest)
	}
	mantissa, exponent, ok := splitExponent(written)
	if !ok {
		return written
	}
	exponent = strings.ReplaceAll(strings.TrimPrefix(exponent, "+"), "-", "minus ")
	return mantissa + " times 10 to the " + exponent
}

func quantitySpoken(e *notation.Quantity) string {
	if e.Number == nil || e.Unit == nil {
		return e.Span().Content()
	}
	return numberSpoken(e.Number.Text) + " " + unitSpoken(e.Unit.Text, e.Number.Value != 1)
}
