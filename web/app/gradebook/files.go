package gradebook

import (
	"strconv"
	"time"

	"shaftbook/exercises/class"
)

// MarkRows are the marks as rows of a file: one for each student, with points and
// full points of each assignment. Points that do not count yet are left out, so
// that no one is entered with 0 for what is not due.
func (t *Table) MarkRows() [][]string {
	titles := map[string]int{}
	for _, w := range t.Works {
		titles[w.Assignment.Title]++
	}
	head := []string{"account id", "student number", "username", "name", "group", "left"}
	for _, w := range t.Works {
		a := &w.Assignment
		title := a.Title
		if titles[title] > 1 {
			title += " " + a.ID
		}
		head = append(head, title+" points", title+" full")
	}
	rows := [][]string{append(head, "total percent")}
	for _, row := range t.Rows {
		rows = append(rows, marksLine(&row))
	}
	return rows
}

func marksLine(row *Row) []string {
	p := &row.Person
	line := []string{p.ID, p.SourcedID, p.SignIn, p.Name, row.Member.Section, yesOrEmpty(row.Member.Left)}
	for _, st := range row.Standings {
		points := ""
		if st.Sum.Counts {
			points = class.Shown(st.Sum.Points)
		}
		line = append(line, points, class.Shown(st.Sum.Full))
	}
	total := ""
	if row.Counts {
		total = class.Shown(row.Total)
	}
	return append(line, total)
}

// yesOrEmpty is a cell of a file that says whether something holds.
func yesOrEmpty(is bool) string {
	if is {
		return "yes"
	}
	return ""
}

// AttemptRows are all answers as rows of a file. They name students by their
// identifiers alone, so that the file can be handed on.
func (t *Table) AttemptRows() [][]string {
	rows := [][]string{{"account id", "assignment id", "assignment", "exercise", "part", "series", "number", "time", "answer", "read as", "verdict", "slips", "points", "free", "late days", "after closing", "counted"}}
	for i, work := range t.Works {
		for _, row := range t.Rows {
			rows = append(rows, attemptLines(&work.Assignment, row.Standings[i])...)
		}
	}
	return rows
}

func attemptLines(a *class.Assignment, st *Standing) [][]string {
	counted := st.Counted()
	var rows [][]string
	for _, t := range st.Attempts {
		days, closed := st.Terms.Late(t.At)
		rows = append(rows, []string{
			t.Learner, a.ID, a.Title, t.Exercise, t.Part, strconv.Itoa(t.Series), strconv.Itoa(t.Number), t.At.UTC().Format(time.RFC3339),
			t.Answer, t.Reading, t.Verdict, t.Slip, class.Shown(t.Points), yesOrEmpty(t.Free), strconv.Itoa(days), yesOrEmpty(closed), yesOrEmpty(counted[Key(&t)]),
		})
	}
	return rows
}
