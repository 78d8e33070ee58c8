package class

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// separators are where a spreadsheet may begin a new cell, whatever separates those
// of the file: in many countries it takes the semicolon.
const separators = ";\t\r\n"

// CSVCell makes a text safe as a cell of a CSV file that a spreadsheet may open: where
// a cell could begin and a sign follows from which a spreadsheet would go on to read a
// formula (= + - @, also full-width; at the beginning a tab or a carriage return), an
// apostrophe is put before it. A plain number such as -1.5 stays a number. Quoting is
// left to encoding/csv.
//
// Source: the OWASP page "CSV Injection", the list of signs, from memory.
func CSVCell(s string) string {
	var b strings.Builder
	if strings.HasPrefix(s, "\t") || strings.HasPrefix(s, "\r") {
		b.WriteByte('\'')
	}
	for _, piece := range pieces(s) {
		if isFormula(piece) {
			b.WriteByte('\'')
		}
		b.WriteString(piece)
	}
	return b.String()
}

// CSVText returns the text of which CSVCell made a cell, so that a file of ours gives
// the same when it is read again.
func CSVText(cell string) string {
	if strings.HasPrefix(cell, "'\t") || strings.HasPrefix(cell, "'\r") {
		cell = cell[1:]
	}
	var b strings.Builder
	for _, piece := range pieces(cell) {
		if text, marked := strings.CutPrefix(piece, "'"); marked && isFormula(text) {
			piece = text
		}
		b.WriteString(piece)
	}
	return b.String()
}

// pieces cuts a text behind each separator.
func pieces(s string) (list []string) {
	for {
		i := strings.IndexAny(s, separators)
		if i < 0 {
			return append(list, s)
		}
		list, s = append(list, s[:i+1]), s[i+1:]
	}
}

// isFormula reports whether a spreadsheet could read a cell with this text as a
// formula. It may take away spaces and quotes first.
func isFormula(piece string) bool {
	text := strings.TrimRight(strings.TrimLeft(piece, " \u00a0\u3000\""), separators)
	sign, _ := utf8.DecodeRuneInString(text)
	switch sign {
	case '=', '@', '＝', '＋', '－', '＠':
		return true
	case '+', '-':
		_, err := strconv.ParseFloat(text, 64)
		return err != nil
	}
	return false
}
