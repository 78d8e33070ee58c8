// Package derivation puts a learner's derivation to work: it reads the text, puts in
// what was written into the gaps, has the steps judged, and runs the lines with
// the numbers given. How that looks is the business of package page.
package derivation

import (
	"context"
	"errors"
	"strings"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// What a sheet may hold.
const (
	TextLimit  = 16 << 10 // bytes of the text
	FieldLimit = 2000     // bytes of what fills one gap, and of one number
	LineLimit  = 200
)

// ErrTooLong is returned for a sheet beyond its limits.
var ErrTooLong = errors.New("a derivation can have at most 200 lines and 16 384 bytes, and a gap 2000 bytes")

// A Input is what the learner has written.
type Input struct {
	Text string
	Gaps []string          // what fills the gaps, in their order; "" leaves one open
	Data map[string]string // given name → the number with its unit

	Memory *derive.Memory // of the steps judged before; may be nil
}

// An Outcome is the outcome of a derivation.
type Outcome struct {
	Text   *source.Text
	Cell   *notation.DeriveCell // with the gaps filled
	Lines  []Line
	Rest   source.List // said of no line that stands here
	Givens []Given
	Run    Run
}

// A Line is one line with what was found.
type Line struct {
	Node        notation.DeriveLine
	Gap         int    // the line is a gap: its number, from 1; else 0
	Filled      string // what stands in the gap
	Verdict     *derive.Verdict
	Diagnostics source.List
	Value       *derive.LineValue // nil unless the sheet was run with numbers
}

// A Given is a given name with its number, if there is one.
type Given struct {
	derive.GivenName
	Value string // as written
	Said  string // what is wrong with it; "" if nothing
}

// A Run is how the lines came out with the numbers. The zero Run is one that
// was not asked for.
type Run struct {
	Asked bool   // there is at least one number
	Ready bool   // all lines that have a value were run
	Said  string // why not, if not
	Parts int    // index of the first line whose value is not that of the line above, or -1
}

// Judge puts a sheet to work. The error is ErrTooLong or ctx's: what was cut off is
// not an outcome.
func Judge(ctx context.Context, s Input) (*Outcome, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	text := source.NewText("", s.Text)
	cell, list := notation.ParseDerivation(text)
	if len(cell.Lines) > LineLimit {
		return nil, ErrTooLong
	}
	o := &Outcome{Text: text, Cell: cell}
	for i, line := range cell.Lines {
		o.Lines = append(o.Lines, Line{Node: line})
		if step, ok := line.(*notation.DeriveStep); ok && step.Gap {
			o.fill(i, step, s.Gaps)
		}
	}
	cell, list = derive.ChooseReadings(o.Cell, list)
	for i, line := range cell.Lines {
		o.Lines[i].Node = line
	}
	o.Cell = cell
	report := derive.Judge(ctx, cell, derive.Settings{Memory: s.Memory})
	for i := range report.Verdicts {
		if at := o.lineOf(report.Verdicts[i].Span); at >= 0 {
			o.Lines[at].Verdict = &report.Verdicts[i]
		}
	}
	list = append(list, report.Diagnostics...)
	list.Sort()
	for _, d := range derive.KeepProved(ctx, text, list, report.Verdicts) {
		if at := o.lineOf(d.Span); at >= 0 {
			o.Lines[at].Diagnostics = append(o.Lines[at].Diagnostics, d)
		} else {
			o.Rest = append(o.Rest, d)
		}
	}
	o.run(ctx, s.Data)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return o, nil
}

// CodeTooLong: a derivation is beyond the limits of a sheet.
const CodeTooLong source.Code = "sheet-too-long"

// Unjudged is the outcome for a text that is too long: nothing but a message
// that says so.
func Unjudged(content string) *Outcome {
	text := source.NewText("", content)
	o := &Outcome{Text: text, Cell: &notation.DeriveCell{Text: text}}
	o.Run.Parts = -1
	o.Rest.Addf(source.Span{Text: text}, CodeTooLong, "this is too long to check: %v", ErrTooLong).
		Repair = "split it into several derivations"
	return o
}

// Check returns ErrTooLong for a sheet beyond its limits.
func (s Input) Check() error {
	if len(s.Text) > TextLimit || len(s.Gaps) > LineLimit || len(s.Data) > LineLimit {
		return ErrTooLong
	}
	for _, g := range s.Gaps {
		if len(g) > FieldLimit {
			return ErrTooLong
		}
	}
	for _, d := range s.Data {
		if len(d) > FieldLimit {
			return ErrTooLong
		}
	}
	return nil
}

// fill puts a step that the learner wrote in the place of a gap. It is read on
// its own, so that an open bracket in it cannot swallow the line below.
func (o *Outcome) fill(at int, gap *notation.DeriveStep, fills []string) {
	line := &o.Lines[at]
	for _, before := range o.Lines[:at] {
		if before.Gap > 0 {
			line.Gap = before.Gap
		}
	}
	line.Gap++
	if line.Gap > len(fills) {
		return
	}
	line.Filled = strings.TrimSpace(strings.Map(oneLine, fills[line.Gap-1]))
	if strings.TrimLeft(line.Filled, "= ?") == "" {
		return
	}
	// A step needs a line above it; the place of its messages is the gap's line.
	text := source.NewText("", "x = 0\n= "+strings.TrimLeft(line.Filled, "= "))
	text.FirstLine = gap.Span().Position().Line - 1
	read, list := notation.ParseDerivation(text)
	if list.HasErrors() || len(read.Lines) != 2 {
		line.Diagnostics = withoutRepairs(list)
		return
	}
	step, ok := read.Lines[1].(*notation.DeriveStep)
	if !ok || step.Gap {
		return
	}
	if step.Reason == "" {
		step.Reason = gap.Reason
	}
	line.Node, line.Diagnostics = step, withoutRepairs(list)
	o.Cell.Lines[at] = step
}

// withoutRepairs returns the messages about what fills a gap, whose text is not the
// derivation's, so that no button can replace a piece of it.
func withoutRepairs(list source.List) source.List {
	for i := range list {
		list[i].Fix, list[i].Choices = nil, nil
	}
	return list
}

func oneLine(r rune) rune {
	if r == '\n' || r == '\r' {
		return ' '
	}
	return r
}

// lineOf returns the index of the line in which a place lies, or -1.
func (o *Outcome) lineOf(s source.Span) int {
	if !s.IsValid() {
		return -1
	}
	for i := range o.Lines {
		if at := o.Lines[i].Node.Span(); at.Text == s.Text && at.Start <= s.Start && s.Start <= at.End {
			return i
		}
	}
	row := s.Position().Line
	for i := range o.Lines {
		if o.Lines[i].Node.Span().Position().Line == row {
			return i
		}
	}
	return -1
}

// FirstFailure returns the index of the first line that does not follow, or -1.
func (o *Outcome) FirstFailure() int {
	for i, l := range o.Lines {
		if l.Verdict != nil && l.Verdict.Kind == derive.Fails {
			return i
		}
	}
	return -1
}
