package unit

import (
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// Spelling returns the unit that a word plainly stands for, where the word is
// not a unit itself: "lbs" → "lb", "Nm" → "N·m", "Kg" → "kg", "degrees" → "deg".
// ok is false where there is none or more than one; see Meanings.
func Spelling(text string) (u string, ok bool) {
	if len(text) < 2 || len(text) > maxText || find(text) != nil {
		return "", false
	}
	if r, refused := refusal(text); refused {
		return r.instead, r.instead != ""
	}
	if rest, found := strings.CutPrefix(text, "u"); found && find("μ"+rest) != nil {
		return "μ" + rest, true
	}
	if s, found := spelledOut(text); found {
		return s, true
	}
	if s, found := joined(text); found {
		return s, true
	}
	meant := byCase(text)
	if len(meant) == 1 {
		return meant[0], true
	}
	return "", false
}

// Meanings returns what a word that is not a unit here may stand for, each as a
// unit ("MPa") or as the value of one of it ("735.49875 W").
func Meanings(text string) []string {
	if find(text) != nil || len(text) > maxText {
		return nil
	}
	if r, ok := refusal(text); ok {
		if r.instead != "" {
			return []string{r.instead}
		}
		return r.values
	}
	if u, ok := Spelling(text); ok {
		return []string{u}
	}
	return byCase(text)
}

// byCase returns the everyday unit from which a word differs in capital and small
// letters only, and with it the others if one is as near: Gpa → GPa, but mpa →
// MPa, mPa. It returns nil where no everyday unit is among them.
func byCase(text string) []string {
	n := len(text)
	if n < 2 || n > 4 || text == "kn" || text == "Kn" { // elsewhere the knot
		return nil
	}
	at := slices.IndexFunc(everyday, func(s string) bool { return strings.EqualFold(s, text) })
	if at < 0 {
		return nil
	}
	usual := everyday[at]
	meant := []string{usual}
	letters := []byte(text)
	for pattern := range 1 << n {
		for i := range letters {
			letters[i] = text[i]
			if pattern>>i&1 == 1 {
				letters[i] ^= 'a' - 'A'
			}
		}
		other := string(letters)
		if other != usual && strings.EqualFold(other, text) && find(other) != nil && Slips(text, other) <= Slips(text, usual) {
			meant = append(meant, other)
		}
	}
	return meant
}

// spelledNames maps the name of each unit, with each prefix and in the plural, in
// small letters, to its symbol.
var spelledNames = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	add := func(name, symbol string) {
		for _, n := range []string{name, strings.NewReplacer("metre", "meter", "litre", "liter").Replace(name)} {
			m[n], m[n+"s"] = symbol, symbol
		}
	}
	for i := range table {
		e := &table[i]
		add(e.Name, e.Symbols[0])
		for _, p := range Prefixes {
			if e.takes(p) {
				add(p.Name+e.Name, p.Symbol+e.Symbols[0])
			}
		}
	}
	return m
})

// spelledOut reads a unit by its name: newton, millimetres, kilograms.
func spelledOut(text string) (string, bool) {
	s, ok := spelledNames()[strings.ToLower(text)]
	return s, ok
}

// Symbols whose products people write without a sign between them.
var (
	forces  = strings.Fields("N kN MN mN lbf lb kip kips k ozf")
	lengths = strings.Fields("m mm cm ft in")
	others  = map[string]string{"W h": "W·h", "kW h": "kW·h", "MW h": "MW·h", "N s": "N·s", "Pa s": "Pa·s", "kg m": "kg·m"}
)

// Joined returns the product of two symbols that belong together, a force and a
// length as a torque, however they are joined: N and m, lb and ft, k and in. In
// them lb is a force and k the kip.
func Joined(a, b string) (product string, ok bool) {
	if a == "KN" {
		a = "kN"
	}
	isTorque := slices.Contains(forces, a) && slices.Contains(lengths, b)
	isTurned := (a == "ft" || a == "in") && slices.Contains(forces, b) && find(b) != nil || a == "m" && (b == "N" || b == "kN")
	if !isTorque && !isTurned {
		product, ok = others[a+" "+b]
		return product, ok
	}
	return inForce(a) + "·" + inForce(b), true
}

// inForce returns the symbol of a force for lb, kips and k.
func inForce(s string) string {
	switch s {
	case "lb":
		return "lbf"
	case "k", "kips":
		return "kip"
	}
	return s
}

// joined splits a run of two symbols, which may be written with a stop, a hyphen
// or nothing between them, into a product: kNm, N.m, ft-lbf.
func joined(text string) (string, bool) {
	for i := range text {
		first, rest := text[:i], text[i:]
		if r, size := utf8.DecodeRuneInString(rest); r == '.' || r == '-' {
			rest = rest[size:]
		}
		if first == "k" {
			continue // the prefix: kNm
		}
		if s, ok := Joined(first, rest); ok {
			return s, true
		}
	}
	return "", false
}

// Rare returns the name of a symbol that is a unit but was perhaps meant for
// another, and that other, "" if none: Mm is the megametre where mm is usual. ok is
// false for all others.
func Rare(text string) (name, usual string, ok bool) {
	s := find(text)
	if s == nil || s.text == s.entry.Symbols[0] {
		return "", "", false
	}
	for _, p := range Prefixes {
		if p.Symbol+s.entry.Symbols[0] != s.text {
			continue
		}
		usual = rareForUsual[s.text]
		return p.Name + s.entry.Name, usual, usual != "" || max(p.Exponent, -p.Exponent) >= 15
	}
	return "", "", false
}

// rareForUsual lists units that are one capital letter away from one that is far
// more usual here.
var rareForUsual = map[string]string{"Mm": "mm", "nm": "N·m", "mPa": "MPa", "Ms": "ms", "mMPa": "MPa", "Mmol": "mmol"}

// Kelvins returns the value in kelvins of x on a scale with an offset, and of
// a difference of x on it, each as text with its unit, where a symbol is such a
// scale: 68 °F is 293.15 K, and 68·(5/9)·(1 K).
func Kelvins(symbol string, x float64, number string) (value, difference string, ok bool) {
	switch symbol {
	case "°C", "ºC", "℃", "degC":
		return inKelvins(x+273.15) + " K", number + " K", true
	case "°F", "ºF", "℉", "degF":
		return inKelvins((x+459.67)*5/9) + " K", number + "·(5/9)·(1 K)", true
	}
	return "", "", false
}

// inKelvins writes a temperature to at most four places.
func inKelvins(t float64) string {
	return strings.TrimRight(strings.TrimRight(RoundText(t, 'f', 4), "0"), ".")
}
