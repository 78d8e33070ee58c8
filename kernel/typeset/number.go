package typeset

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// numberBox sets a number as written; 3.2e-5 becomes 3.2 × 10⁻⁵.
func numberBox(written string) box.Box {
	if rest, ok := strings.CutPrefix(written, "-"); ok {
		return box.Row{box.Op{Sign: "−", Form: box.Prefix}, numberBox(rest)}
	}
	if rest, ok := strings.CutPrefix(written, "−"); ok {
		return box.Row{box.Op{Sign: "−", Form: box.Prefix}, numberBox(rest)}
	}
	mantissa, exponent, ok := splitExponent(written)
	if !ok {
		return box.Digits(written)
	}
	var power box.Box = box.Digits(strings.TrimLeft(exponent, "+-"))
	if strings.HasPrefix(exponent, "-") {
		power = box.Row{box.Op{Sign: "−", Form: box.Prefix}, power}
	}
	return box.Row{box.Digits(mantissa), box.Op{Sign: "×", Form: box.Infix}, box.Script{Base: box.Digits("10"), Sup: power}}
}

// splitExponent parts "3.2e-5", "3.2×10^-5" and "3.2×10⁻⁵" into mantissa and
// exponent, the latter in plain digits.
func splitExponent(written string) (mantissa, exponent string, ok bool) {
	if i := strings.IndexAny(written, "eE"); i > 0 {
		return written[:i], plainSign(written[i+1:]), true
	}
	for _, sign := range []string{"×", "·", "*"} {
		before, after, found := strings.Cut(written, sign)
		if !found {
			continue
		}
		after, found = strings.CutPrefix(strings.TrimSpace(after), "10")
		if !found {
			continue
		}
		return strings.TrimSpace(before), plainSign(strings.TrimPrefix(lower(after), "^")), true
	}
	return "", "", false
}

func plainSign(s string) string {
	s = strings.Trim(strings.TrimSpace(s), "()")
	return strings.ReplaceAll(s, "−", "-")
}

var superscripts = strings.NewReplacer("⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4",
	"⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9", "⁻", "-", "⁺", "+")

// lower turns superscript digits and signs into plain ones.
func lower(s string) string { return superscripts.Replace(s) }

func (s setter) quantity(e *notation.Quantity) box.Box {
	if e.Number == nil || e.Unit == nil {
		return asWritten(e)
	}
	number := numberBox(e.Number.Text)
	if holdsDegree(e.Unit.Text) {
		return box.Row{number, unitBox(e.Unit.Text)}
	}
	return box.Row{number, box.Thin{}, unitBox(e.Unit.Text)}
}

// holdsDegree reports whether a unit opens with the sign ° of the degree,
// which follows the number without a space (SI Brochure, 9th ed., 5.4.3).
func holdsDegree(written string) bool {
	name, _, _ := strings.Cut(unitFactors(written)[0].symbol, "^")
	return name == "deg" || name == "°"
}

// A unitFactor is one symbol of a compound unit.
type unitFactor struct {
	symbol   string
	exponent string // "" for 1
	divides  bool   // comes after the slash
}

// unitFactors parts a unit as written: N·m/m, kg/m^3, mm⁴. The list is never
// empty.
func unitFactors(written string) []unitFactor {
	var out []unitFactor
	divides := false
	for i, side := range strings.Split(written, "/") {
		divides = i > 0
		for _, factor := range strings.FieldsFunc(side, isUnitProduct) {
			symbol, exponent := splitUnit(strings.Trim(factor, "() "))
			out = append(out, unitFactor{symbol, exponent, divides})
		}
	}
	if out == nil {
		out = append(out, unitFactor{symbol: written})
	}
	return out
}

func isUnitProduct(r rune) bool { return r == '·' || r == '*' || r == '×' || r == '⋅' }

func splitUnit(factor string) (symbol, exponent string) {
	plain := lower(factor)
	if symbol, exponent, found := strings.Cut(plain, "^"); found {
		return symbol, plainSign(exponent)
	}
	if plain == factor {
		return factor, ""
	}
	i := strings.IndexAny(plain, "+-0123456789")
	if i <= 0 {
		return factor, ""
	}
	return plain[:i], plain[i:]
}

// unitBox sets a unit upright, with a slash before the first divisor and
// brackets around several of them.
func unitBox(written string) box.Box {
	var above, below box.Row
	for _, f := range unitFactors(written) {
		side := &above
		if f.divides {
			side = &below
		}
		if len(*side) > 0 {
			*side = append(*side, box.Op{Sign: "·", Form: box.Tight})
		}
		*side = append(*side, factorBox(f))
	}
	if len(below) == 0 {
		return box.Unwrap(above)
	}
	if len(above) == 0 {
		above = box.Row{box.Digits("1")}
	}
	if len(below) > 1 {
		return append(above, box.Op{Sign: "/", Form: box.Tight}, box.Fence{Open: "(", Close: ")", X: below})
	}
	return append(above, box.Op{Sign: "/", Form: box.Tight}, below[0])
}

func factorBox(f unitFactor) box.Box {
	symbol := f.symbol
	if symbol == "deg" {
		symbol = "°"
	}
	if f.exponent == "" {
		return box.Unit(symbol)
	}
	var power box.Box = box.Digits(strings.TrimLeft(f.exponent, "+-"))
	if strings.HasPrefix(f.exponent, "-") {
		power = box.Row{box.Op{Sign: "−", Form: box.Prefix}, power}
	}
	return box.Script{Base: box.Unit(symbol), Sup: power}
}
