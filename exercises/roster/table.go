package roster

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"shaftbook/exercises/class"
)

// A table is one file as columns and rows.
type table struct {
	file    string
	columns map[string]int // folded header → column
	heads   []string       // as they are written
	rows    []row
}

// A row is one record, which may go over several lines.
type row struct {
	number int
	text   string
	fields []string
}

// field returns the cell of a column, without spaces around it and without
// the sign by which a file of ours keeps it from being a formula.
func (t *table) field(r row, column string) string {
	i, ok := t.columns[column]
	if !ok || i >= len(r.fields) {
		return ""
	}
	return clean(class.CSVText(r.fields[i]))
}

func (t *table) has(column string) bool { _, ok := t.columns[column]; return ok }

// readTable reads a file as CSV. Lines that are not CSV are bad and cost only
// themselves.
func readTable(f File) (*table, []Bad, error) {
	text, err := decoded(f)
	if err != nil {
		return nil, nil, err
	}
	lines := strings.Split(text, "\n")
	r := csv.NewReader(strings.NewReader(text))
	r.Comma = separator(text)
	r.FieldsPerRecord = -1
	t := &table{file: f.Name}
	var bad []Bad
	for {
		fields, err := r.Read()
		if err == io.EOF {
			break
		}
		var wrong *csv.ParseError
		if errors.As(err, &wrong) {
			if t.columns == nil {
				return nil, nil, &Unreadable{f.Name, "The first line is not a valid line of a CSV file: " + csvWords(wrong) + "."}
			}
			bad = append(bad, Bad{f.Name, wrong.StartLine, t.shown(raw(lines, wrong.StartLine)), "This is not a valid line of a CSV file: " + csvWords(wrong) + "."})
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		if blank(fields) {
			continue
		}
		number, _ := r.FieldPos(0)
		if t.columns == nil {
			if err := t.head(fields); err != nil {
				return nil, nil, err
			}
			continue
		}
		if len(t.rows)+len(bad) == MaxLines {
			return nil, nil, &Unreadable{f.Name, fmt.Sprintf("The file has more than %d lines. Remove people from other classes.", MaxLines)}
		}
		this := row{number, raw(lines, number), fields}
		if len(fields) > len(t.heads) {
			bad = append(bad, Bad{f.Name, number, t.shown(this.text), fmt.Sprintf("It has %d fields, but the first line has %d. Put a field that contains a separator in quotation marks.", len(fields), len(t.heads))})
			continue
		}
		t.rows = append(t.rows, this)
	}
	if t.columns == nil {
		return nil, nil, &Unreadable{f.Name, "The file is empty."}
	}
	return t, bad, nil
}

// shown is the text of a line that could not be taken apart, unless a password
// may stand in it.
func (t *table) shown(text string) string {
	if t.has("password") {
		return ""
	}
	return text
}

// head takes the first line as the names of the columns.
func (t *table) head(fields []string) error {
	t.columns, t.heads = map[string]int{}, fields
	for i, f := range fields {
		name := foldHead(f)
		if _, twice := t.columns[name]; twice && name != "" {
			return &Unreadable{t.file, fmt.Sprintf("There are two columns “%s”.", clean(f))}
		}
		t.columns[name] = i
	}
	return nil
}

// foldHead is the form in which names of columns are compared.
func foldHead(s string) string {
	return strings.NewReplacer(" ", "", "-", "", "_", "").Replace(strings.ToLower(clean(s)))
}

// decoded is the text of a file. Only UTF-8 is read: in any other encoding a
// name could be taken in wrongly without anyone noticing.
func decoded(f File) (string, error) {
	data := bytes.TrimPrefix(f.Data, []byte("\xef\xbb\xbf"))
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		return "", &Unreadable{f.Name, "It is in UTF-16. Save it as “CSV UTF-8” and import it again."}
	}
	if !utf8.Valid(data) {
		at := 0
		for at < len(data) {
			r, n := utf8.DecodeRune(data[at:])
			if r == utf8.RuneError && n == 1 {
				break
			}
			at += n
		}
		line := bytes.Count(data[:at], []byte("\n")) + 1
		return "", &Unreadable{f.Name, fmt.Sprintf("It is not in UTF-8 (the first unreadable character is in line %d), so names could be wrong. Save it as “CSV UTF-8” and import it again.", line)}
	}
	return strings.ReplaceAll(strings.ReplaceAll(string(data), "\r\n", "\n"), "\r", "\n"), nil
}

// separator is the sign that occurs most often in the first line.
func separator(text string) rune {
	head, _, _ := strings.Cut(strings.TrimLeft(text, "\n"), "\n")
	best, most := ',', strings.Count(head, ",")
	for _, c := range ";\t" {
		if n := strings.Count(head, string(c)); n > most {
			best, most = c, n
		}
	}
	return best
}

func csvWords(e *csv.ParseError) string {
	switch {
	case errors.Is(e.Err, csv.ErrBareQuote):
		return "there is a quotation mark inside a field that does not begin with one"
	case errors.Is(e.Err, csv.ErrQuote):
		return "a quotation mark is not closed before the next separator"
	}
	return "it cannot be split into fields"
}

// raw is a line as it is in the file, cut where it is very long.
func raw(lines []string, number int) string {
	if number < 1 || number > len(lines) {
		return ""
	}
	text := []rune(lines[number-1])
	if len(text) > maxField {
		return string(text[:maxField]) + "…"
	}
	return string(text)
}

func blank(fields []string) bool {
	for _, f := range fields {
		if clean(f) != "" {
			return false
		}
	}
	return true
}
