package box

import (
	"strings"
	"unicode/utf8"
)

// TeX returns a box as TeX of mathematics mode, without delimiters. It needs the
// amsmath package (cases, aligned, operatorname, text).
func TeX(b Box) string {
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

func (w *texWriter) group(b Box) {
	w.raw("{")
	w.box(b)
	w.raw("}")
}

// script writes what follows ^ or _: a single character without braces.
func (w *texWriter) script(sign string, b Box) {
	if b == nil {
		return
	}
	w.raw(sign)
	if d, ok := b.(Digits); ok && len(d) == 1 {
		w.raw(string(d))
		return
	}
	w.group(b)
}

func (w *texWriter) box(b Box) {
	switch b := b.(type) {
	case Row:
		for _, child := range b {
			w.box(child)
		}
	case Ident:
		w.ident(b)
	case Digits:
		w.raw(texEscape(string(b)))
	case Op:
		w.op(b)
	case Text:
		w.raw(`\text{` + texEscape(string(b)) + `}`)
	case Thin:
		w.raw(`\,`)
	case Space:
		w.space(b)
	case Fraction:
		w.control([...]string{ByPlace: `\frac`, Full: `\dfrac`, Small: `\tfrac`}[b.Size])
		w.group(b.Num)
		w.group(b.Den)
	case Script:
		w.base(b.Base)
		w.script("_", b.Sub)
		w.script("^", b.Sup)
	case Limits:
		w.limits(b)
	case Root:
		w.control(`\sqrt`)
		if b.Degree != nil {
			w.raw("[")
			w.box(b.Degree)
			w.raw("]")
		}
		w.group(b.X)
	case Fence:
		w.fence(b)
	case At:
		w.control(`\left.`)
		w.box(b.X)
		w.control(`\right|`)
		w.script("_", b.Place)
	case Cases:
		w.table(b.Table())
	case Unit:
		w.unit(string(b))
	case Accent:
		w.control(texAccents[b.Sign])
		w.group(b.X)
	case Table:
		w.table(b)
	}
}

// base writes what a script hangs on; a row is held together by braces.
func (w *texWriter) base(b Box) {
	if r, ok := b.(Row); ok && len(r) > 1 {
		w.group(b)
		return
	}
	if _, ok := b.(Script); ok {
		w.group(b)
		return
	}
	w.box(b)
}

func (w *texWriter) limits(b Limits) {
	if _, ok := b.Base.(Op); ok {
		w.box(b.Base)
	} else {
		w.control(`\operatorname*`)
		w.raw("{")
		if name, ok := b.Base.(Ident); ok {
			w.raw(texEscape(name.Name))
		}
		w.raw("}")
	}
	w.script("_", b.Under)
	w.script("^", b.Over)
}

var texFences = map[string]string{"⌊": `\lfloor`, "⌋": `\rfloor`, "⌈": `\lceil`, "⌉": `\rceil`, "{": `\{`, "}": `\}`, "⟨": `\langle`, "⟩": `\rangle`}

// fence writes delimiters that grow with their content only where it is tall,
// since growing ones add a space before them.
func (w *texWriter) fence(b Fence) {
	if !b.Grows() {
		w.delimiter("", b.Open)
		w.box(b.X)
		w.delimiter("", b.Close)
		return
	}
	w.delimiter(`\left`, b.Open)
	w.box(b.X)
	w.delimiter(`\right`, b.Close)
}

func (w *texWriter) delimiter(grow, sign string) {
	if grow != "" {
		w.control(grow)
	}
	if command, ok := texFences[sign]; ok {
		w.control(command)
		return
	}
	if grow != "" && sign == "" {
		sign = "." // no bracket on this side
	}
	w.raw(sign)
}

// texAccents are the commands of accents; a sign over one letter and over a
// wider formula is the same box.
var texAccents = map[string]string{"¯": `\overline`, "^": `\hat`, "˙": `\dot`, "¨": `\ddot`, "~": `\tilde`, "→": `\vec`,
	"⏞": `\overbrace`, "⏟": `\underbrace`}

var texSpaces = map[Space]string{2: `\qquad`, 1: `\quad`, Thick: `\;`, Medium: `\:`, -Narrow: `\!`}

func (w *texWriter) space(s Space) {
	command, ok := texSpaces[s]
	if !ok {
		return
	}
	if len(command) > 2 {
		w.control(command)
		return
	}
	w.raw(command)
}

func (w *texWriter) table(t Table) {
	name := map[Columns]string{Conditions: "cases", Equation: "aligned"}[t.Columns]
	w.raw(`\begin{` + name + `}`)
	for i, line := range t.Lines {
		if i > 0 {
			w.raw(`\\`)
		}
		for j, cell := range line {
			if j > 0 {
				w.raw("&")
			}
			w.box(cell)
		}
	}
	w.raw(`\end{` + name + `}`)
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

func (w *texWriter) ident(b Ident) {
	if command, ok := texLetters[b.Name]; ok {
		w.control(command)
		return
	}
	switch {
	case !b.Upright:
		w.raw(texEscape(b.Name))
	case texFunctions[b.Name]:
		w.control(`\` + b.Name)
	default:
		w.raw(`\mathrm{` + texEscape(b.Name) + `}`)
	}
}

var texOps = map[string]string{"−": "-", "·": `\cdot`, "⋅": `\cdot`, "×": `\times`, "±": `\pm`, "≤": `\le`, "≪": `\ll`, "≥": `\ge`,
	"≠": `\ne`, "≈": `\approx`, "→": `\to`, "⇒": `\Rightarrow`, "∴": `\therefore`, "∝": `\propto`, "∑": `\sum`, "∏": `\prod`, "∫": `\int`}

func (w *texWriter) op(b Op) {
	command, ok := texOps[b.Sign]
	switch {
	case !ok:
		w.raw(texEscape(b.Sign))
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
