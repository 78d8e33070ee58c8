package unit

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

type refusedSymbol struct{ instead, reason string }

// refused holds the symbols that people write for a unit that is spelled
// otherwise here, or that is not a unit here, with the reason where it is not
// just another spelling.
var refused = map[string]refusedSymbol{
	"sec": {"s", ""}, "secs": {"s", ""}, "hr": {"h", ""}, "hrs": {"h", ""}, "mins": {"min", ""},
	"lbs": {"lb", ""}, "kips": {"kip", ""}, "inches": {"in", ""}, "feet": {"ft", ""},
	"RPM": {"rpm", ""}, "degs": {"deg", ""}, "rads": {"rad", ""}, "percent": {"%", ""},
	"cc": {"cm³", ""}, "micron": {"μm", ""}, "microns": {"μm", ""}, "klb": {"kip", ""}, "klbf": {"kip", ""},
	"mps": {"m/s", ""}, "kph": {"km/h", ""}, "kmh": {"km/h", ""}, "mph": {"mi/h", ""}, "fps": {"ft/s", ""},
	"rps": {"rev/s", ""}, "psf": {"lbf/ft²", ""}, "pcf": {"lb/ft³", ""}, "sq": {"", "a square is written with an exponent, as in mm²"},

	"ftlb": {"lbf·ft", "a torque is a force times a length, and lb is a mass"},
	"lbft": {"lbf·ft", "a torque is a force times a length, and lb is a mass"},
	"inlb": {"lbf·in", "a torque is a force times a length, and lb is a mass"},
	"lbin": {"lbf·in", "a torque is a force times a length, and lb is a mass"},

	"kgf": {"", "the kilogram-force is not used with the SI; 1 kgf is 9.80665 N"},
	"kp":  {"", "the kilopond is not used with the SI; 1 kp is 9.80665 N"},
	"dyn": {"", "the dyne is not used with the SI; 1 dyn is 10 μN"},
	"bar": {"", "the bar is not used here; 1 bar is 100 kPa"},
	"atm": {"", "the atmosphere is not used here; 1 atm is 101325 Pa"},
	"cal": {"", "the calorie is not used with the SI; it has several values near 4.19 J"},
	"BTU": {"", "the British thermal unit is not used here; it has several values near 1055 J"},
	"CV":  {"", "the metric horsepower is not used here; it is 735.49875 W"},
	"dB":  {"", "the decibel measures a level on a logarithmic scale, not a quantity that can be multiplied"},
	"Np":  {"", "the neper measures a level on a logarithmic scale, not a quantity that can be multiplied"},
	"gon": {"", "the gon is not used here; 1 gon is 0.9 deg"},

	"°C": {"K", celsius}, "℃": {"K", celsius}, "degC": {"K", celsius}, "Celsius": {"K", celsius},
	"°F": {"K", celsius}, "℉": {"K", celsius}, "degF": {"K", celsius}, "Fahrenheit": {"K", celsius},
}

// refusal finds a refused symbol, in small letters too.
func refusal(text string) (refusedSymbol, bool) {
	if r, ok := refused[text]; ok {
		return r, true
	}
	r, ok := refused[strings.ToLower(text)]
	return r, ok
}

const celsius = "a temperature scale with an offset cannot be multiplied or divided; use kelvin, and for a difference of temperatures 1 °C is 1 K"

// Refuse returns why a symbol is not a unit here, in a sentence
// without its full stop: another spelling is used, or the unit does not fit.
// What to write is Instead's answer. It returns "" for a unit, and for a symbol
// it has no entry for; Nearest may then help.
func Refuse(text string) string {
	if find(text) != nil {
		return ""
	}
	if r, ok := refusal(text); ok && r.reason != "" {
		return r.reason
	}
	for _, p := range Prefixes {
		if text == p.Symbol {
			return fmt.Sprintf("%s alone is a prefix (%s), not a unit", text, p.Name)
		}
	}
	instead, ok := Instead(text)
	switch {
	case !ok:
		return ""
	case strings.HasPrefix(text, "u") && strings.HasPrefix(instead, "μ"):
		return "the prefix micro is written μ, not u"
	case strings.Contains(instead, "·"):
		return fmt.Sprintf("the units in %s are joined by a dot", text)
	}
	return fmt.Sprintf("%s is not the symbol of a unit here", text)
}

// Instead returns the unit to write in place of a symbol that is not a unit
// here, where one is plainly meant: "sec" → "s", "Nm" → "N·m", "um" → "μm",
// "millimetres" → "mm".
func Instead(text string) (symbol string, ok bool) {
	if len(text) > maxText || find(text) != nil {
		return "", false
	}
	if r, ok := refusal(text); ok {
		return r.instead, r.instead != ""
	}
	if rest, found := strings.CutPrefix(text, "u"); found && find("μ"+rest) != nil {
		return "μ" + rest, true
	}
	if s, ok := spelledOut(text); ok {
		return s, true
	}
	return joined(text)
}

// spelledOut reads a unit by its name: newton, millimetres, kilograms.
func spelledOut(text string) (string, bool) {
	name := strings.ToLower(text)
	for _, ending := range []string{"", "s"} {
		singular, found := strings.CutSuffix(name, ending)
		if !found {
			continue
		}
		singular = strings.NewReplacer("meter", "metre", "liter", "litre").Replace(singular)
		for i := range table {
			e := &table[i]
			before, found := strings.CutSuffix(singular, e.Name)
			if !found {
				continue
			}
			if before == "" {
				return e.Symbols[0], true
			}
			for _, p := range Prefixes {
				if p.Name == before && e.takes(p) {
					return p.Symbol + e.Symbols[0], true
				}
			}
		}
	}
	return "", false
}

// joined splits a run of two symbols, which may be written with a stop, a
// hyphen or nothing between them, into a product: kNm, N.m, ft-lbf.
func joined(text string) (string, bool) {
	for i := range text {
		first, rest := text[:i], text[i:]
		if r, size := utf8.DecodeRuneInString(rest); r == '.' || r == '-' {
			rest = rest[size:]
		}
		if a, b := find(first), find(rest); a != nil && b != nil && len(first) > 0 {
			return a.text + "·" + b.text, true
		}
	}
	return "", false
}
