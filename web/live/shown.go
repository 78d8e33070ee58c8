package live

import (
	"hash/maphash"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/figure"
)

// shown is what the page shows, as far as it matters for leaving out rows that
// would say the same again. A page takes in every row it is sent, so the two
// cannot drift apart; a page that may show something else asks for all rows.
type shown map[rowPlace]shownRow

type rowPlace struct {
	cell  string
	index int
}

// A shownRow is one row as the page has it.
type shownRow struct {
	statement, text string
	line            int
	failed, plain   bool // plain: nothing was said about it
	value           *kernel.Value
	verdict         *kernel.Verdict
	slider          *kernel.Slider
	table           *kernel.Table
	figure          figure.Picture
	html            uint64 // hash; 0 while the page has the row from its own loading
}

var hashSeed = maphash.MakeSeed()

func rowOf(r *kernel.Result) shownRow {
	row := shownRow{
		text: r.Text, failed: r.Failed(), plain: len(r.Diagnostics) == 0 && r.Cause == nil && len(r.Waiters) == 0,
		value: r.Value, verdict: r.Verdict, slider: r.Slider, table: r.Table, figure: r.Figure,
	}
	if r.Span.IsValid() {
		row.statement = r.Span.Content()
		row.line = strings.Count(r.Span.Text.Content[:r.Span.Start], "\n")
	}
	return row
}

// same reports whether a statement has not been evaluated since it was shown:
// the kernel makes new values in each evaluation. Rows with messages are
// always sent, since their places are counted in the whole text of the cell.
func (s shownRow) same(other shownRow) bool {
	s.html, other.html = 0, 0
	return s.plain && s == other
}

// note keeps a row that the page has by itself.
func (s shown) note(r *kernel.Result) {
	s[rowPlace{r.Cell, r.Index}] = rowOf(r)
}

// isOld reports whether the page shows this result already.
func (s shown) isOld(r *kernel.Result) bool {
	before, ok := s[rowPlace{r.Cell, r.Index}]
	return ok && before.same(rowOf(r))
}

// isNew keeps a row that is about to be sent and reports whether its HTML is
// another than the page has. A row with a slider counts as new, since the
// reader may have moved it meanwhile.
func (s shown) isNew(r *kernel.Result, html string) bool {
	place := rowPlace{r.Cell, r.Index}
	row := rowOf(r)
	row.html = maphash.String(hashSeed, html)
	before := s[place]
	s[place] = row
	return before.html != row.html || !row.plain || row.slider != nil
}

// trim forgets the rows of a cell beyond a count, as the page does.
func (s shown) trim(cell string, count int) {
	for place := range s {
		if place.cell == cell && place.index >= count {
			delete(s, place)
		}
	}
}
