package typeset

import (
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
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

func functionBox(name string) box.Box {
	word := box.Ident{Name: functionText[name], Upright: true}
	if name == "log10" {
		return box.Script{Base: word, Sub: box.Digits("10")}
	}
	return word
}

// nameBox sets a name: the part after _ becomes a subscript, further parts
// are parted by commas.
func nameBox(name string) box.Box {
	parts := strings.Split(name, "_")
	var subs box.Row
	for _, part := range parts[1:] {
		if part == "" {
			return box.Ident{Name: name, Upright: true}
		}
		if subs != nil {
			subs = append(subs, box.Op{Sign: ",", Form: box.Tight})
		}
		subs = append(subs, symbolBox(part))
	}
	base := symbolBox(parts[0])
	if subs == nil {
		return base
	}
	return box.Script{Base: base, Sub: box.Unwrap(subs)}
}

// symbolBox sets a part of a name: one letter in italics, a word upright,
// Digits as a number, Δ before the rest as a sign of its own.
func symbolBox(part string) box.Box {
	first, size := utf8.DecodeRuneInString(part)
	switch {
	case part == "π":
		return box.Ident{Name: part, Upright: true}
	case strings.Trim(part, "0123456789") == "":
		return box.Digits(part)
	case size == len(part):
		return box.Ident{Name: part, Upright: false}
	case first == 'Δ' || first == 'δ':
		return box.Row{box.Ident{Name: part[:size], Upright: true}, symbolBox(part[size:])}
	}
	return box.Ident{Name: part, Upright: true}
}

// fieldBox sets the name of a field of a shaft: J, d, twist, stress_max.
// The greatest of something has its index, as in print; all others are words.
func fieldBox(field string) box.Box {
	if strings.Contains(field, "_") && !strings.HasSuffix(field, "_max") {
		return box.Ident{Name: field, Upright: true}
	}
	return nameBox(field)
}
