package source

import (
	"fmt"
	"sort"
	"strings"
)

// Severity is whether a diagnostic stops its statement.
type Severity int

const (
	Error Severity = iota // the statement has no result
	Note                  // the statement has a result; the reader should know this
)

// A Code names the rule behind a diagnostic; it is stable, so that tests, help
// pages and translations can rely on it. The codes are listed in the package that
// raises them.
type Code string

// A Diagnostic is one message with its place and, where there is one, a way
// out. Message is a sentence in the reader's words, without a final full stop.
type Diagnostic struct {
	Span     Span
	Code     Code
	Severity Severity
	Message  string
	Repair   string    // what to do, in words: "write T·L"; may be empty
	Fix      *Fix      // a replacement that carries out the repair; may be nil
	Choices  []Fix     // where the text can be read in several ways: each, written so that it has one; Fix is then nil
	Related  []Related // other places that explain this one
	Reading  bool      // a note of how a text was read that has one sensible reading; Fix is the usual spelling

	// Origin is the message that this one repeats at a place where it shows, for
	// example one inside a function's body that is repeated where the function is
	// used; nil for a message of its own.
	Origin *Diagnostic
	// Waiting is how many statements have no result because of this one.
	Waiting int
}

// First returns the message at the beginning of the chain of origins.
func (d *Diagnostic) First() *Diagnostic {
	for d.Origin != nil {
		d = d.Origin
	}
	return d
}

// A Fix replaces the text of Span by Text.
type Fix struct {
	Span Span
	Text string
}

// Related points at another place that explains a diagnostic.
type Related struct {
	Span    Span
	Message string
}

// Error returns the message with its repair on one line, without the place.
func (d Diagnostic) Error() string {
	if d.Repair == "" {
		return d.Message
	}
	return d.Message + ": " + d.Repair
}

// Render returns the message with its line and column, the line of text and a
// mark under the exact piece:
//
//	line 3, column 9: cannot add a length (36 mm) to a torque (420 N·m)
//	  T + d_0
//	      ^^^
func (d Diagnostic) Render() string {
	var b strings.Builder
	if d.Span.IsValid() {
		p := d.Span.Position()
		fmt.Fprintf(&b, "line %d, column %d: %s\n", p.Line, p.Column, d.Error())
		fmt.Fprintf(&b, "  %s\n  %s%s\n", d.Span.Line(), indent(d.Span.Line(), p.Column-1), strings.Repeat("^", p.Length))
	} else {
		fmt.Fprintf(&b, "%s\n", d.Error())
	}
	for _, r := range d.Related {
		fmt.Fprintf(&b, "  line %d: %s\n", r.Span.Position().Line, r.Message)
	}
	if d.Waiting > 0 {
		fmt.Fprintf(&b, "  %s\n", Waits(d.Waiting))
	}
	return b.String()
}

// Waits returns how many statements wait for a correction, in words.
func Waits(n int) string {
	if n == 1 {
		return "1 line cannot be worked out until this is corrected"
	}
	return fmt.Sprintf("%d lines cannot be worked out until this is corrected", n)
}

// indent keeps tabs so that the mark is under its text in any tab width.
func indent(line string, columns int) string {
	var b strings.Builder
	for _, r := range line {
		if columns == 0 {
			break
		}
		columns--
		if r == '\t' {
			b.WriteByte('\t')
			continue
		}
		b.WriteByte(' ')
	}
	return b.String()
}

// A List is the diagnostics of one stage, in the order they were found.
type List []Diagnostic

// Addf adds an error at a place and returns it, so that a repair or a related
// place can be attached.
func (l *List) Addf(span Span, code Code, format string, args ...any) *Diagnostic {
	*l = append(*l, Diagnostic{Span: span, Code: code, Message: fmt.Sprintf(format, args...)})
	return &(*l)[len(*l)-1]
}

// Notef adds a note at a place.
func (l *List) Notef(span Span, code Code, format string, args ...any) *Diagnostic {
	d := l.Addf(span, code, format, args...)
	d.Severity = Note
	return d
}

// HasErrors reports whether the list holds anything worse than a note.
func (l List) HasErrors() bool {
	for _, d := range l {
		if d.Severity == Error {
			return true
		}
	}
	return false
}

// FirstError returns the first error, or nil.
func (l List) FirstError() *Diagnostic {
	for i := range l {
		if l[i].Severity == Error {
			return &l[i]
		}
	}
	return nil
}

// Err returns the list as an error, or nil if it holds no error.
func (l List) Err() error {
	if !l.HasErrors() {
		return nil
	}
	return l
}

// Error returns the first error and how many more there are.
func (l List) Error() string {
	first := l.FirstError()
	if first == nil {
		return "no errors"
	}
	more := -1
	for _, d := range l {
		if d.Severity == Error {
			more++
		}
	}
	if more == 0 {
		return first.Error()
	}
	return fmt.Sprintf("%s (and %d more)", first.Error(), more)
}

// Sort orders the list by place; diagnostics without a place come last.
func (l List) Sort() {
	sort.SliceStable(l, func(i, j int) bool {
		a, b := l[i].Span, l[j].Span
		if a.IsValid() != b.IsValid() {
			return a.IsValid()
		}
		return a.Start < b.Start
	})
}

// Choose adds a reading of the text of span, written out, between which the
// writer must choose.
func (d *Diagnostic) Choose(span Span, text string) *Diagnostic {
	d.Choices = append(d.Choices, Fix{Span: span, Text: text})
	return d
}

// AsError turns one diagnostic into an error value that keeps its place.
func (d Diagnostic) AsError() error { return List{d} }
