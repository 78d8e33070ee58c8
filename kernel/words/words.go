// Package words puts counts and lists into English.
package words

import (
	"strconv"
	"strings"
)

// Count returns a count with a noun that takes an s: "1 row", "2 rows".
func Count(n int, noun string) string { return CountOf(n, noun, noun+"s") }

// CountOf returns a count with the words for one and for any other number:
// "1 try", "0 tries".
func CountOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// Amount is Count for a number that may have decimals: "1 point", "2.5 points".
func Amount(x float64, noun string) string {
	text := strconv.FormatFloat(x, 'g', -1, 64) + " " + noun
	if x == 1 {
		return text
	}
	return text + "s"
}

// Are returns "is" for one and "are" for any other number.
func Are(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// And lists words: "a", "a and b", "a, b and c". It is empty for no words.
func And(list []string) string { return joined(list, " and ") }

// Or lists words of which one is meant: "a", "a or b", "a, b or c".
func Or(list []string) string { return joined(list, " or ") }

func joined(list []string, last string) string {
	n := len(list)
	if n < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:n-1], ", ") + last + list[n-1]
}
