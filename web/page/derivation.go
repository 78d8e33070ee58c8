package page

import (
	"bytes"
	"context"
	"errors"
	"html/template"
	"io"
	"strconv"
	"strings"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pause"
	"shaftbook/kernel/source"
	"shaftbook/kernel/words"
	"shaftbook/web/app/derivation"
)

// A DerivationCell is a derivation on a page: a cell of a lesson, or the
// learner's own sheet.
type DerivationCell struct {
	ID   string
	Text string
	Own  bool // a derivation of the learner's own, with its text always open
	Seen *Judged

	Action string // where the form goes
	Base   int64  // the revision that the form shows; 0 where none is kept
}

// Judged is what the page shows of a derivation that was judged; a script can
// put each of its parts in the place of the one before.
type Judged struct {
	Rows    []template.HTML // one for each line
	Summary template.HTML   // how the steps came out, in a sentence
	Fields  template.HTML   // a field for the number of each given name
	Run     template.HTML   // what came of the numbers
	Plain   string          // the whole as text that reads back
	TeX     string
	Spoken  string // the summary for the ear
	Marks   []Mark // places of messages and wrong steps in the text
}

// A Mark is a place in a text, in UTF-16 units.
type Mark struct {
	From int    `json:"from"`
	To   int    `json:"to"`
	Kind string `json:"kind"` // error or note
}

// A DerivationPage is the page for a learner's own derivation.
type DerivationPage struct {
	Frame
	Name       string
	Derivation DerivationCell
	Verdicts   []VerdictLine
	Own        *OwnPage // nil where the server keeps nothing
	Posted     bool     // the text came with the request, so it goes before what the browser keeps
}

// Derivation writes a derivation as a cell of a lesson. The numbers that the
// lesson has for names of the derivation are offered for a run. The error is ctx's.
func Derivation(ctx context.Context, w io.Writer, id string, text *source.Text, numbers map[string]string) error {
	o, err := derivation.Judge(ctx, derivation.Input{Text: text.Content})
	if errors.Is(err, derivation.ErrTooLong) {
		o, err = derivation.Unjudged(text.Content), nil // the rest of the lesson is as good as before
	}
	if err != nil {
		return err
	}
	o.Offer(ctx, numbers)
	body, err := Render("derivation-cell", DerivationCell{ID: id, Text: text.Content, Action: DerivationsPath, Seen: Judge(ctx, id, o)})
	if err != nil {
		return err
	}
	_, err = w.Write(body)
	return err
}

// rowWork is what writing a line of a derivation costs about, in the unit of package
// pause.
const rowWork = 50_000

// Judge makes what the page shows of an outcome. The id is that of the cell.
func Judge(ctx context.Context, id string, o *derivation.Outcome) *Judged {
	seen := &Judged{Plain: derive.Plain(o.Cell, nil), TeX: derive.TeX(o.Cell)}
	first := o.FirstFailure()
	for i := range o.Lines {
		pause.Here(ctx, rowWork)
		w := &lineWriter{id: id, outcome: o, line: &o.Lines[i], index: i, isFirst: i == first}
		seen.Rows = append(seen.Rows, w.row())
		seen.Marks = append(seen.Marks, marksOf(o, &o.Lines[i])...)
	}
	if len(o.Rest) > 0 {
		w := &lineWriter{id: id, outcome: o, index: len(o.Lines)}
		seen.Rows = append(seen.Rows, w.rest())
	}
	seen.Summary, seen.Spoken = summary(id, o, first)
	seen.Fields = fields(id, o)
	seen.Run = runSaid(id, o)
	return seen
}

// marksOf returns the places to mark in the learner's text; what is in a
// gap has a text of its own.
func marksOf(o *derivation.Outcome, l *derivation.Line) []Mark {
	var marks []Mark
	add := func(s source.Span, kind string) {
		if s.IsValid() && s.Text == o.Text {
			from, to := Units(s)
			marks = append(marks, Mark{from, to, kind})
		}
	}
	for _, d := range l.Diagnostics {
		kind := "error"
		if d.Severity == source.Note {
			kind = "note"
		}
		add(d.Span, kind)
	}
	if l.Verdict != nil && l.Verdict.Kind == derive.Fails {
		add(claimOf(l), "error")
	}
	return marks
}

// claimOf is the place of what a line claims, without its reason.
func claimOf(l *derivation.Line) source.Span {
	s := l.Verdict.Span
	switch n := l.Node.(type) {
	case *notation.DeriveStep:
		if n.X != nil {
			s.End = n.X.Span().End
		}
		if n.WithX != nil {
			s.End = n.WithX.Span().End
		}
	case *notation.DeriveDefine:
		s.End = n.Expr.Span().End
	}
	return s
}

// lineID is the id of a line's row, for links.
func lineID(id string, index int) string { return id + "-" + strconv.Itoa(index+1) }

// summary returns how the steps came out, as HTML and as text. The HTML carries
// it as data-outcome too: fails, unread, none (no steps), follows or unfinished.
func summary(id string, o *derivation.Outcome, first int) (template.HTML, string) {
	var count [derive.Kinds]int
	unread := false
	for _, l := range o.Lines {
		if l.Verdict != nil {
			count[l.Verdict.Kind]++
		}
		unread = unread || l.Diagnostics.HasErrors()
	}
	unread = unread || o.Rest.HasErrors()
	steps := count[derive.Follows] + count[derive.Fails] + count[derive.Open] + count[derive.Gap] + count[derive.Agrees]
	var b bytes.Buffer
	text, outcome := "", ""
	switch {
	case first >= 0:
		outcome = "fails"
		step := "step (" + strconv.Itoa(o.Lines[first].Verdict.Step) + ")"
		b.WriteString(`The first line that does not follow is <a href="#` + template.HTMLEscapeString(lineID(id, first)) + `">` + step + `</a>`)
		text = "The first line that does not follow is " + step
		if n := count[derive.Fails] - 1; n > 0 {
			more := "; " + words.CountOf(n, "later step does not follow", "later steps do not follow") + " from the line above"
			b.WriteString(more)
			text += more
		}
	case unread:
		outcome = "unread"
		text = "Something here cannot be read yet; see the message under the line"
		b.WriteString(text)
	case steps == 0:
		outcome = "none"
		text = "There is no step to check yet: a step begins with “=”"
		b.WriteString(text)
	default:
		outcome = "follows"
		if count[derive.Follows] < steps {
			outcome = "unfinished"
		}
		text = goodNews(count, steps)
		b.WriteString(text)
	}
	b.WriteString(".")
	return template.HTML(`<span data-outcome="` + outcome + `">` + b.String() + `</span>`), text
}

func goodNews(count [derive.Kinds]int, steps int) string {
	open, gaps, follow, agree := count[derive.Open], count[derive.Gap], count[derive.Follows], count[derive.Agrees]
	if gaps == steps {
		return words.CountOf(gaps, "step is to be filled in", "steps are to be filled in")
	}
	if follow == steps {
		if steps == 1 {
			return "The step follows"
		}
		if steps == 2 {
			return "Both steps follow"
		}
		return "All " + strconv.Itoa(steps) + " steps follow"
	}
	var parts []string
	add := func(n int, one, many string) {
		switch {
		case n == 0:
		case len(parts) == 0: // the first of them names what is counted
			parts = append(parts, words.CountOf(n, "step "+one, "steps "+many))
		default:
			parts = append(parts, words.CountOf(n, one, many))
		}
	}
	add(follow, "follows", "follow")
	add(agree, "agrees at every point tried, which is not a proof", "agree at every point tried, which is not a proof")
	add(gaps, "is to be filled in", "are to be filled in")
	add(open, "cannot be decided", "cannot be decided")
	return strings.Join(parts, "; ")
}
