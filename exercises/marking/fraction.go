package marking

import (
	"strings"

	"shaftbook/kernel/pattern"
	"shaftbook/kernel/unit"
)

const (
	whyFraction = "the fraction counts the unit"
	whyBelow    = "the unit is below the stroke"
)

var (
	strokeAt = pattern.New(`^[/÷∕⁄]\s*`)
	mixedAt  = pattern.New(`^(\d+)(\s*[-–‐‑]\s*|\s+)(\d+)\s*[/∕⁄]\s*(\d+)\s*([^\d\s/].*)$`)
)

// fractions returns the ways to read a fraction in front of a unit: 19/18 deg is
// that many degrees, unless only the unit below the stroke, as in 2/3 min where a
// speed is asked, gives what is asked. ok is false for anything else.
func fractions(text string, mark commaMark, asked unit.Dimension) (all []spelling, ok bool) {
	if m := mixedAt().FindStringSubmatch(text); m != nil {
		return mixed(m, asked)
	}
	v, ok := cutValue(text)
	stroke := strokeAt().FindString(v.tail)
	if !ok || v.power != "" || stroke == "" {
		return nil, false
	}
	low, ok := cutValue(v.tail[len(stroke):])
	if !ok || low.sign+low.power != "" || low.tail == "" || !low.unitOK() {
		return nil, false
	}
	above, below := respell(v.sign+v.number, mark), respell(low.number, mark)
	units := unitSpellings(low.tail, asked)
	inverse, _ := unit.Dimension{}.Div(asked)
	if under := unitSpellings(low.tail, inverse); units[0].unit.Dim != asked && under[0].unit.Dim == inverse {
		for _, u := range under {
			all = append(all, above.with("/("+below.text+" "+u.text+")", u.why, whyBelow))
		}
		return all, true
	}
	for _, u := range units {
		all = append(all, above.with("/"+below.text+"·(1 "+u.text+")", u.why, whyFraction))
	}
	return all, true
}

// mixed reads 48 5/8 in; with a hyphen it may be a difference too.
func mixed(m []string, asked unit.Dimension) (all []spelling, ok bool) {
	units := unitSpellings(strings.TrimSpace(m[5]), asked)
	for _, u := range units {
		sum := spelling{text: "(" + m[1]}
		all = append(all, sum.with(" + "+m[3]+"/"+m[4]+")·(1 "+u.text+")", u.why, "a whole number and a fraction"))
	}
	if strings.TrimSpace(m[2]) != "" {
		for _, u := range units {
			difference := spelling{text: "(" + m[1]}
			all = append(all, difference.with(" − "+m[3]+"/"+m[4]+")·(1 "+u.text+")", u.why, "a difference"))
		}
	}
	return all, len(all) > 0
}

// with returns a spelling with more behind it, and the reasons for that.
func (s spelling) with(behind string, why ...string) spelling {
	s.why = append([]string(nil), s.why...)
	s.text += behind
	for _, w := range why {
		s.because(w)
	}
	return s
}
