package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

const calcUsage = `shaftbook calc FILE [--json] [--all]

Evaluates a lesson (.md) or a plain file of statements (.calc) and prints each
statement with its result. Then it checks the derivations of the lesson, or of a
plain file with one derivation (.derive), and prints each step with its verdict.
With --json it prints one JSON object per line. All lines are printed even if some
fail; the exit status is then 1. A line that fails only because another does, waits
for it and says so. Of a cell with many errors the first three are printed, or with
--all every one.
`

// errFailed ends a command whose output has said all there is to say.
var errFailed = errors.New("there are errors")

func calc(ctx context.Context, args []string, out io.Writer) error {
	flags := flag.NewFlagSet("calc", flag.ContinueOnError)
	flags.Usage = func() { fmt.Fprint(flags.Output(), calcUsage) }
	asJSON := flags.Bool("json", false, "print one JSON object per line")
	all := flags.Bool("all", false, "print every error of a cell")
	files, err := parseInterspersed(flags, args)
	if err != nil {
		return err
	}
	if len(files) != 1 {
		return wrongUsage(flags, "name one file, a lesson or a file of statements, not %d", len(files))
	}
	cells, derivations, err := readCells(files[0])
	if err != nil {
		return err
	}
	results, err := evaluate(ctx, cells)
	if err != nil {
		return err
	}
	write := func(out io.Writer, r *kernel.Result) error { return writeText(out, r, *all) }
	if *asJSON {
		write = writeJSON
	}
	failed := false
	for i := range results {
		failed = failed || results[i].Failed()
		if err := write(out, &results[i]); err != nil {
			return err
		}
	}
	wrong, err := judgeAll(ctx, derivations, *asJSON, out)
	if err != nil {
		return err
	}
	if failed || wrong {
		return errFailed
	}
	return nil
}

// parseInterspersed parses flags that may stand before or after file names.
func parseInterspersed(flags *flag.FlagSet, args []string) (files []string, err error) {
	for {
		if err := parseFlags(flags, args); err != nil {
			return nil, err
		}
		args = flags.Args()
		if len(args) == 0 {
			return files, nil
		}
		files, args = append(files, args[0]), args[1:]
	}
}

// readCells reads the working of a file: the cells of a lesson, or a plain
// file of statements as one cell; and its derivations.
func readCells(name string) (cells []kernel.Cell, derivations []*source.Text, err error) {
	content, err := os.ReadFile(name)
	if err != nil {
		return nil, nil, err
	}
	extension := strings.ToLower(filepath.Ext(name))
	if extension != ".md" && len(content) > notation.MaxText {
		return nil, nil, fmt.Errorf("%s has %d kilobytes, and a plain file is one cell of at most %d: split it into several cells of a lesson (.md)",
			name, (len(content)+1023)>>10, notation.MaxText>>10)
	}
	switch extension {
	case ".derive":
		return nil, []*source.Text{source.NewText(name, string(content))}, nil
	case ".md":
	default:
		return []kernel.Cell{{ID: "calc-1", Kind: kernel.Calc, Text: source.NewText(name, string(content))}}, nil, nil
	}
	lesson, list := lessons.Parse(name, content)
	if lesson == nil {
		return nil, nil, list.Err()
	}
	for _, c := range lesson.CellsOf(lessons.Derive) {
		derivations = append(derivations, c.Text)
	}
	return lesson.WorkingCells(), derivations, nil
}

// evaluate returns the results in the order of the text.
func evaluate(ctx context.Context, cells []kernel.Cell) ([]kernel.Result, error) {
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells(cells)
	if err := w.Evaluate(ctx, nil); err != nil {
		return nil, err
	}
	var results []kernel.Result
	for _, c := range cells {
		results = append(results, w.Results(c.ID)...)
	}
	return results, nil
}

// writeText prints a statement as a line of working.
func writeText(out io.Writer, r *kernel.Result, all bool) error {
	line := fmt.Sprintf("%4d  %s", lineOf(r), statementText(r))
	if r.Text != "" && r.Kind != kernel.KindShaft && !strings.HasSuffix(line, "= "+r.Text) {
		line += "   → " + r.Shown()
	}
	if r.Kind == kernel.KindShaft {
		line += "   " + r.Shown()
	}
	if r.Verdict != nil && r.Verdict.Margin != "" {
		line += ": " + r.Verdict.Margin
	}
	if r.Span.IsValid() { // of a cell that is too long there is only the message
		if _, err := fmt.Fprintln(out, line); err != nil {
			return err
		}
	}
	if r.Table != nil {
		writeTable(out, r.Table)
	}
	if r.Trials != nil {
		for _, f := range r.Trials.Fits {
			fmt.Fprintln(out, "      "+f.Text)
		}
	}
	if r.Cause != nil {
		fmt.Fprintf(out, "      waits for %s\n", placeText(r.Cause))
	}
	for _, d := range r.Said(all) {
		if d.Reading {
			fmt.Fprintf(out, "      – %s\n", d.Message)
			continue
		}
		fmt.Fprint(out, prefixed(d.Render(), "      ! "))
	}
	return nil
}

// lineOf is the line of a result. A cell that is too long to be read has one result,
// without a statement.
func lineOf(r *kernel.Result) int {
	if !r.Span.IsValid() && len(r.Diagnostics) > 0 {
		return r.Diagnostics[0].Span.Position().Line
	}
	return r.Span.Position().Line
}

// placeText names the line that a statement waits for.
func placeText(p *kernel.Place) string {
	if p.Name != "" {
		return p.Name
	}
	return "“" + p.Text + "”"
}

func statementText(r *kernel.Result) string {
	if r.Kind == kernel.KindShaft {
		return "shaft " + r.Name
	}
	return strings.Join(strings.Fields(r.Span.Content()), " ")
}

func prefixed(text, first string) string {
	var b strings.Builder
	for i, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		if i > 0 {
			first = strings.Repeat(" ", len(first))
		}
		fmt.Fprintln(&b, first+line)
	}
	return b.String()
}

func writeTable(out io.Writer, t *kernel.Table) {
	var head []string
	for _, h := range t.Headers {
		name := h.Label
		if name == "" {
			name = notation.Print(h.Expr)
		}
		if h.Unit != "" {
			name += ", " + h.Unit
		}
		head = append(head, name)
	}
	fmt.Fprintln(out, "      "+strings.Join(head, "\t"))
	for _, row := range t.Marked() {
		fmt.Fprintln(out, "      "+strings.Join(row, "\t"))
	}
}

// jsonResult is one line of calc --json.
type jsonResult struct {
	Line      int          `json:"line"`
	Name      string       `json:"name"`
	SI        *float64     `json:"si"`
	Low       *float64     `json:"low"`
	High      *float64     `json:"high"`
	Certain   *bool        `json:"certain,omitempty"`
	Why       string       `json:"why,omitempty"` // why a value is not certain
	Dimension *string      `json:"dimension"`
	Text      string       `json:"text"`
	Holds     *bool        `json:"holds,omitempty"`
	Margin    string       `json:"margin,omitempty"`
	Columns   []string     `json:"columns,omitempty"`
	Rows      [][]*float64 `json:"rows,omitempty"` // null where a cell has no value
	Error     *jsonError   `json:"error"`
	Notes     []jsonError  `json:"notes,omitempty"`
}

type jsonError struct {
	Message string `json:"message"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Length  int    `json:"length"`
}

func writeJSON(out io.Writer, r *kernel.Result) error {
	line := jsonResult{Line: lineOf(r), Name: jsonName(r), Text: r.Text}
	if r.Verdict != nil {
		line.Holds, line.Margin = &r.Verdict.Holds, r.Verdict.Margin
	}
	if v := r.Value; v != nil {
		line.fillValue(v)
	}
	line.fillCertainty(r)
	if r.Table != nil {
		line.Rows = jsonRows(r.Table.Numbers)
		for _, h := range r.Table.Headers {
			name := h.Label
			if h.Expr != nil {
				name = notation.Print(h.Expr)
			}
			line.Columns = append(line.Columns, name)
		}
	}
	for _, d := range r.Diagnostics {
		p := d.Span.Position()
		e := jsonError{Message: d.Error(), Line: p.Line, Column: p.Column, Length: p.Length}
		if d.Severity == source.Note {
			line.Notes = append(line.Notes, e)
		} else if line.Error == nil {
			line.Error = &e
		}
	}
	return encodeLine(out, line)
}

// jsonRows returns the numbers of a table; one that is absent is null.
func jsonRows(rows [][]float64) [][]*float64 {
	list := make([][]*float64, len(rows))
	for i, row := range rows {
		list[i] = make([]*float64, len(row))
		for k := range row {
			if !math.IsNaN(row[k]) {
				list[i][k] = &row[k]
			}
		}
	}
	return list
}

func (l *jsonResult) fillValue(v *kernel.Value) {
	dimension := v.Dim.String()
	l.Dimension = &dimension
	if v.IsTruth {
		l.Holds = &v.Truth
		return
	}
	l.SI = &v.Number
	if v.IsBracket {
		l.Low, l.High = &v.Low, &v.High
	}
}

// fillCertainty returns whether a number is certain to the last digit of its text,
// and between which values it lies if so. A bracket is certain as it is.
func (l *jsonResult) fillCertainty(r *kernel.Result) {
	if r.Value != nil && r.Value.IsBracket {
		certain := true
		l.Certain = &certain
		return
	}
	c, ok := r.Certainty()
	if !ok {
		return
	}
	l.Certain, l.Why = &c.Certain, c.Reason
	if c.Certain && r.Value != nil {
		l.Low, l.High = &c.Low, &c.High
	}
}

// jsonName is the name a line is found by: the name defined or shown, else the
// text of the statement.
func jsonName(r *kernel.Result) string {
	if r.Name != "" {
		return r.Name
	}
	if show, ok := r.Node.(*notation.Show); ok {
		return show.Expr.Span().Content()
	}
	return statementText(r)
}
