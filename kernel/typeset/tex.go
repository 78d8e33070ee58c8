package typeset

import (
	"strings"
	"unicode/utf8"
)

func texString(b box) string {
	var w texWriter
	w.box(b)
	return w.String()
}

// texWriter writes boxes as TeX. A control word is parted from a letter that
// follows it by a space, written only where it is needed.
type texWriter struct {
	strings.Builder
	word bool // the last thing written was a control word
}

// raw writes plain characters.
func (w *texWriter) raw(s string) {
	if s == "" {
		return
	}
	first, _ := utf8.DecodeRuneInString(s)
	if w.word && (first >= 'a' && first <= 'z' || first >= 'A' && first <= 'Z') {
		w.WriteString(" ")
	}
	w.word = false
	w.WriteString(s)
}

// control writes a control word such as \theta.
func (w *texWriter) control(s string) {
	w.WriteString(s)
	w.word = true
}

func (w *texWriter) group(b box) {
	w.raw("{")
	w.box(b)
	w.raw("}")
}

// script writes what follows ^ or _: a single character without braces.
func (w *texWriter) script(sign string, b box) {
	if b == nil {
		return
	}
	w.raw(sign)
	if d, ok := b.(digits); ok && len(d) == 1 {
		w.raw(string(d))
		return
	}
	w.group(b)
}

func (w *texWriter) box(b box) {
	switch b := b.(type) {
	case row:
		for _, child := range b {
			w.box(child)
		}
	case ident:
		w.ident(b)
	case digits:
		w.raw(texEscape(string(b)))
	case op:
		w.op(b)
	case text:
		w.raw(`\text{` + texEscape(string(b)) + `}`)
	case thin:
		w.raw(`\,`)
	case fraction:
		w.control(`\frac`)
		w.group(b.num)
		w.group(b.den)
	case script:
		w.base(b.base)
		w.script("_", b.sub)
		w.script("^", b.sup)
	case limits:
		w.limits(b)
	case root:
		w.control(`\sqrt`)
		w.group(b.x)
	case fence:
		w.fence(b)
	case at:
		w.control(`\left.`)
		w.box(b.x)
		w.control(`\right|`)
		w.script("_", b.place)
	case cases:
		w.cases(b)
	case unit:
		w.unit(string(b))
	}
}

// base writes what a script hangs on; a row is held together by braces.
func (w *texWriter) base(b box) {
	if r, ok := b.(row); ok && len(r) > 1 {
		w.group(b)
		return
	}
	if _, ok := b.(script); ok {
		w.group(b)
		return
	}
	w.box(b)
}

func (w *texWriter) limits(b limits) {
	if _, ok := b.base.(op); ok {
		w.box(b.base)
	} else {
		w.control(`\operatorname*`)
		w.raw("{")
		if name, ok := b.base.(ident); ok {
			w.raw(texEscape(name.name))
		}
		w.raw("}")
	}
	w.script("_", b.under)
	w.script("^", b.over)
}

var texFences = map[string]string{"⌊": `\lfloor`, "⌋": `\rfloor`, "⌈": `\lceil`, "⌉": `\rceil`}

// fence writes delimiters that grow with their content only where it is tall,
// since growing ones add a space before them.
func (w *texWriter) fence(b fence) {
	if !tall(b.x) {
		w.delimiter("", b.open)
		w.box(b.x)
		w.delimiter("", b.close)
		return
	}
	w.delimiter(`\left`, b.open)
	w.box(b.x)
	w.delimiter(`\right`, b.close)
}

func (w *texWriter) delimiter(grow, sign string) {
	if grow != "" {
		w.control(grow)
	}
	if command, ok := texFences[sign]; ok {
		w.control(command)
		return
	}
	w.raw(sign)
}

// tall reports whether a box is higher than a line of symbols.
func tall(b box) bool {
	switch b := b.(type) {
	case row:
		for _, child := range b {
			if tall(child) {
				return true
			}
		}
	case script:
		_, sign := b.base.(op)
		return sign || tall(b.base)
	case fence:
		return tall(b.x)
	case fraction, limits, at, cases, root:
		return true
	}
	return false
}

func (w *texWriter) cases(b cases) {
	w.raw(`\begin{cases}`)
	for i, line := range b {
		if i > 0 {
			w.raw(`\\`)
		}
		w.box(line.value)
		w.raw("&")
		if line.when == nil {
			w.box(text("otherwise"))
			continue
		}
		w.box(row{text("if "), line.when})
	}
	w.raw(`\end{cases}`)
}

func (w *texWriter) unit(symbol string) {
	if symbol == "°" {
		w.raw(`{}^{\circ}`)
		return
	}
	w.raw(`\mathrm{` + texEscape(symbol) + `}`)
}

var texFunctions = map[string]bool{"sin": true, "cos": true, "tan": true, "arcsin": true, "arccos": true,
	"arctan": true, "exp": true, "ln": true, "log": true, "min": true, "max": true}

func (w *texWriter) ident(b ident) {
	if command, ok := texLetters[b.name]; ok {
		w.control(command)
		return
	}
	switch {
	case !b.upright:
		w.raw(texEscape(b.name))
	case texFunctions[b.name]:
		w.control(`\` + b.name)
	default:
		w.raw(`\mathrm{` + texEscape(b.name) + `}`)
	}
}

var texOps = map[string]string{"−": "-", "·": `\cdot`, "×": `\times`, "±": `\pm`, "≤": `\le`, "≥": `\ge`,
	"≠": `\ne`, "≈": `\approx`, "→": `\to`, "∑": `\sum`, "∏": `\prod`, "∫": `\int`}

func (w *texWriter) op(b op) {
	command, ok := texOps[b.sign]
	switch {
	case !ok:
		w.raw(texEscape(b.sign))
	case strings.HasPrefix(command, `\`):
		w.control(command)
	default:
		w.raw(command)
	}
}

// texLetters are the letters that have a control word; capitals of Greek that
// look like Latin letters are written as they are.
var texLetters = map[string]string{"∞": `\infty`,
	"α": `\alpha`, "β": `\beta`, "γ": `\gamma`, "δ": `\delta`, "ε": `\varepsilon`, "ζ": `\zeta`, "η": `\eta`,
	"θ": `\theta`, "ι": `\iota`, "κ": `\kappa`, "λ": `\lambda`, "μ": `\mu`, "ν": `\nu`, "ξ": `\xi`, "π": `\pi`,
	"ρ": `\rho`, "σ": `\sigma`, "τ": `\tau`, "υ": `\upsilon`, "φ": `\varphi`, "ϕ": `\phi`, "χ": `\chi`, "ψ": `\psi`,
	"ω": `\omega`, "Γ": `\Gamma`, "Δ": `\Delta`, "Θ": `\Theta`, "Λ": `\Lambda`, "Ξ": `\Xi`, "Π": `\Pi`,
	"Σ": `\Sigma`, "Φ": `\Phi`, "Ψ": `\Psi`, "Ω": `\Omega`,
}

var texEscaper = strings.NewReplacer(`\`, `\backslash `, "{", `\{`, "}", `\}`, "%", `\%`, "#", `\#`, "&", `\&`,
	"_", `\_`, "$", `\$`, "^", `\hat{}`, "~", `\sim `, "\n", " ")

func texEscape(s string) string { return texEscaper.Replace(s) }
