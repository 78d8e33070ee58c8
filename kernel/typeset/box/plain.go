package box

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Plain returns a box as one line of plain text, such as "θ = 32·T·L/(π·G·d⁴)",
// for places that show no formulas, as the excerpts of a search.
func Plain(b Box) string {
	var w plainWriter
	w.box(b)
	return strings.Join(strings.Fields(w.String()), " ")
}

// plainWriter writes boxes as plain text.
type plainWriter struct{ strings.Builder }

func (w *plainWriter) box(b Box) {
	switch b := b.(type) {
	case Row:
		for _, child := range b {
			w.beside(child)
		}
	case Ident:
		w.WriteString(b.Name)
	case Digits:
		w.WriteString(string(b))
	case Op:
		w.op(b)
	case Text:
		w.WriteString(string(b))
	case Thin:
		w.WriteString(" ")
	case Space:
		if b > 0 {
			w.WriteString(" ")
		}
	case Apply:
	case Fraction:
		w.WriteString(bracketed(Plain(b.Num)) + "/" + bracketed(Plain(b.Den)))
	case Script:
		w.box(b.Base)
		w.script("_", b.Sub, nil)
		w.script("^", b.Sup, superiors)
	case Limits:
		w.box(b.Base)
		w.script("_", b.Under, nil)
		w.script("^", b.Over, superiors)
		w.WriteString(" ")
	case Root:
		w.WriteString(w.degree(b.Degree) + bracketed(Plain(b.X)))
	case Fence:
		w.WriteString(b.Open + Plain(b.X) + b.Close)
	case At:
		w.WriteString(Plain(b.X) + " at " + Plain(b.Place))
	case Cases:
		w.box(b.Table())
	case Unit:
		w.WriteString(string(b))
	case Accent:
		w.box(b.X)
	case Table:
		w.table(b)
	}
}

// beside writes a box after what is there. Two words side by side are parted, and
// a word from the letter before it.
func (w *plainWriter) beside(b Box) {
	text := Plain(b)
	switch b.(type) {
	case Op, Text, Thin, Space:
		w.box(b)
		return
	}
	if text == "" {
		return
	}
	last, _ := utf8.DecodeLastRuneInString(w.String())
	first, _ := utf8.DecodeRuneInString(text)
	_, name := b.(Ident)
	if unicode.IsLetter(last) && unicode.IsLetter(first) && (name && utf8.RuneCountInString(text) > 1 || w.endsInWord()) {
		w.WriteString(" ")
	}
	w.WriteString(text)
}

// endsInWord reports whether the last two characters are letters.
func (w *plainWriter) endsInWord() bool {
	s := w.String()
	last, n := utf8.DecodeLastRuneInString(s)
	before, _ := utf8.DecodeLastRuneInString(s[:len(s)-n])
	return unicode.IsLetter(last) && unicode.IsLetter(before)
}

func (w *plainWriter) op(b Op) {
	switch b.Form {
	case Infix, Relation:
		w.WriteString(" " + b.Sign + " ")
	case Comma:
		w.WriteString(b.Sign + " ")
	default:
		w.WriteString(b.Sign)
	}
}

// superiors are the characters that are set high in plain text.
var superiors = map[rune]rune{'0': '⁰', '1': '¹', '2': '²', '3': '³', '4': '⁴', '5': '⁵', '6': '⁶', '7': '⁷', '8': '⁸', '9': '⁹', '-': '⁻', '−': '⁻', '′': '′', '∘': '°', '°': '°'}

// script writes a subscript or superscript: by raised characters where there are
// some for all of it, or after a sign.
func (w *plainWriter) script(sign string, b Box, raised map[rune]rune) {
	if b == nil {
		return
	}
	text := Plain(b)
	if raised != nil {
		high, all := "", true
		for _, r := range text {
			h, ok := raised[r]
			all = all && ok
			high += string(h)
		}
		if all {
			w.WriteString(high)
			return
		}
	}
	w.WriteString(sign + bracketed(text))
}

func (w *plainWriter) degree(b Box) string {
	switch text := Plain(b); text {
	case "":
		return "√"
	case "3":
		return "∛"
	default:
		return text + "√"
	}
}

func (w *plainWriter) table(t Table) {
	for i, line := range t.Lines {
		if i > 0 {
			w.WriteString("; ")
		}
		for _, cell := range line {
			w.WriteString(Plain(cell) + " ")
		}
	}
}

// bracketed puts a text of more than one factor into brackets.
func bracketed(text string) string {
	for _, r := range text {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("._'′⁰¹²³⁴⁵⁶⁷⁸⁹°", r) {
			return "(" + text + ")"
		}
	}
	return text
}
