package working

import (
	"errors"
	"sync"

	"shaftbook/kernel/check"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// A series is one column of a table or curve of a plot, in SI base units. A
// bracket has its lower values in Low and its upper ones in High; a number has
// the same in both.
type series struct {
	column    *notation.Column
	typ       check.Type
	low, high []float64
}

func (s series) isBracket() bool { return s.typ.Kind == check.Bracket }

// scale returns the largest magnitude, to choose a unit by.
func (s series) scale() float64 {
	largest := 0.0
	for i := range s.low {
		largest = max(largest, abs(s.low[i]), abs(s.high[i]))
	}
	return largest
}

// series evaluates the columns at the sampled values of the bound name.
func (e *evaluation) series(columns []*notation.Column, r *notation.Range, xs []float64) ([]series, bool) {
	all := make([]series, len(columns))
	for i, column := range columns {
		s := series{column: column, typ: e.it.info.Columns[i]}
		ok := false
		if s.isBracket() {
			ok = e.bracketColumn(&s, r, xs)
		} else {
			ok = e.numberColumn(&s, r, xs)
		}
		if !ok {
			return nil, false
		}
		all[i] = s
	}
	return all, true
}

func (e *evaluation) numberColumn(s *series, r *notation.Range, xs []float64) bool {
	p, list := program.Compile(s.column.Expr, []string{r.Var.Ident}, scope{e.w})
	e.r.Diagnostics = append(e.r.Diagnostics, list...)
	if list.HasErrors() {
		return false
	}
	s.low = make([]float64, len(xs))
	s.high = s.low
	if err := p.Block(e.run, s.low, xs); err != nil {
		e.report(err, s.column.Span())
		return false
	}
	return true
}

// report adds an error of evaluation to the result; one without a place of its
// own is at the given one.
func (e *evaluation) report(err error, at source.Span) {
	var list source.List
	if errors.As(err, &list) {
		e.r.Diagnostics = append(e.r.Diagnostics, list...)
		return
	}
	e.fail(at, CodeShown, "%s", err)
}

// bracketColumn evaluates a column of brackets value by value.
func (e *evaluation) bracketColumn(s *series, r *notation.Range, xs []float64) bool {
	for _, x := range xs {
		v, list := program.Evaluate(e.run, s.column.Expr, boundScope{Scope: scope{e.w}, ident: r.Var.Ident, value: x})
		if list.HasErrors() {
			e.r.Diagnostics = append(e.r.Diagnostics, list...)
			return false
		}
		b := extentOf(v)
		s.low, s.high = append(s.low, b.low), append(s.high, b.high)
	}
	return true
}

// A boundScope is a scope with one more name in it.
type boundScope struct {
	program.Scope
	ident string
	value float64
	ends  rangeDoubt // of the range that the name runs over
}

// Lookup implements program.Scope.
func (s boundScope) Lookup(ident string) (program.Object, bool) {
	if ident == s.ident {
		return program.Scalar(s.value), true
	}
	return s.Scope.Lookup(ident)
}

// Definition implements program.Definer. Where the name hides one of the lesson,
// which a formula may mean, there are none.
func (s boundScope) Definition(ident string) (notation.Expr, bool) {
	d, ok := s.Scope.(program.Definer)
	if _, hides := s.Scope.Lookup(s.ident); hides || ident == s.ident || !ok {
		return nil, false
	}
	return d.Definition(ident)
}

// Enclosure implements program.Encloser. The value that a table runs over is
// taken as shown: as the decimal nearest to its float64.
func (s boundScope) Enclosure(ident string) (interval.Interval, error) {
	if ident == s.ident {
		if s.ends.err != nil {
			return interval.Interval{}, s.ends.err
		}
		slack := 4 * 0x1p-52 * abs(s.value)
		if whole(s.value) {
			slack = 0
		}
		slack = max(slack, s.ends.off+float64(s.ends.share*abs(s.value)))
		return interval.New(s.value-slack, s.value+slack)
	}
	return s.Scope.(program.Encloser).Enclosure(ident)
}

// A rangeDoubt says how far the values that a table runs over may be off, because the
// ends of the range are known only within bounds.
type rangeDoubt struct {
	off   float64
	share float64 // of the value, beside off
	err   error   // why nothing bounds it
}

// doubtOf encloses the ends, the step and the number of rows of a range of so many
// values. Decimals that are off by their rounding alone are taken as they are shown.
func (w *Working) doubtOf(r *notation.Range, values int) rangeDoubt {
	var d rangeDoubt
	for _, x := range []notation.Expr{r.From, r.To, r.Step, r.Rows} {
		if x == nil {
			continue
		}
		b, err := w.encloseExpr(x, scope{w})
		if err != nil {
			return rangeDoubt{err: err}
		}
		width, least := b.Hi-b.Lo, min(abs(b.Lo), abs(b.Hi))
		switch {
		case width <= 8*0x1p-52*least:
		case r.Ratio:
			d.share += width / least // no number is certain where an end may be 0
		case x == r.Step:
			d.off += float64(float64(values) * width)
		default:
			d.off += width
		}
	}
	return d
}

// What a cell of a table costs beside its value, in the unit of package pause.
const (
	formatWork = 1_000
	markWork   = 3_000
)

// certainCells returns a function that reports whether a cell of a table is
// certain to its last digit.
func (e *evaluation) certainCells(t *Table, columns []series, r *notation.Range, xs []float64) func(row, column int) bool {
	w := e.w
	ends := sync.OnceValue(func() rangeDoubt { return w.doubtOf(r, len(xs)) })
	return func(row, column int) bool {
		w.step(markWork)
		if columns[column].isBracket() {
			return ends().err == nil
		}
		names := boundScope{scope{w}, r.Var.Ident, xs[row], ends()}
		return w.certainty(columns[column].column.Expr, names, t.Rows[row][column], t.bare[column], roundingOf(columns[column].column.Display)).Certain
	}
}

// table evaluates a table statement.
func (e *evaluation) table(n *notation.Table) {
	xs, ok := e.samples(n.Range, true)
	if !ok {
		return
	}
	columns, ok := e.series(n.Columns, n.Range, xs)
	if !ok {
		return
	}
	t := &Table{Rows: make([][]string, len(xs)), Numbers: make([][]float64, len(xs))}
	for _, s := range columns {
		u := e.w.unitFor(s.scale(), s.typ)
		d := s.column.Display
		if d.Unit != nil {
			u = d.Unit.Unit
		}
		t.Headers = append(t.Headers, Header{Expr: s.column.Expr, Label: s.column.Label, Unit: u.Text, Dim: s.typ.Dim})
		rounding := roundingOf(d)
		bare := unit.Unit{Factor: u.Factor}
		t.bare = append(t.bare, bare)
		for i := range xs {
			e.w.step(formatWork)
			text := unit.Format(s.low[i], bare, rounding)
			if s.isBracket() {
				text = unit.FormatBracket(s.low[i], s.high[i], bare, rounding)
			}
			t.Rows[i] = append(t.Rows[i], text)
			t.Numbers[i] = append(t.Numbers[i], interval.Interval{Lo: s.low[i], Hi: s.high[i]}.Mid())
		}
	}
	t.certain, t.step = e.certainCells(t, columns, n.Range, xs), e.w.step
	e.r.Table = t
	e.r.Text = words.Count(len(xs), "row")
}
