package classroom

import (
	"slices"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/page"
)

// usualWorks is how many assignments a sheet of the usual width holds.
const usualWorks = 6

// A marksSheet fills the page of marks from the table of a class.
type marksSheet struct {
	view  *page.Marks
	table *gradebook.Table
	now   time.Time
	home  string // the zone of the class

	fulls []map[string]int // by column: how many students have which full points
	due   []bool           // by work: it counts for somebody
}

func (s *marksSheet) fill() {
	for i, w := range s.table.Works {
		due := class.InTotal(&w.Assignment, w.Assignment.TermsFor(nil), s.now)
		if len(s.table.Rows) > 0 {
			due = slices.ContainsFunc(s.table.Rows, func(row gradebook.Row) bool { return row.Standings[i].Sum.Counts })
		}
		s.due = append(s.due, due)
		s.heads(w, due)
	}
	s.view.Many = len(s.view.Heads) > usualWorks
	s.fulls = make([]map[string]int, len(s.view.Heads))
	for i := range s.table.Rows {
		row := &s.table.Rows[i]
		line := s.row(row)
		if row.Member.Left {
			s.view.Left = append(s.view.Left, line)
		} else {
			s.view.Rows = append(s.view.Rows, line)
		}
	}
	s.align()
	s.legend()
}

// heads adds the headings of one assignment: itself or, where it is shown alone,
// its exercises, the sum and the share.
func (s *marksSheet) heads(w *gradebook.Work, due bool) {
	a := &w.Assignment
	state := ""
	switch {
	case a.Withdrawn:
		state = "withdrawn"
	case !a.TermsFor(nil).Opened(s.now):
		state = "not open yet"
	case !due:
		state = "not due yet"
	}
	when := "due " + page.Short(a.Due, a.Zone, s.home, s.now)
	if s.view.Totals {
		s.view.Heads = append(s.view.Heads, page.MarksHead{Title: a.Title, Path: page.ChosenPath("/class/"+a.Class+"/marks", a.ID), Due: when, State: state})
		return
	}
	s.view.Chosen, s.view.Note = a.Title, when
	if state != "" {
		s.view.Note += " · " + state
	}
	for _, e := range w.Exercises {
		s.view.Heads = append(s.view.Heads, page.MarksHead{Title: e.Title})
	}
	s.view.Heads = append(s.view.Heads, page.MarksHead{Title: "Points"}, page.MarksHead{Title: "Percent"})
}

// row is the line of one student.
func (s *marksSheet) row(row *gradebook.Row) page.MarksRow {
	line := page.MarksRow{Name: row.Person.Name, Path: "/class/" + row.Member.Class + "/student/" + row.Person.ID, Section: row.Member.Section}
	if row.Counts {
		line.Total.Text = tenths(row.Total)
	}
	for i, standing := range row.Standings {
		line.Cells = append(line.Cells, s.cells(s.table.Works[i], standing, row.Person.ID, s.due[i])...)
	}
	for i := range line.Cells {
		if of := line.Cells[i].Of; of != "" {
			if s.fulls[i] == nil {
				s.fulls[i] = map[string]int{}
			}
			s.fulls[i][of]++
		}
	}
	return line
}

// cells are what one student has in one assignment: the points of its exercises if
// it is shown alone, the sum, and then its share. What holds for the whole column
// stands in the heading and not in the cells.
func (s *marksSheet) cells(w *gradebook.Work, st *gradebook.Standing, person string, due bool) []page.MarksCell {
	path := page.MarkPath(&w.Assignment, person)
	var cells []page.MarksCell
	sum := page.MarksCell{Decimal: page.Decimal{Text: class.Shown(st.Sum.Points)}, Of: class.Shown(st.Sum.Full), Path: path, Soft: !st.Sum.Counts}
	if st.Sum.Counts && !st.Answered() && st.Sum.Full > 0 {
		sum.Signs = append(sum.Signs, page.SignNoWork)
	}
	if due && !st.Sum.Counts {
		sum.Signs = append(sum.Signs, page.SignNotDue)
	}
	if st.Extension != nil {
		sum.Signs = append(sum.Signs, page.SignExtension)
	}
	late, byHand := false, false
	for _, m := range st.Marks {
		cell := page.MarksCell{Decimal: page.Decimal{Text: class.Shown(m.Points)}, Of: class.Shown(m.Full), Path: path + "#" + m.Exercise, Soft: sum.Soft}
		if m.Late() {
			late, cell.Signs = true, append(cell.Signs, page.SignLate)
		}
		if m.Override != nil {
			byHand, cell.Signs = true, append(cell.Signs, page.SignByHand)
		}
		cells = append(cells, cell)
	}
	if !st.Terms.Opened(s.now) && !st.Answered() { // there is nothing to have points of
		sum.Text, sum.Path = "", ""
		for i := range cells {
			cells[i].Text, cells[i].Path = "", ""
		}
	}
	if !s.view.Totals {
		share := page.MarksCell{Soft: sum.Soft}
		if st.Sum.Counts && st.Sum.Full > 0 {
			share.Text = tenths(100 * st.Sum.Points / st.Sum.Full)
		}
		return append(cells, sum, share)
	}
	if late {
		sum.Signs = append(sum.Signs, page.SignLate)
	}
	if byHand {
		sum.Signs = append(sum.Signs, page.SignByHand)
	}
	return []page.MarksCell{sum}
}

// align puts the full points that most have into the headings, and lets the numbers
// of each column stand under each other by their decimal signs.
func (s *marksSheet) align() {
	for i := range s.view.Heads {
		of, most := "", 0
		for full, n := range s.fulls[i] {
			if n > most || n == most && full < of {
				of, most = full, n
			}
		}
		s.view.Heads[i].Of = of
		var column []*page.Decimal
		for _, rows := range [][]page.MarksRow{s.view.Rows, s.view.Left} {
			for j := range rows {
				cell := &rows[j].Cells[i]
				if cell.Of == of {
					cell.Of = ""
				}
				column = append(column, &cell.Decimal)
			}
		}
		page.AlignDecimals(column)
	}
	var totals []*page.Decimal
	for _, rows := range [][]page.MarksRow{s.view.Rows, s.view.Left} {
		for j := range rows {
			totals = append(totals, &rows[j].Total)
		}
	}
	page.AlignDecimals(totals)
}

// legend explains the signs that stand on the page.
func (s *marksSheet) legend() {
	used := map[string]bool{}
	for _, rows := range [][]page.MarksRow{s.view.Rows, s.view.Left} {
		for _, row := range rows {
			for _, cell := range row.Cells {
				for _, sign := range cell.Signs {
					used[sign.Letter] = true
				}
			}
		}
	}
	for _, sign := range page.MarksSigns {
		if used[sign.Letter] {
			s.view.Legend = append(s.view.Legend, sign)
		}
	}
}
