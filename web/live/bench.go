package live

import (
	"context"
	"hash/maphash"
	"slices"
	"strconv"
	"strings"
	"time"

	"shaftbook/kernel"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/pause"
	"shaftbook/kernel/source"
	"shaftbook/web/page"
)

// A bench is a working with the rows that were made of it. One session at a time has
// it; then the next one brings it into a state of its own, at the price of what
// differs.
type bench struct {
	working Working
	lesson  sum
	cells   []kernel.Cell // as the lesson has them
	texts   state         // that the working has; its moves do not count
	rows    [][]made      // of the cells; with a nil row where it has to be made
	user    *session      // that had it last
	used    time.Time
	owner   string // the share that had it last
	bytes   int64  // as counted when it was given back

	progress func(fraction float64, what string) // of the session that has it
}

// made is a row with what it was made of.
type made struct {
	row *row
	of  rowSource
}

// A rowSource tells whether a statement has been evaluated since its row was made: the
// kernel makes new values in each evaluation.
type rowSource struct {
	statement, text string
	line            int
	failed, plain   bool // plain: nothing is said about it
	value           *kernel.Value
	verdict         *kernel.Verdict
	slider          *kernel.Slider
	table           *kernel.Table
	figure          figure.Picture
}

func sourceOf(r *kernel.Result) rowSource {
	of := rowSource{
		text: r.Text, failed: r.Failed(), plain: len(r.Diagnostics) == 0 && r.Cause == nil && len(r.Waiters) == 0,
		value: r.Value, verdict: r.Verdict, slider: r.Slider, table: r.Table, figure: r.Figure,
	}
	if r.Span.IsValid() {
		of.statement = r.Span.Content()
		of.line = strings.Count(r.Span.Text.Content[:r.Span.Start], "\n")
	}
	return of
}

// bench returns a bench for the session, with the texts of some state.
func (s *session) bench(ctx context.Context) *bench {
	b := s.hub.benches.take(s, s.state)
	if b == nil {
		b = s.newBench(ctx)
	}
	b.working.GiveWay(ctx)
	b.progress = func(fraction float64, what string) {
		s.progress.fraction, s.progress.what = fraction, what
		s.sendProgress(fraction, what)
	}
	return b
}

// newBench returns a bench with the texts of the lesson.
func (s *session) newBench(ctx context.Context) *bench {
	b := &bench{lesson: s.sum, cells: s.cells}
	b.working = s.hub.config.NewWorking(func(fraction float64, what string) {
		if b.progress != nil {
			b.progress(fraction, what)
		}
	})
	b.working.GiveWay(ctx)
	b.working.SetCells(s.cells)
	return b
}

// bring gives the working the texts and the sliders of a state.
func (b *bench) bring(st state) error {
	for _, c := range b.cells {
		text, ok := st.texts[c.ID]
		if !ok {
			text = c.Text.Content
		}
		before, ok := b.texts.texts[c.ID]
		if !ok {
			before = c.Text.Content
		}
		if text == before {
			continue
		}
		if err := b.working.Edit(c.ID, text); err != nil {
			return err
		}
	}
	b.texts = state{texts: st.texts, sum: st.sum}
	b.working.SetMoved(st.moved)
	return nil
}

// edit gives a cell its text of the next state; the working has those of the one before.
func (b *bench) edit(cell string, next state) error {
	b.texts = state{texts: next.texts, sum: next.sum}
	text, ok := next.texts[cell]
	if !ok {
		for _, c := range b.cells {
			if c.ID == cell {
				text = c.Text.Content
			}
		}
	}
	return b.working.Edit(cell, text)
}

var printSeed = maphash.MakeSeed()

// rowSize is about what is kept of a row beside its message.
const rowSize = 300

// size is about how many bytes the bench takes.
func (b *bench) size() int64 {
	n := b.working.Size()
	for _, cell := range b.rows {
		for i := range cell {
			if n += rowSize; cell[i].row != nil {
				n += int64(cell[i].row.size())
			}
		}
	}
	return n
}

// put makes the row of a result, if it is not the one that was made before. Rows with
// messages always are, since the places of those are counted in the whole text of the
// cell. What the kernel does not report has not changed.
func (b *bench) put(s *session, r *kernel.Result) (*row, error) {
	at := b.place(s.number(r.Cell), r.Index)
	of := sourceOf(r)
	if at.row != nil && of.plain && of == at.of {
		return at.row, nil
	}
	html, err := s.hub.config.Row(s.lesson, r)
	if err != nil {
		return nil, err
	}
	var h maphash.Hash
	h.SetSeed(printSeed)
	m := rowMessage{Cell: r.Cell, Index: r.Index, HTML: html, Spoken: s.hub.config.Spoken(r), Failed: r.Failed(), Marks: marksOf(r)}
	tail := encode(m)[1:]
	_, _ = h.Write(tail) // a hash never fails
	_, _ = h.WriteString(of.statement)
	_ = h.WriteByte(0)
	_, _ = h.WriteString(strconv.Itoa(of.line))
	key := "row " + r.Cell + " " + strconv.Itoa(r.Index)
	if at.row != nil {
		key = at.row.key
	}
	late := slices.ContainsFunc(r.Diagnostics, func(d source.Diagnostic) bool { return d.Code == kernel.CodeLate })
	*at = made{&row{key: key, tail: tail, print: max(1, h.Sum64()), resend: !of.plain || r.Slider != nil || r.Trials != nil, late: late}, of}
	return at.row, nil
}

// place returns where the row of a statement is kept.
func (b *bench) place(cell, index int) *made {
	if b.rows == nil {
		b.rows = make([][]made, len(b.cells))
	}
	for len(b.rows[cell]) <= index {
		b.rows[cell] = append(b.rows[cell], made{})
	}
	return &b.rows[cell][index]
}

func marksOf(r *kernel.Result) []mark {
	marks := []mark{}
	for _, d := range r.Diagnostics {
		if !d.Span.IsValid() || r.Span.IsValid() && d.Span.Text != r.Span.Text || r.Cause != nil && d.Severity == source.Error {
			continue // the message is elsewhere, and so is what it marks
		}
		kind := "error"
		if d.Severity == source.Note {
			kind = "note"
		}
		from, to := page.Units(d.Span)
		marks = append(marks, mark{from, to, kind})
	}
	return marks
}

// outcome returns all rows but those that are lacking, and makes the ones that have not
// been made. whole reports whether every other session in this state may have them.
func (b *bench) outcome(ctx context.Context, s *session, lacking []kernel.RowPlace) (o *outcome, whole bool, err error) {
	o = &outcome{cells: make([][]*row, len(b.cells)), moved: b.working.Moved(), sliders: b.working.Sliders()}
	whole = true
	for i, c := range b.cells {
		o.cells[i] = make([]*row, b.working.Rows(c.ID))
		var results []kernel.Result
		for k := range o.cells[i] {
			if slices.Contains(lacking, kernel.RowPlace{Cell: c.ID, Index: k}) {
				continue
			}
			r := b.place(i, k).row
			if r == nil {
				if results == nil {
					results = b.working.Results(c.ID)
				}
				if r, err = b.put(s, &results[k]); err != nil {
					return nil, false, err
				}
				pause.Here(ctx, byteWork*int64(len(r.tail)))
			}
			o.cells[i][k] = r
			whole = whole && !r.late
		}
	}
	return o, whole, nil
}
