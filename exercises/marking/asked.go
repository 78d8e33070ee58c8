package marking

import (
	"fmt"
	"strings"

	"shaftbook/kernel/pattern"
	"shaftbook/kernel/unit"
)

var (
	pointGapAt  = pattern.New(`\d\.\s+\d`)
	raisedAt    = pattern.New(`^([-+−–]?\s*\d+)\s?[·∙•⋅]\s?(\d+)\s*([^\d\s^⁻⁰¹²³⁴⁵⁶⁷⁸⁹*/·].*)$`)
	feetAt      = pattern.New(`^(\d+)\s*(?:['’′]|ft)\s*[-–‐‑]\s*(?:(\d+(?:[.,]\d+)?)|(\d+)\s*(?:[ -]\s*)?(\d+)/(\d+))\s*(?:["”″]|''|in)$`)
	quotientAt  = pattern.New(`^([-+−\d\s.,·*×/÷^()π]*[\d)])\s*([^\d\s()].*)$`)
	overUnitAt  = pattern.New(`^([-+−]?\d+/\d+)\s*([\pL_\d]+)$`)
	timesUnitAt = pattern.New(`^(.*\d)\s*[*·×]\s*([\pL°%][^\d]*)$`)
)

// refuseGap returns the verdict on a number with a blank behind its decimal mark, 1. 495
// deg; nil for any other.
func (a splitTyped) refuseGap() *Verdict {
	for _, v := range a.values {
		if at := pointGapAt().FindStringIndex(v.text); at != nil {
			joined := v.text[:at[0]] + strings.Join(strings.Fields(v.text[at[0]:at[1]]), "") + v.text[at[1]:]
			return &Verdict{Kind: Unreadable, offers: []string{joined}, Message: fmt.Sprintf(
				"In “%s” there is a blank behind the decimal mark. Write the digits of a number together.", v.text)}
		}
	}
	return nil
}

// raised reads 10·5 in, where the point may be the decimal mark, raised, or a product.
func (p typedPart) raised(asked unit.Dimension) (all []spelling, ok bool) {
	m := raisedAt().FindStringSubmatch(p.text)
	if m == nil {
		return nil, false
	}
	for _, u := range unitSpellings(strings.TrimSpace(m[3]), asked) {
		if u.unit.Dim != asked {
			return nil, false
		}
		decimal, product := spelling{text: m[1] + "." + m[2]}, spelling{text: m[1] + "·" + m[2]}
		all = append(all, decimal.with(" "+u.text, u.why, "the raised point is a decimal mark"), product.with(" "+u.text, u.why, "a product"))
	}
	return all, len(all) > 0
}

// feetAndInches reads 6'-10 1/2", where the hyphen joins the parts or takes one from the
// other.
func (p typedPart) feetAndInches(mark commaMark, asked unit.Dimension) (all []spelling, ok bool) {
	m := feetAt().FindStringSubmatch(p.text)
	if m == nil || asked != lengthDim {
		return nil, false
	}
	inches := respell(m[2], mark).text + " in"
	if m[2] == "" {
		inches = "(" + m[3] + " + " + m[4] + "/" + m[5] + ")·(1 in)"
	}
	sum, difference := spelling{text: m[1] + " ft + " + inches}, spelling{text: m[1] + " ft − " + inches}
	return []spelling{sum.with("", "a sum of parts"), difference.with("", "a difference")}, true
}

// ofNames writes a fraction of a given name whose letter is a unit too, 1/3 L, as a
// product, where the unit is not one of what is asked.
func (m *Marker) ofNames(p typedPart) typedPart {
	at := overUnitAt().FindStringSubmatch(p.text)
	if at == nil || !m.isGivenName(at[2]) {
		return p
	}
	if units := unitSpellings(at[2], m.Key.Dim); len(units) == 0 || units[0].unit.Dim == m.Key.Dim {
		return p
	}
	return typedPart{at[1] + "·" + at[2]}
}

// counted writes numbers with one unit behind them, 9550·60/870 rpm, so that it counts all
// of them, and a value with a sign in front of its unit without that.
func counted(text string) (all []string) {
	if at := quotientAt().FindStringSubmatch(text); at != nil && strings.ContainsAny(at[1], "/÷·*×") && len(unitSpellings(at[2], unit.Dimension{})) > 0 {
		all = append(all, "("+at[1]+")·(1 "+at[2]+")")
	}
	if at := timesUnitAt().FindStringSubmatch(text); at != nil && isOneValue(at[1]+" "+at[2]) {
		all = append(all, at[1]+" "+at[2])
	}
	return all
}

// ofAnother returns the verdict on an answer with several readings of which none is of
// the quantity that is asked, 20 °C where an angle is; nil for any other.
func (m *Marker) ofAnother(answer string, readings []typed) *Verdict {
	if m.Scheme.Kind != Number {
		return nil
	}
	other := readings[0].got.Value.Dim
	for _, r := range readings {
		if dim := r.got.Value.Dim; dim == m.Key.Dim || dim != other || dim.IsNumber() {
			return nil
		}
	}
	return &Verdict{Kind: WrongDimension, Message: fmt.Sprintf("“%s” is %s, but the question asks for %s.", answer, Describe(other, false), m.wanted())}
}
