package classroom

import (
	"bytes"
	"encoding/csv"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"time"
	"unicode"

	"shaftbook/exercises/class"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/request"
)

// sendCSV sends rows as a file of RFC 4180, in which no cell is a formula to a
// spreadsheet. It begins with no byte order mark, so that any program reads it
// back.
func sendCSV(w http.ResponseWriter, what string, c class.Class, rows [][]string) {
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	out.UseCRLF = true
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = class.CSVCell(cell)
		}
		_ = out.Write(safe) // into memory
	}
	out.Flush()
	header := w.Header()
	header.Set("Cache-Control", "no-store")
	header.Set("Content-Type", "text/csv; charset=utf-8; header=present")
	header.Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": csvName(what, c)}))
	_, _ = w.Write(b.Bytes())
}

// csvName names a file by its class: "marks-mill-a.csv".
func csvName(what string, c class.Class) string {
	words := strings.FieldsFunc(strings.ToLower(c.Name+" "+c.Term), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return strings.Join(append([]string{what}, words...), "-") + ".csv"
}

// sendMarks sends the marks as a file: a row for each student, with points and
// full points of each assignment. Points that do not count yet are left out, so
// that nobody is entered with 0 for what is not due.
func (h *marks) sendMarks(w http.ResponseWriter, r *http.Request) {
	c := request.VisitorFrom(r).Class
	assigned, _, err := h.choose(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	kept, titles := notWithdrawn(assigned), map[string]int{}
	for _, a := range kept {
		titles[a.Title]++
	}
	sheet, err := h.gradebook().Sheet(r.Context(), c.ID, kept, h.Now())
	if err == nil {
		err = h.Store.Note(r.Context(), h.entry(r, "export", "", "took the marks out as CSV"))
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	head := []string{"student id", "sourced id", "sign-in name", "name", "section", "left"}
	for _, a := range kept {
		title := a.Title
		if titles[title] > 1 {
			title += " " + a.ID
		}
		head = append(head, title+" points", title+" full")
	}
	rows := [][]string{append(head, "total percent")}
	for _, row := range sheet.Rows {
		rows = append(rows, marksLine(&row))
	}
	sendCSV(w, "marks", c, rows)
}

func marksLine(row *gradebook.Row) []string {
	p := &row.Person
	line := []string{p.ID, p.SourcedID, p.SignIn, p.Name, row.Member.Section, yes(row.Member.Left)}
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

// yes is a cell of a CSV file that says whether something holds.
func yes(is bool) string {
	if is {
		return "yes"
	}
	return ""
}

// sendAttempts sends every answer of a class as a file. It names students by
// their identifiers alone, so that it can be handed on.
func (h *marks) sendAttempts(w http.ResponseWriter, r *http.Request) {
	c := request.VisitorFrom(r).Class
	assigned, _, err := h.choose(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	sheet, err := h.gradebook().Sheet(r.Context(), c.ID, assigned, h.Now())
	if err == nil {
		err = h.Store.Note(r.Context(), h.entry(r, "export", "", "took every answer out as CSV"))
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	rows := [][]string{{"student id", "assignment id", "assignment", "exercise", "part", "series", "number", "time", "answer", "verdict", "slips", "points", "free", "late days", "after closing", "counted"}}
	for i, work := range sheet.Works {
		for _, row := range sheet.Rows {
			rows = append(rows, attemptLines(&work.Assignment, row.Standings[i])...)
		}
	}
	sendCSV(w, "answers", c, rows)
}

func attemptLines(a *class.Assignment, st *gradebook.Standing) [][]string {
	counted := st.Counted()
	var rows [][]string
	for _, t := range st.Attempts {
		days, closed := st.Terms.Late(t.At)
		rows = append(rows, []string{
			t.Learner, a.ID, a.Title, t.Exercise, t.Part, strconv.Itoa(t.Series), strconv.Itoa(t.Number), t.At.UTC().Format(time.RFC3339),
			t.Answer, t.Verdict, t.Slip, class.Shown(t.Points), yes(t.Free), strconv.Itoa(days), yes(closed), yes(counted[t.Submission]),
		})
	}
	return rows
}
