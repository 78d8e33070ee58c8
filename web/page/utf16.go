package page

import (
	"unicode/utf8"

	"shaftbook/kernel/source"
)

// Units returns the place of a span in UTF-16 code units, in which browsers
// count the characters of a text.
func Units(s source.Span) (from, to int) {
	text := s.Text.Content
	start := min(max(s.Start, 0), len(text))
	end := min(max(s.End, start), len(text))
	from = units(text[:start])
	return from, from + units(text[start:end])
}

func units(text string) int {
	n := 0
	for _, r := range text {
		n++
		if r >= 0x10000 && r != utf8.RuneError {
			n++
		}
	}
	return n
}
