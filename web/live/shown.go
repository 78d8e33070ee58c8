package live

import "shaftbook/kernel"

// shown is what the page shows, as far as it matters for leaving out rows that would
// say the same again: the prints of the rows of each cell, in the lesson's order, 0 for
// a row that the page lacks or is to be sent again. A page takes in every row it is
// sent, so the two cannot drift apart; a page that may show something else asks for all
// rows.
type shown [][]shownRow

type shownRow struct {
	print  uint64
	resend bool
}

// showing returns what a page shows that has the rows of an outcome.
func showing(o *outcome) shown {
	s := make(shown, len(o.cells))
	for i, cell := range o.cells {
		s[i] = make([]shownRow, len(cell))
		for k, r := range cell {
			if r != nil {
				s[i][k] = shownRow{r.print, r.resend}
			}
		}
	}
	return s
}

// has reports whether the page shows a row.
func (s shown) has(cell, index int, r *row) bool {
	return index < len(s[cell]) && s[cell][index].print == r.print
}

// note keeps a row that is about to be sent.
func (s shown) note(cell, index int, r *row) {
	for len(s[cell]) <= index {
		s[cell] = append(s[cell], shownRow{})
	}
	s[cell][index] = shownRow{r.print, r.resend}
}

// trim forgets the rows of a cell beyond a count, as the page does.
func (s shown) trim(cell, count int) {
	if len(s[cell]) > count {
		s[cell] = s[cell][:count]
	}
}

// edited notes that the text of a cell has changed: the places in it may be others, and
// its sliders may have been moved meanwhile.
func (s shown) edited(cell int) {
	for i := range s[cell] {
		if s[cell][i].resend {
			s[cell][i].print = 0
		}
	}
}

// moved notes that a slider was moved: the page shows where its reader left it.
func (s shown) moved(cells []kernel.Cell, place kernel.RowPlace) {
	for i, c := range cells {
		if c.ID == place.Cell && place.Index < len(s[i]) {
			s[i][place.Index].print = 0
		}
	}
}
