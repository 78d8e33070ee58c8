package typeset

import (
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/notation"
)

// functionText is how a built-in function is written; one that is not listed
// is written as it is. arcsin and its like follow ISO 80000-2.
var functionText = map[string]string{
	"asin": "arcsin", "acos": "arccos", "atan": "arctan", "log10": "log",
	"sin": "sin", "cos": "cos", "tan": "tan", "atan2": "atan2", "exp": "exp", "ln": "ln", "log": "log",
	"sqrt": "sqrt", "abs": "abs", "floor": "floor", "ceil": "ceil", "round": "round", "min": "min", "max": "max",
	"low": "low", "high": "high", "width": "width", "mid": "mid",
}

var trigonometric = map[string]bool{"sin": true, "cos": true, "tan": true}

func isFunction(n *notation.Name) bool {
	if n == nil {
		return false
	}
	_, ok := functionText[n.Ident]
	return ok
}

func functionBox(name string) box {
	word := ident{functionText[name], true}
	if name == "log10" {
		return script{base: word, sub: digits("10")}
	}
	return word
}

// nameBox sets a name: what stands after _ becomes a subscript, further parts
// are parted by commas.
func nameBox(name string) box {
	parts := strings.Split(name, "_")
	var subs row
	for _, part := range parts[1:] {
		if part == "" {
			return ident{name, true}
		}
		if subs != nil {
			subs = append(subs, op{",", tight})
		}
		subs = append(subs, symbolBox(part))
	}
	base := symbolBox(parts[0])
	if subs == nil {
		return base
	}
	return script{base: base, sub: unwrap(subs)}
}

// symbolBox sets a part of a name: one letter in italics, a word upright,
// digits as a number, Δ before the rest as a sign of its own.
func symbolBox(part string) box {
	first, size := utf8.DecodeRuneInString(part)
	switch {
	case part == "π":
		return ident{part, true}
	case strings.Trim(part, "0123456789") == "":
		return digits(part)
	case size == len(part):
		return ident{part, false}
	case first == 'Δ' || first == 'δ':
		return row{ident{part[:size], true}, symbolBox(part[size:])}
	}
	return ident{part, true}
}

// fieldBox sets the name of a field of a shaft: J, d, twist, stress_max.
func fieldBox(field string) box { return nameBox(field) }

// unwrap returns the only box of a row.
func unwrap(r row) box {
	if len(r) == 1 {
		return r[0]
	}
	return r
}
