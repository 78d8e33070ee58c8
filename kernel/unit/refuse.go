package unit

import (
	"fmt"
	"strings"
)

type refusedSymbol struct {
	instead, reason string
	values          []string // what one of it is in units known here; more than one where it is not plain
}

// refused holds the symbols that people write for a unit that is spelled
// otherwise here, or that is not a unit here, with the reason where it is not
// just another spelling.
var refused = map[string]refusedSymbol{
	"sec": {instead: "s"}, "secs": {instead: "s"}, "hr": {instead: "h"}, "hrs": {instead: "h"}, "mins": {instead: "min"},
	"lbs": {instead: "lb"}, "kips": {instead: "kip"}, "inches": {instead: "in"}, "feet": {instead: "ft"},
	"RPM": {instead: "rpm"}, "degs": {instead: "deg"}, "rads": {instead: "rad"}, "percent": {instead: "%"}, "per cent": {instead: "%"}, "pct": {instead: "%"}, "gradi": {instead: "deg"}, "grados": {instead: "deg"}, "radiant": {instead: "rad"}, "radian": {instead: "rad"},
	"cc": {instead: "cm³"}, "micron": {instead: "μm"}, "microns": {instead: "μm"}, "klb": {instead: "kip"}, "klbf": {instead: "kip"},
	"mps": {instead: "m/s"}, "kph": {instead: "km/h"}, "kmh": {instead: "km/h"}, "mph": {instead: "mi/h"}, "fps": {instead: "ft/s"},
	"rps": {instead: "rev/s"}, "turn": {instead: "rev"}, "turns": {instead: "rev"}, "psf": {instead: "lbf/ft²"}, "pcf": {instead: "lb/ft³"}, "sq": {reason: "a square is written with an exponent, as in mm²"}, "square": {reason: "a square is written with an exponent, as in mm²"}, "cubic": {reason: "a cube is written with an exponent, as in mm³"},
	"ksf": {instead: "kip/ft²"},

	"º":  {instead: "°"},
	"˚":  {instead: "°"},
	"NM": {instead: "N·m"}, "kNM": {instead: "kN·m"}, "KNM": {instead: "kN·m"},

	"kgs": {instead: "kg"}, "ppm": {reason: "ppm is not used here; 1 ppm is 0.0001 %", values: []string{"0.0001 %"}},

	"lbm":    {instead: "lb", reason: "lbm is the pound of mass, which is lb"},
	"lbms":   {instead: "lb", reason: "lbm is the pound of mass, which is lb"},
	"arcmin": {instead: "′", reason: "the minute of arc is ′"},
	"arcsec": {instead: "″", reason: "the second of arc is ″"},

	"ftlb": {instead: "lbf·ft", reason: "a torque is a force times a length, and lb is a mass"},
	"lbft": {instead: "lbf·ft", reason: "a torque is a force times a length, and lb is a mass"},
	"inlb": {instead: "lbf·in", reason: "a torque is a force times a length, and lb is a mass"},
	"lbin": {instead: "lbf·in", reason: "a torque is a force times a length, and lb is a mass"},

	"kgf":  {reason: "the kilogram-force is not used with the SI; 1 kgf is 9.80665 N", values: []string{"9.80665 N"}},
	"kp":   {reason: "the kilopond is not used with the SI; 1 kp is 9.80665 N", values: []string{"9.80665 N"}},
	"dyn":  {reason: "the dyne is not used with the SI; 1 dyn is 10 μN", values: []string{"10 μN"}},
	"bar":  {reason: "the bar is not used here; 1 bar is 100 kPa", values: []string{"100 kPa"}},
	"atm":  {reason: "the atmosphere is not used here; 1 atm is 101325 Pa", values: []string{"101325 Pa"}},
	"cal":  {reason: "the calorie is not used with the SI; it has several values near 4.19 J"},
	"BTU":  {reason: "the British thermal unit is not used here; it has several values near 1055 J"},
	"CV":   {reason: "the metric horsepower is not used here; it is 735.49875 W", values: []string{"735.49875 W"}},
	"PS":   {reason: "the metric horsepower (PS) is not used here; it is 735.49875 W", values: []string{"735.49875 W"}},
	"grad": {reason: "grad may be the degree or the gon, the hundredth part of a right angle, which is 0.9 deg", values: []string{"deg", "0.9 deg"}},
	"Grad": {reason: "Grad may be the degree or the gon, the hundredth part of a right angle, which is 0.9 deg", values: []string{"deg", "0.9 deg"}},
	"gal":  {reason: "a gallon is 3.785411784 L in the United States and 4.54609 L in Britain", values: []string{"3.785411784 L", "4.54609 L"}},
	"dB":   {reason: "the decibel measures a level on a logarithmic scale, not a quantity that can be multiplied"},
	"Np":   {reason: "the neper measures a level on a logarithmic scale, not a quantity that can be multiplied"},
	"gon":  {reason: "the gon is not used here; 1 gon is 0.9 deg", values: []string{"0.9 deg"}},

	"°C": {reason: celsius}, "℃": {reason: celsius}, "degC": {reason: celsius}, "Celsius": {reason: celsius},
	"°F": {reason: fahrenheit}, "℉": {reason: fahrenheit}, "degF": {reason: fahrenheit}, "Fahrenheit": {reason: fahrenheit},
}

// refusal finds a refused symbol, in small letters too.
func refusal(text string) (refusedSymbol, bool) {
	if r, ok := refused[text]; ok {
		return r, true
	}
	r, ok := refused[strings.ToLower(text)]
	return r, ok
}

const (
	celsius    = "a temperature scale with an offset cannot be multiplied or divided; use kelvin: t °C is (t + 273.15) K, and a difference of 1 °C is 1 K"
	fahrenheit = "a temperature scale with an offset cannot be multiplied or divided; use kelvin: t °F is (t + 459.67)·5/9 K, and a difference of 1 °F is 5/9 K"
)

// Refuse returns why a symbol is not a unit here, in a sentence
// without its full stop: another spelling is used, or the unit does not fit.
// What to write is the answer of Spelling or Meanings. It returns "" for a unit, and for a symbol
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
	instead, ok := Spelling(text)
	switch {
	case !ok && len(byCase(text)) > 0:
		return fmt.Sprintf("%s may be %s", text, strings.Join(byCase(text), " or "))
	case !ok:
		return ""
	case strings.HasPrefix(text, "u") && strings.HasPrefix(instead, "μ"):
		return "the prefix micro is written μ, not u"
	case strings.Contains(instead, "·"):
		return fmt.Sprintf("the units in %s are joined by a dot", text)
	}
	return fmt.Sprintf("%s is not the symbol of a unit here", text)
}
