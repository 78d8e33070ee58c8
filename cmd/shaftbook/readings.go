package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

const readingsUsage = `shaftbook readings FILE.csv [--name NAME]

Prints the readings of a file of two columns as a statement for a calculation cell. The
first line has a name and a unit for each column, as in

    T (N·m), θ (deg)

or T / N·m, T in N·m, or a name alone for pure numbers. Each other line has what was set
and what was read. Columns are parted by commas, semicolons or tabs; beside the last two a
comma in a number is a decimal mark. What is printed is the readings as a lesson holds
them: the file is not looked at again.
`

// mostReadingsBytes is more than a file with as many readings as are taken has.
const mostReadingsBytes = 1_000_000

func readings(_ context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("readings", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), readingsUsage) }
	name := flags.String("name", "test", "`NAME` of the readings in the lesson")
	files, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	if len(files) != 1 {
		return wrongUsage(flags, "name one file")
	}
	file, err := os.Open(files[0])
	if err != nil {
		return err
	}
	defer file.Close()
	content, err := io.ReadAll(io.LimitReader(file, mostReadingsBytes+1))
	if err != nil {
		return err
	}
	if len(content) > mostReadingsBytes {
		return fmt.Errorf("%s has more than %d kilobytes, and a statement takes %d readings at most: leave the others out", files[0], mostReadingsBytes/1000, notation.MaxReadings)
	}
	statement, err := readingsStatement(*name, content)
	if err != nil {
		return fmt.Errorf("%s: %w", files[0], err)
	}
	_, err = fmt.Fprintln(out, statement)
	return err
}

// readingsStatement turns a file of two columns into a statement.
func readingsStatement(name string, content []byte) (string, error) {
	content = bytes.TrimPrefix(content, []byte("\uFEFF"))
	if !utf8.Valid(content) {
		return "", errors.New("the file is not in UTF-8: save it as such")
	}
	content = bytes.ReplaceAll(content, []byte("\r\n"), []byte("\n"))
	content = bytes.ReplaceAll(content, []byte("\r"), []byte("\n"))
	mark := separator(bytes.TrimLeft(content, "\n"))
	decimal := byte(0) // the decimal mark of the numbers so far
	r := csv.NewReader(bytes.NewReader(content))
	r.Comma, r.FieldsPerRecord, r.TrimLeadingSpace = mark, -1, true
	var b strings.Builder
	for count := 0; ; count++ {
		row, err := r.Read()
		if err == io.EOF {
			if count < 2 {
				return "", errors.New("there are no readings: a line of names and units comes first, then a line for each reading")
			}
			break
		}
		if err != nil {
			return "", err
		}
		line, _ := r.FieldPos(0)
		if len(row) != 2 {
			return "", fmt.Errorf("line %d has %d columns: give it two, what was set and what was read", line, len(row))
		}
		if count == 0 {
			fmt.Fprintf(&b, "readings %s of %s, %s:", name, axisText(row[0]), axisText(row[1]))
			continue
		}
		x, errX := readingText(row[0], mark)
		y, errY := readingText(row[1], mark)
		if err := errors.Join(errX, errY); err != nil {
			return "", fmt.Errorf("line %d: %w", line, err)
		}
		if count > notation.MaxReadings {
			return "", fmt.Errorf("line %d: there are more than %d readings, and a statement takes no more: leave some out", line, notation.MaxReadings)
		}
		for _, text := range row {
			at := strings.IndexAny(text, ".,")
			if at < 0 {
				continue
			}
			if decimal != 0 && text[at] != decimal {
				return "", fmt.Errorf("line %d: “%s” has another decimal mark than the numbers before it: write all with one mark", line, strings.TrimSpace(text))
			}
			if decimal = text[at]; decimal == ',' && grouped.MatchString(strings.TrimSpace(text)) {
				return "", fmt.Errorf("line %d: “%s” may be a whole number of thousands or have a decimal comma: write it without the comma, or with a point", line, strings.TrimSpace(text))
			}
		}
		if count > 1 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, "\n  %s: %s", x, y)
	}
	_, list := notation.ParseCell(source.NewText("", b.String()))
	if d := list.FirstError(); d != nil {
		return "", fmt.Errorf("as a statement it cannot be read: %s", strings.TrimSpace(d.Render()))
	}
	return b.String(), nil
}

// grouped matches a number of which a comma may part the thousands or the decimals.
var grouped = regexp.MustCompile(`^[-+−]?[1-9][0-9]{0,2},[0-9]{3}$`)

// separator is what parts the columns, by the first line.
func separator(content []byte) rune {
	first, _, _ := bytes.Cut(content, []byte("\n"))
	for _, mark := range "\t;" {
		if bytes.ContainsRune(first, mark) {
			return mark
		}
	}
	return ','
}

// axisText turns "T (N·m)" and "T / N·m" into "T in N·m".
func axisText(head string) string {
	head = strings.TrimSpace(head)
	if strings.Contains(head, " in ") {
		return head
	}
	i := strings.IndexAny(head, "([/")
	if i < 0 {
		return head
	}
	name, unit := strings.TrimSpace(head[:i]), strings.TrimSpace(head[i+1:])
	if closing := map[byte]string{'(': ")", '[': "]"}[head[i]]; closing != "" {
		unit = strings.TrimSpace(strings.TrimSuffix(unit, closing))
	}
	return name + " in " + unit
}

// readingText is a number as the notation writes it, with the digits that the file has.
func readingText(text string, mark rune) (string, error) {
	text = strings.TrimSpace(text)
	plain := strings.ReplaceAll(text, "−", "-")
	if mark != ',' {
		plain = strings.Replace(plain, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) || strings.ContainsAny(plain, "xXpP_") {
		return "", fmt.Errorf("“%s” is not a number", text)
	}
	return strings.TrimPrefix(plain, "+"), nil
}
