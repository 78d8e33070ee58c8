package marking

import (
	"fmt"
	"strings"

	"shaftbook/kernel/pattern"
)

var acrossAt = pattern.New(`(?i)\b(diameter|radius)\b`)

// across returns which of the two lengths across a circle is asked, "diameter" or
// "radius"; empty where the question speaks of neither or of both.
func (m *Marker) across() string {
	if m.Key.Dim != lengthDim {
		return ""
	}
	asked := ""
	for _, word := range acrossAt().FindAllString(m.Scheme.Question, -1) {
		word = strings.ToLower(word)
		if asked != "" && asked != word {
			return ""
		}
		asked = word
	}
	return asked
}

// isOther reports whether a symbol or a word is that of the radius where the diameter is
// asked, or the other way.
func (m *Marker) isOther(word string) bool {
	if m.Scheme.Symbol == word {
		return false
	}
	base, _, _ := strings.Cut(word, "_")
	switch m.across() {
	case "diameter":
		return base == "r" || base == "R" || strings.EqualFold(base, "radius")
	case "radius":
		return base == "d" || base == "D" || strings.EqualFold(base, "diameter") || strings.EqualFold(base, "dia")
	}
	return false
}

// otherWay returns the verdict on a radius where the diameter is asked, or the other way.
func (m *Marker) otherWay(typed string) *Verdict {
	asked, other, step := m.across(), "radius", "The diameter is twice that."
	if asked == "radius" {
		other, step = "diameter", "The radius is half of that."
	}
	return &Verdict{Kind: WrongDimension, Message: fmt.Sprintf(
		"“%s” is a %s, but the question asks for the %s. %s", typed, other, asked, step)}
}
