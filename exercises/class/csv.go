package class

import (
	"strconv"
	"strings"
)

// CSVCell makes a text safe as a cell of a CSV file that a spreadsheet may open:
// one that begins with a sign from which a spreadsheet would go on to read a
// formula (= + - @, a tab or a carriage return) gets an apostrophe before it. A
// plain number such as -1.5 stays a number. Quoting is left to encoding/csv.
//
// Source: the OWASP page "CSV Injection", the list of signs, from memory.
func CSVCell(s string) string {
	if s == "" {
		return s
	}
	switch s[0] {
	case '=', '@', '\t', '\r':
		return "'" + s
	case '+', '-':
		if _, err := strconv.ParseFloat(s, 64); err != nil {
			return "'" + s
		}
	}
	return s
}

// CSVText returns the text of which CSVCell made a cell, so that a file of ours gives
// the same when it is read again.
func CSVText(cell string) string {
	if text, marked := strings.CutPrefix(cell, "'"); marked && CSVCell(text) == cell {
		return text
	}
	return cell
}
