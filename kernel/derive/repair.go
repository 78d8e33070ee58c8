package derive

import (
	"context"
	"slices"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/repair"
	"shaftbook/kernel/source"
)

// mostProved bounds the bytes of text that are read again to prove the repairs of one
// derivation.
const mostProved = 1 << 16

// KeepProved returns the messages about a derivation with only those repairs that
// are sure to mend what they are about: the line must then be read and checked
// without an error, with fewer errors in the whole derivation and the other lines
// as they are. A line that is read already, with a note, must be read the same, and
// so must follow: a step that fails as it is read may have lost another sign, and a
// given with which lines fail another unit. verdicts are those of the derivation.
func KeepProved(ctx context.Context, text *source.Text, list source.List, verdicts []Verdict) source.List {
	if !slices.ContainsFunc(list, hasRepair) {
		return list
	}
	p := repairer{ctx: ctx, before: readQuietly(ctx, text), verdicts: verdicts, left: mostProved}
	list = slices.Clone(list)
	for i := range list {
		d := &list[i]
		if d.Fix != nil && !p.proves(d, d.Fix) {
			d.Fix = nil
		}
		choices := d.Choices
		d.Choices = nil
		for j := range choices {
			if p.proves(d, &choices[j]) {
				d.Choices = append(d.Choices, choices[j])
			}
		}
	}
	return list
}

func hasRepair(d source.Diagnostic) bool { return d.Fix != nil || len(d.Choices) > 0 }

// A repairer tries repairs on the text of a derivation.
type repairer struct {
	ctx      context.Context
	before   *reread
	verdicts []Verdict
	left     int // bytes that may still be read again
}

// A reread is a derivation that was read and checked; its steps are not compared.
type reread struct {
	text    *source.Text
	written []notation.DeriveLine // by the text alone
	lines   []notation.DeriveLine // as they are read where names are known
	parsed  source.List
	checked source.List
	judged  []Verdict
}

func readQuietly(ctx context.Context, text *source.Text) *reread {
	r := &reread{text: text}
	cell, list := notation.ParseDerivation(text)
	r.written = cell.Lines
	cell, r.parsed = ChooseReadings(cell, list)
	r.lines = cell.Lines
	j := newJudge(ctx, cell, Settings{})
	for _, line := range cell.Lines {
		j.quietLine(line)
	}
	r.checked, r.judged = j.list, j.verdicts
	return r
}

// errors counts the errors, and the lines whose dimensions do not fit.
func (r *reread) errors() int {
	n := 0
	for _, list := range []source.List{r.parsed, r.checked} {
		for _, d := range list {
			if d.Severity == source.Error {
				n++
			}
		}
	}
	for _, v := range r.judged {
		if v.Slip == Dimensions {
			n++
		}
	}
	return n
}

// A rows is the rows of a text that a repair is on, from the start of the first to the
// end of the last.
type rows struct{ from, to int }

func rowsOf(s source.Span) rows {
	content := s.Text.Content
	r := rows{from: strings.LastIndexByte(content[:s.Start], '\n') + 1, to: len(content)}
	if i := strings.IndexByte(content[s.End:], '\n'); i >= 0 {
		r.to = s.End + i
	}
	return r
}

func (r rows) touch(s source.Span) bool { return s.IsValid() && s.Start <= r.to && s.End >= r.from }

// split writes the lines out: those on the rows, and the others.
func (r rows) split(lines []notation.DeriveLine) (on, beside []string) {
	for _, line := range lines {
		if text := notation.Print(line); r.touch(line.Span()) {
			on = append(on, text)
		} else {
			beside = append(beside, text)
		}
	}
	return on, beside
}

func (r rows) within(list source.List) source.List {
	return slices.DeleteFunc(slices.Clone(list), func(d source.Diagnostic) bool { return !r.touch(d.Span) })
}

func (p *repairer) proves(d *source.Diagnostic, fix *source.Fix) bool {
	if fix.Span.Text != p.before.text {
		return false // of what fills a gap
	}
	if d.Severity == source.Note && p.isDoubtful(rowsOf(d.Span)) || d.Code == check.CodeUndefined && p.mayDefine(fix.Span.Content()) {
		return false
	}
	return repair.Proves(d, fix, func(text *source.Text) (repair.Trial, bool) {
		if p.left -= len(text.Content); p.left < 0 {
			return repair.Trial{}, false
		}
		after := readQuietly(p.ctx, text)
		old := rowsOf(fix.Span)
		mended := rows{old.from, old.to + len(text.Content) - len(p.before.text.Content)}
		_, beside := old.split(p.before.written)
		_, stay := mended.split(after.written)
		if !slices.Equal(beside, stay) || p.ctx.Err() != nil {
			return repair.Trial{}, false
		}
		return repair.Trial{Parsed: mended.within(after.parsed), IsRight: func() bool {
			if !after.isRight(mended) {
				return false
			}
			if d.Severity == source.Error {
				return after.errors() < p.before.errors()
			}
			is, _ := old.split(p.before.lines)
			will, _ := mended.split(after.lines)
			return slices.Equal(is, will)
		}}, true
	})
}

// mayDefine reports whether a name that is not known where it is used is defined by
// another line, or perhaps by one that cannot be read.
func (p *repairer) mayDefine(ident string) bool {
	return p.before.parsed.HasErrors() || slices.ContainsFunc(p.before.lines, func(line notation.DeriveLine) bool {
		define, ok := line.(*notation.DeriveDefine)
		return ok && define.Name.Ident == ident
	})
}

// isDoubtful reports whether what is read on some rows makes a step fail: one of them,
// the one below, or any if the rows give something.
func (p *repairer) isDoubtful(at rows) bool {
	reach := at
	for i, line := range p.before.lines {
		if !at.touch(line.Span()) {
			continue
		}
		if _, ok := line.(*notation.Given); ok {
			return p.before.errors() > 0 || slices.ContainsFunc(p.verdicts, func(v Verdict) bool { return v.Kind == Fails })
		}
		if i+1 < len(p.before.lines) {
			reach.to = max(reach.to, p.before.lines[i+1].Span().End)
		}
	}
	return slices.ContainsFunc(p.verdicts, func(v Verdict) bool { return v.Kind == Fails && reach.touch(v.Span) })
}

// isRight reports whether the lines on some rows have neither an error nor a wrong
// dimension.
func (r *reread) isRight(at rows) bool {
	wrong := func(v Verdict) bool { return v.Slip == Dimensions && at.touch(v.Span) }
	return !at.within(r.checked).HasErrors() && !slices.ContainsFunc(r.judged, wrong)
}
