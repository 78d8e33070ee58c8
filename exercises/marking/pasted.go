package marking

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
)

// TeX commands that occur in a pasted value or formula, and what they are as text.
var texWords = strings.NewReplacer(
	`^{\circ}`, "°", `^\circ`, "°", `\circ`, "°", `\degree`, "°", "∘", "°", `\cdot`, "·", `\times`, "×", `\approx`, "≈", `\left`, "", `\right`, "",
	`\,`, " ", `\;`, " ", `\:`, " ", `\!`, "", `\ `, " ", `\%`, "%", `\(`, "", `\)`, "", `\[`, "", `\]`, "",
	`\alpha`, "α", `\theta`, "θ", `\vartheta`, "θ", `\varphi`, "φ", `\phi`, "φ", `\tau`, "τ", `\omega`, "ω", `\pi`, "π", `\mu`, "μ", `\sqrt`, "√")

var (
	texFraction = pattern.New(`\\[dt]?frac\s*\{([^{}]*)\}\s*\{([^{}]*)\}`)
	texUpright  = pattern.New(`\\(?:mathrm|text|operatorname|unit|textrm|mathit)\s*\{([^{}]*)\}`)
	texGroup    = pattern.New(`(\^|√)\{([^{}]*)\}`)
	texIndex    = pattern.New(`_\{([^{}]*)\}`)
)

const mostFractions = 4 // nested in one another

// plainText takes off what a value brings along from a typeset document: quotation marks
// around it, and TeX. A text with a command that is not known is left as it is.
func plainText(text string) string {
	for _, pair := range []string{"“”", "„“", "«»", "‘’", `""`, "''", "``"} {
		marks := []rune(pair)
		inside, found := strings.CutPrefix(text, string(marks[0]))
		if inside, closed := strings.CutSuffix(inside, string(marks[1])); found && closed && !strings.ContainsAny(inside, pair) {
			text = strings.TrimSpace(inside)
		}
	}
	if !strings.ContainsAny(text, `\$∘{`) {
		return text
	}
	plain := texWords.Replace(strings.ReplaceAll(text, "$", " "))
	for range mostFractions {
		plain = texUpright().ReplaceAllString(plain, " $1 ")
		plain = texFraction().ReplaceAllString(plain, "(($1)/($2))")
		plain = texGroup().ReplaceAllString(plain, "$1($2)")
		plain = texIndex().ReplaceAllString(plain, "_$1")
	}
	if strings.ContainsAny(plain, `\{}`) {
		return text
	}
	return strings.Join(strings.Fields(plain), " ")
}

var (
	headAt     = pattern.New(`^[\pL][\pL\pN_]*\s*[=≈:]\s*`)
	remarkAt   = pattern.New(`^(.*?)(?:\s+(?i:at|for|when|where|with|because|so|since|in the|on the|as)\b|\s*,\s|\s*\().*$`)
	shareAt    = pattern.New(`^([-+−]?[.,\d]+\s*%?)\s+of\s+(\S.*)$`)
	barAt      = pattern.New(`^([-+−]?[.,\d]+)\s*bar$`)
	blankAt    = pattern.New(`([\pL\d)])\s+([\pL\d(])`)
	crossAt    = pattern.New(`(\d)\s*[xX]\s*(\d)`)
	crossNames = pattern.New(`([\pL\d)])\s+[xX]\s+([\pL\d(])`)
)

// shortened returns the value at the beginning of a text with a remark behind it, 24 MPa
// at x = 0.3 m; none where there are two values.
func shortened(text string) []string {
	text = headAt().ReplaceAllString(strings.TrimSpace(plainBlanks.Replace(text)), "")
	at := remarkAt().FindStringSubmatch(text)
	if at == nil || !isOneValue(at[1]) {
		return nil
	}
	return []string{at[1]}
}

// products writes out what people write of products otherwise: 61 % of T, 280x0.9, and a
// bracket behind a given name.
func (m *Marker) products(text string) []string {
	if at := shareAt().FindStringSubmatch(text); at != nil {
		return []string{at[1] + "·(" + at[2] + ")"}
	}
	if at := barAt().FindStringSubmatch(text); at != nil {
		return []string{at[1] + "·(0.1 MPa)"}
	}
	plain := crossAt().ReplaceAllString(text, "$1×$2")
	plain = crossAt().ReplaceAllString(plain, "$1×$2") // 2x3x4
	if !m.isGivenName("x") {
		plain = crossNames().ReplaceAllString(plain, "$1·$2")
	}
	for _, g := range m.Numbers.Givens() {
		if !g.IsFunc {
			plain = strings.ReplaceAll(plain, g.Name+"(", g.Name+"·(")
		}
	}
	if !m.isOneOrMore(text) {
		plain = blankAt().ReplaceAllString(blankAt().ReplaceAllString(plain, "$1·$2"), "$1·$2")
	}
	if plain == text {
		return nil
	}
	all := []string{plain}
	if above, below, found := strings.Cut(plain, "/"); found && !strings.Contains(below, "/") {
		all = append([]string{strings.TrimSpace(above) + "/(" + strings.TrimSpace(below) + ")"}, all...)
	} else if i := strings.Index(plain, "/"); found && strings.HasSuffix(plain, ")") && strings.Count(plain, "/") == 2 {
		all = append([]string{plain[:i] + "/(" + plain[i+1:] + ")"}, all...)
	}
	return all
}

// isOneOrMore reports whether a text begins with a value, which a blank does not make a
// product.
func (m *Marker) isOneOrMore(text string) bool {
	v, ok := cutValue(text)
	first, _, _ := strings.Cut(v.tail, " ")
	return ok && len(unitSpellings(first, m.Key.Dim)) > 0 && !m.isGivenName(first)
}

// plainEnglish reports whether a text has a word that only a sentence has.
func plainEnglish(text string) bool {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '.' || r == ',' }) {
		switch strings.ToLower(strings.ReplaceAll(word, "’", "'")) {
		case "don't", "know", "can't", "idea", "idk", "dunno", "sorry", "help", "sure", "unsure", "skip", "pass", "none", "i'm":
			return !strings.ContainsAny(text, "0123456789=^/")
		}
	}
	return false
}

// rareUnit returns both units that may be meant by a value in a unit that is rare and one
// capital letter away from a usual one, 24 mPa; none for any other.
func (m *Marker) rareUnit(t *typed) []spelling {
	x := notation.Unparen(t.expr)
	if u, is := x.(*notation.Unary); is {
		x = notation.Unparen(u.X)
	}
	q, ok := x.(*notation.Quantity)
	if !ok || t.rare || m.Scheme.Kind != Number || q.Unit.Unit.Dim != m.Key.Dim {
		return nil
	}
	usual := rarely[q.Unit.Text]
	number, found := strings.CutSuffix(t.text, q.Unit.Text)
	if usual == "" || !found {
		return nil
	}
	as := spelling{text: t.text, why: t.why, notes: t.notes, rare: true}
	other := spelling{text: number + usual, why: t.why, notes: t.notes}
	return []spelling{as.with("", q.Unit.Text+" as written"), other.with("", usual+", which is usual")}
}

// rarely lists units that are one capital letter away from a usual one (common practice
// in this trade, no source).
var rarely = map[string]string{"mPa": "MPa", "Mm": "mm", "mW": "MW", "Mrad": "mrad", "Ms": "ms"}
