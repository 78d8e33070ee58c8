package shaft

import (
	"strings"

	"shaftbook/kernel/figure/canvas"
)

// wrap breaks a sentence into lines of at most the given width.
func wrap(s string, width float64) []string {
	var lines []string
	line := ""
	for _, word := range unbroken(s, width) {
		if line != "" && canvas.TextWidth(line+" "+word, canvas.TextSize) > width {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line == "" {
		return lines
	}
	return append(lines, line)
}

// unbroken are the words of a text; what an equals sign joins is one word where it fits.
func unbroken(s string, width float64) []string {
	var words []string
	fields := strings.Fields(s)
	for i, word := range fields {
		if last := len(words) - 1; last >= 0 && (word == "=" || fields[i-1] == "=") {
			joined := words[last] + " " + word
			if canvas.TextWidth(joined, canvas.TextSize) <= width {
				words[last] = joined
				continue
			}
		}
		words = append(words, word)
	}
	return words
}
