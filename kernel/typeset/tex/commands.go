package tex

import (
	"strings"

	"shaftbook/kernel/typeset/box"
)

// symbols are the commands that are one letter or sign. Greek capitals are
// upright as TeX sets them, π as the constant that it is (ISO 80000-2, from
// memory).
var symbols = map[string]box.Box{
	"infty": upright("∞"), "partial": upright("∂"), "degree": box.Unit("°"), "angle": upright("∠"), "pi": upright("π"),

	"cdot": infix("⋅"), "times": infix("×"), "div": infix("÷"), "pm": infix("±"), "mp": infix("∓"),
	"circ": box.Op{Sign: "∘", Form: box.Tight}, "prime": box.Op{Sign: "′", Form: box.Tight},

	"le": relation("≤"), "leq": relation("≤"), "ge": relation("≥"), "geq": relation("≥"), "lt": relation("<"),
	"gt": relation(">"), "ne": relation("≠"), "neq": relation("≠"), "approx": relation("≈"), "sim": relation("∼"),
	"equiv": relation("≡"), "propto": relation("∝"), "ll": relation("≪"), "gg": relation("≫"), "to": relation("→"),
	"rightarrow": relation("→"), "Rightarrow": relation("⇒"), "leftarrow": relation("←"), "in": relation("∈"),

	"ldots": upright("…"), "cdots": upright("⋯"), "dots": upright("…"),
	"int": box.Op{Sign: "∫", Form: box.Large}, "sum": box.Op{Sign: "∑", Form: box.Large},
	"prod": box.Op{Sign: "∏", Form: box.Large},

	"quad": box.Space(1), "qquad": box.Space(2),

	"lbrace": opening("{"), "rbrace": closing("}"), "langle": opening("⟨"), "rangle": closing("⟩"),
	"lfloor": opening("⌊"), "rfloor": closing("⌋"), "lceil": opening("⌈"), "rceil": closing("⌉"),
}

func upright(s string) box.Box  { return box.Ident{Name: s, Upright: true} }
func infix(s string) box.Box    { return box.Op{Sign: s, Form: box.Infix} }
func relation(s string) box.Box { return box.Op{Sign: s, Form: box.Relation} }
func opening(s string) box.Box  { return box.Op{Sign: s, Form: box.Opening} }
func closing(s string) box.Box  { return box.Op{Sign: s, Form: box.Closing} }

// letters are the commands of Greek letters, in italics.
var letters = map[string]string{
	"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ϵ", "varepsilon": "ε", "zeta": "ζ", "eta": "η",
	"theta": "θ", "vartheta": "ϑ", "iota": "ι", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ",
	"rho": "ρ", "sigma": "σ", "tau": "τ", "upsilon": "υ", "phi": "ϕ", "varphi": "φ", "chi": "χ", "psi": "ψ",
	"omega": "ω",
}

// capitals are the Greek capitals that do not look like Latin ones.
var capitals = map[string]string{"Gamma": "Γ", "Delta": "Δ", "Theta": "Θ", "Lambda": "Λ", "Xi": "Ξ", "Pi": "Π",
	"Sigma": "Σ", "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω"}

// functions are written upright, with a thin space to a letter beside them.
var functions = wordSet("sin cos tan arcsin arccos arctan exp ln log max min lim")

// underneath are the functions whose subscript goes below them.
var underneath = wordSet("max min lim")

// arguments are the commands that take arguments in braces, with how many.
var arguments = map[string]int{"frac": 2, "dfrac": 2, "tfrac": 2, "sqrt": 1, "bar": 1, "hat": 1, "dot": 1, "ddot": 1,
	"tilde": 1, "vec": 1, "overline": 1, "overset": 2, "underset": 2, "underbrace": 1, "overbrace": 1}

// accents are the signs of the commands that set one over or under their
// argument.
var accents = map[string]box.Accent{
	"bar": {Sign: "¯"}, "hat": {Sign: "^"}, "dot": {Sign: "˙"}, "ddot": {Sign: "¨"}, "tilde": {Sign: "~"},
	"vec": {Sign: "→"}, "overline": {Sign: "¯", Wide: true},
	"overbrace": {Sign: "⏞", Wide: true}, "underbrace": {Sign: "⏟", Wide: true, Below: true},
}

// signs are the commands of one sign, such as \, for a thin space.
var signs = map[byte]box.Box{
	',': box.Thin{}, ':': box.Medium, ';': box.Thick, '!': -box.Narrow, ' ': box.Space(0.25),
	'{': opening("{"), '}': closing("}"), '%': upright("%"), '$': upright("$"),
}

// environments are the tables.
var environments = map[string]box.Columns{"aligned": box.Equation, "cases": box.Conditions}

// others are the commands that the reader handles by itself.
var others = wordSet("text mathrm left right begin end")

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}

// Commands returns the names of all commands of letters, without backslash, in
// no order.
func Commands() []string {
	var names []string
	for name := range symbols {
		names = append(names, name)
	}
	for name := range letters {
		names = append(names, name)
	}
	for name := range capitals {
		names = append(names, name)
	}
	for name := range functions {
		names = append(names, name)
	}
	for name := range arguments {
		names = append(names, name)
	}
	for name := range others {
		names = append(names, name)
	}
	return names
}

// known returns the box of a command that takes no argument.
func known(name string) (box.Box, bool) {
	if b, ok := symbols[name]; ok {
		return b, true
	}
	if letter, ok := letters[name]; ok {
		return box.Ident{Name: letter}, true
	}
	if letter, ok := capitals[name]; ok {
		return upright(letter), true
	}
	if functions[name] {
		return upright(name), true
	}
	return nil, false
}

// nearest returns the command that differs least from name, by insertions,
// deletions, replacements and exchanges of neighbours, or "" if none is near.
func nearest(name string) string {
	best, least := "", 3
	for _, c := range Commands() {
		d := distance(name, c)
		if d >= max(len(name), len(c))/2+1 {
			continue
		}
		if d < least || d == least && best != "" && c < best {
			best, least = c, d
		}
	}
	return best
}

// distance is the number of edits from a to b (optimal string alignment).
func distance(a, b string) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			replace := last[j-1]
			if a[i-1] != b[j-1] {
				replace++
			}
			row[j] = min(last[j]+1, row[j-1]+1, replace)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
