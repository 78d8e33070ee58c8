package marking

import (
	"fmt"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/unit"
)

// A rangeMark is what stands between the two ends of a range: 1.05–1.06 deg.
var (
	rangeMark   = pattern.New(`(?:\s*(?:[-–—−‐‑…]|\.\.+)\s*|\s+(?:to|or)\s+)`)
	aroundMark  = pattern.New(`±|∓|\+\s*/\s*[-−–]|\+[-−–]`)
	zeroGroupAt = pattern.New(`\d,0\d{2}(?:\D|$)`)
	markAt      = pattern.New(`^\s*(?:['’′"”″°º]|''|deg)\s*`)
	arcMark     = pattern.New(`^\s*(?:['’′"”″]|(?:in|inch|inches|min|s|sec)(?:\s|\.|$))`)
)

// refuseForm returns the verdict on an answer whose form gives no one value: a
// range, or a number behind a mark of feet or of degrees that has no mark itself. It
// returns nil for any other. Where a sign is asked a difference may be negative.
func (a splitTyped) refuseForm(signed bool) *Verdict {
	for _, v := range a.values {
		if zero := zeroGroup(v.text); zero != "" {
			return &Verdict{Kind: Unreadable, Message: fmt.Sprintf(
				"Between the brackets of a function a comma separates values, so “%s” would be two of them. Write thousands without a mark, 1000, and the decimal mark as a point.", zero)}
		}
		if feetAt().MatchString(v.text) {
			continue
		}
		if v.isRange(signed) {
			return &Verdict{Kind: Unreadable, Message: fmt.Sprintf(
				"“%s” is a range, but the question asks for one value: a wide enough range would always hold the answer. Give the best value you have, with its unit; for a difference, put brackets around each of the two.", v.text)}
		}
		if mark, number, is := v.lostMark(); is {
			return &Verdict{Kind: Unreadable, Message: fmt.Sprintf(
				"In “%s” it is not clear what %s behind %s counts. Write each part with its own mark, as in 63′ 20″ or 5 ft + 3 in, or one number with a decimal point.", v.text, number, mark)}
		}
	}
	return nil
}

// zeroGroup returns what looks like thousands between the brackets of a function,
// 1,000, or empty.
func zeroGroup(text string) string {
	at := zeroGroupAt().FindStringIndex(text)
	if at == nil {
		return ""
	}
	for _, n := range numeralsOf(text) {
		if n.at <= at[0] && at[0] < n.at+len(n.text) && !strings.Contains(n.text, ",") {
			return text[n.at : at[0]+len("0,000")]
		}
	}
	return ""
}

// isRange reports whether a part of an answer is two values with a mark of a range
// between them. A smaller value taken from a larger one, each with its unit or both
// without, is a difference.
func (p typedPart) isRange(signed bool) bool {
	if at := aroundMark().FindStringIndex(p.text); at != nil {
		first, ok := cutValue(p.text[:at[0]])
		return ok && first.unitOK()
	}
	if whole, ok := cutValue(p.text); ok && whole.unitOK() {
		return false
	}
	for _, at := range rangeMark().FindAllStringIndex(p.text, -1) {
		first, ok := cutValue(strings.TrimSpace(p.text[:at[0]]))
		second, okToo := cutValue(strings.TrimSpace(p.text[at[1]:]))
		if !ok || !okToo || first.power+second.power != "" || !first.unitOK() || !second.unitOK() {
			continue
		}
		if strings.Trim(p.text[at[0]:at[1]], " -–—−‐‑") != "" || (first.tail == "") != (second.tail == "") {
			return true
		}
		return !signed && first.size() < second.size()
	}
	return false
}

// size returns a value in the unit in which it is written, as SI has that.
func (v value) size() float64 {
	x := 0.0
	if _, err := fmt.Sscan(respell(v.number, decimalComma).text, &x); err != nil {
		return 0
	}
	if units := unitSpellings(v.tail, unit.Dimension{}); v.tail != "" && len(units) > 0 {
		x *= units[0].unit.Factor
	}
	return x
}

// lostMark returns the mark of feet, inches or an angle that has a number without
// a mark behind it: 63'20.
func (p typedPart) lostMark() (mark, number string, is bool) {
	if partsAt().MatchString(p.text) {
		return "", "", false
	}
	list := numeralsOf(p.text)
	for i, n := range list[:max(0, len(list)-1)] {
		end, next := n.at+len(n.text), list[i+1]
		between := p.text[end:next.at]
		if between != "" && markAt().FindString(between) == between && !arcMark().MatchString(p.text[next.at+len(next.text):]) {
			return strings.TrimSpace(between), next.text, true
		}
	}
	return "", "", false
}

// refuseAngle returns the verdict on an angle with a unit that is not one of an angle,
// such as deg²; nil for any other.
func refuseAngle(x notation.Expr) *Verdict {
	var found *Verdict
	notation.Inspect(x, func(n notation.Node) bool {
		if n, ok := n.(*notation.Quantity); ok {
			if n.Unit.Unit.Dim.IsNumber() && notAnAngle(n.Unit.Text) {
				found = &Verdict{Kind: Unreadable, Message: fmt.Sprintf("“%s” is not the unit of an angle. Write one unit after the number, such as deg.", n.Unit.Text)}
			}
		}
		return found == nil
	})
	return found
}

var angleSymbol = pattern.New(`deg|°|′|″|rad|arcmin|arcsec`)

func notAnAngle(symbol string) bool {
	if symbol == "%" || symbol == "‰" || symbol == "sr" {
		return true
	}
	at := angleSymbol().FindAllStringIndex(symbol, -1)
	return len(at) > 1 && !strings.Contains(symbol, "/") || len(at) == 1 && strings.ContainsAny(symbol[at[0][1]:], "^⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
}
