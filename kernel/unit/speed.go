package unit

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Speed tells apart two quantities of the dimension 1/s: how fast something
// turns, and how often something happens. A turn is 2π and a cycle is 1, so
// taking one for the other is wrong by 2π although the dimensions agree: SI
// Brochure, 9th ed., 2.3.4, on hertz and radian per second (place from memory).
type Speed int

const (
	AnySpeed Speed = iota // no speed, or one that is not known to be either
	Turning               // rotational speed: rad/s, rpm, rev/min, r/min, deg/s
	Cycling               // frequency: Hz, 1/s, 1/min
)

// SpeedOf says which of the two a unit is written for: AnySpeed unless its
// dimension is 1/s, and for a unit such as m/(m·s) that leaves it open.
func SpeedOf(u Unit) Speed {
	if u.Dim != si(0, 0, -1) {
		return AnySpeed
	}
	p, err := parseProduct(u.Text)
	if err != nil {
		return AnySpeed
	}
	onlyTimes := true
	for _, side := range [][]part{p.above, p.below} {
		for _, f := range side {
			switch e := f.symbol.entry; {
			case angles[e.Name] || strings.HasPrefix(e.Name, "revolution"):
				return Turning
			case e.Name == "hertz" || e.Name == "becquerel":
				return Cycling
			case e.Dim != si(0, 0, 1):
				onlyTimes = false
			}
		}
	}
	if onlyTimes {
		return Cycling
	}
	return AnySpeed
}

// turnRates are the symbols that hold a stroke: the r of r/min, ISO 80000-3:2019,
// 3-17.b (from memory), is a symbol there only, so that r stays free as the name
// of a radius.
var turnRates = []string{"r/min", "r/s"}

// TurnRate returns the length of the unit r/min or r/s that a text begins with,
// 0 if it begins with neither.
func TurnRate(text string) int {
	for _, u := range turnRates {
		rest, found := strings.CutPrefix(text, u)
		if r, _ := utf8.DecodeRuneInString(rest); found && !IsSymbolRune(r) && !unicode.IsDigit(r) && r != '_' && r != '^' {
			return len(u)
		}
	}
	return 0
}
