package notation

import (
	"strings"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// reserved holds the words that cannot be names.
var reserved = makeSet(`vary expect table plot draw prefer trials
	sum product integral derivative root largest smallest limit
	if then else and or not between within
	for from to in as on at of because given with`)

// IsReserved reports whether a word belongs to the notation and so cannot be
// a name. Function names are not reserved words; see Builtins.
func IsReserved(word string) bool { return reserved[word] }

// A Builtin is a function that the notation brings along.
type Builtin struct {
	Name             string
	MinArgs, MaxArgs int // MaxArgs is -1 where there is no limit
}

// Builtins lists the functions of the notation with the number of arguments
// each takes. Their names cannot be defined. The value must not be changed.
var Builtins = []Builtin{
	{"sqrt", 1, 1}, {"abs", 1, 1},
	{"sin", 1, 1}, {"cos", 1, 1}, {"tan", 1, 1},
	{"asin", 1, 1}, {"acos", 1, 1}, {"atan", 1, 1}, {"atan2", 2, 2},
	{"exp", 1, 1}, {"ln", 1, 1}, {"log10", 1, 1},
	{"floor", 1, 1}, {"ceil", 1, 1}, {"round", 1, 1},
	{"min", 1, -1}, {"max", 1, -1},
	{"low", 1, 1}, {"high", 1, 1}, {"width", 1, 1}, {"mid", 1, 1},
}

var builtins = func() map[string]Builtin {
	m := make(map[string]Builtin, len(Builtins))
	for _, b := range Builtins {
		m[b.Name] = b
	}
	return m
}()

// LookupBuiltin returns the built-in function of that name.
func LookupBuiltin(name string) (Builtin, bool) {
	b, ok := builtins[name]
	return b, ok
}

// otherNames are the names of functions as books write them, with ours.
var otherNames = map[string]string{"arcsin": "asin", "arccos": "acos", "arctan": "atan"}

func makeSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}

// greek maps the English name of each Greek letter, lower case, to the letter;
// the name with a capital is the capital letter.
var greek = func() map[string]string {
	names := strings.Fields(`alpha beta gamma delta epsilon zeta eta theta iota kappa
		lambda mu nu xi omicron pi rho sigma tau upsilon phi chi psi omega`)
	small := []rune("αβγδεζηθικλμνξοπρστυφχψω")
	capital := []rune("ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ")
	m := make(map[string]string, 2*len(names))
	for i, name := range names {
		m[name] = string(small[i])
		m[strings.ToUpper(name[:1])+name[1:]] = string(capital[i])
	}
	return m
}()

// fold returns the letter for a code point that looks the same, or that is
// another drawing of the same letter (Unicode Standard, chapter 7.2, Greek
// letters as symbols). The ohm sign is folded by NFC already.
func fold(r rune) rune {
	if '\U0001D400' <= r && r <= '\U0001D7FF' { // 𝑇 and 𝜏, as pasted from formulas
		for _, plain := range norm.NFKC.String(string(r)) {
			return fold(plain)
		}
	}
	switch r {
	case 'µ': // micro sign
		return 'μ'
	case '∆': // increment
		return 'Δ'
	case 'ϕ':
		return 'φ'
	case 'ϵ':
		return 'ε'
	case 'ϑ':
		return 'θ'
	}
	return r
}

// Canonical returns the one spelling under which a name is known: composed
// (NFC), look-alike letters folded, each part between underscores that spells a
// Greek letter replaced by the letter, subscript digits written with "_":
// theta_max is θ_max, d₀ is d_0, Deltax stays as it is.
func Canonical(name string) string {
	if len(name) == 1 {
		return name
	}
	if needsFolding(name) {
		name = folded(norm.NFC.String(name))
	}
	if strings.IndexByte(name, '_') < 0 {
		if letter, ok := greek[name]; ok {
			return letter
		}
		return name
	}
	parts := strings.Split(name, "_")
	changed := false
	for i, part := range parts {
		if letter, ok := greek[part]; ok {
			parts[i], changed = letter, true
		}
	}
	if !changed {
		return name
	}
	return strings.Join(parts, "_")
}

// needsFolding reports whether a name holds anything that is not its own
// canonical spelling, letter by letter.
func needsFolding(name string) bool {
	if isASCII(name) {
		return false
	}
	for _, r := range name {
		if isSubscript(r) || fold(r) != r {
			return true
		}
	}
	return !norm.NFC.IsNormalString(name)
}

// folded replaces look-alikes; a run of subscript digits gets one underscore,
// none where one is written already.
func folded(name string) string {
	var b strings.Builder
	previous := rune(0)
	for _, r := range name {
		if !isSubscript(r) {
			b.WriteRune(fold(r))
			previous = r
			continue
		}
		if previous != '_' && !isSubscript(previous) {
			b.WriteByte('_')
		}
		b.WriteByte(byte(r-'₀') + '0')
		previous = r
	}
	return b.String()
}

func isSubscript(r rune) bool { return '₀' <= r && r <= '₉' }

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}
