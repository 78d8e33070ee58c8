package page

import (
	"html"
	"slices"
	"strconv"
	"strings"

	"shaftbook/kernel/pattern"
)

// mostPlaces is how many decimals a number may get by losing its power of ten.
const mostPlaces = 9

// withOnePower returns the rows of a table with one power of ten in each column of
// numbers, where it can be told without adding or losing a digit: numbers with different
// negative powers are written without any if none of them needs more than mostPlaces
// decimals. Other columns, and rows that need no change, are shared with the argument.
func withOnePower(rows [][]string) [][]string {
	var powers []map[string]bool // of each column; "" is no power
	for _, row := range rows {
		for i, cell := range row {
			if i == len(powers) {
				powers = append(powers, map[string]bool{})
			}
			powers[i][powerOf(cell)] = true
		}
	}
	out := rows
	for i, found := range powers {
		if len(found) < 2 || len(found) == 2 && found[""] && !anyNumberWithout(rows, i) {
			continue
		}
		plain, ok := columnOf(rows, i)
		if !ok {
			continue
		}
		if &out[0] == &rows[0] {
			out = slices.Clone(rows)
		}
		for k, text := range plain {
			if text == "" || text == out[k][i] {
				continue
			}
			out[k] = slices.Clone(out[k])
			out[k][i] = text
		}
	}
	return out
}

// anyNumberWithout reports whether a column has a number other than zero that has no
// power of ten.
func anyNumberWithout(rows [][]string, column int) bool {
	return slices.ContainsFunc(rows, func(row []string) bool {
		if column >= len(row) || powerOf(row[column]) != "" || strings.Trim(row[column], "0.≈ −-") == "" {
			return false
		}
		_, ok := fractionOf(row[column])
		return ok
	})
}

// columnOf returns the cells of a column without powers of ten; "" where there is none.
func columnOf(rows [][]string, column int) ([]string, bool) {
	out := make([]string, len(rows))
	for k, row := range rows {
		if column >= len(row) {
			continue
		}
		text, ok := withoutPower(row[column])
		if !ok {
			return nil, false
		}
		out[k] = text
	}
	return out, true
}

var superscripts = strings.NewReplacer("⁻", "-", "⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")

// powerOf returns the power of ten at the end of a number, "" if it has none.
func powerOf(text string) string {
	at := strings.IndexAny(text, "·×")
	if at < 0 || !number().MatchString(text) {
		return ""
	}
	return text[at:]
}

// withoutPower writes a number with a negative power of ten as a decimal fraction with
// the same digits. Other texts are returned as they are; ok is false for a power that
// cannot be written so.
func withoutPower(text string) (string, bool) {
	tail := powerOf(text)
	if tail == "" {
		return text, true
	}
	head := strings.TrimSuffix(text, tail)
	_, digits, _ := strings.Cut(tail, "10")
	power, err := strconv.Atoi(superscripts.Replace(digits))
	start := strings.IndexAny(head, "0123456789")
	if err != nil || start < 0 || power >= 0 {
		return text, false
	}
	whole, decimals, _ := strings.Cut(head[start:], ".")
	if len(decimals)-power > mostPlaces {
		return text, false
	}
	all := strings.Repeat("0", max(0, 1-power-len(whole))) + whole
	return head[:start] + all[:len(all)+power] + "." + all[len(all)+power:] + decimals, true
}

// indexed is a name with an index, as it is typed.
var indexed = pattern.New(`([\pL][\pL\d]*)_([\pL\d]+)`)

// withIndices returns a text as HTML, with the names in it that have an index set as
// in formulas.
func withIndices(text string) string {
	return indexed().ReplaceAllString(html.EscapeString(text), "<i>$1</i><sub>$2</sub>")
}
