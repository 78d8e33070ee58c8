package page

import (
	"html"
	"html/template"
	"strings"

	"shaftbook/kernel/pattern"
)

// raw is a name with an index, or a whole power of one digit, as they are typed.
var raw = pattern.New(`\pL\pM?[\pL\d]*_[\pL\d,]*[\pL\d]|\^\d\b`)

var raised = strings.NewReplacer("^0", "⁰", "^1", "¹", "^2", "²", "^3", "³", "^4", "⁴", "^5", "⁵", "^6", "⁶", "^7", "⁷", "^8", "⁸", "^9", "⁹")

// Named sets a sentence of the program: names in it that have an index are symbols, as
// in formulas, and powers are raised.
func Named(s string) template.HTML {
	var b strings.Builder
	from := 0
	for _, at := range raw().FindAllStringIndex(s, -1) {
		b.WriteString(html.EscapeString(s[from:at[0]]))
		if word := s[at[0]:at[1]]; word[0] == '^' {
			b.WriteString(raised.Replace(word))
		} else {
			b.WriteString(string(symbol(word)))
		}
		from = at[1]
	}
	b.WriteString(html.EscapeString(s[from:]))
	return template.HTML(b.String())
}
