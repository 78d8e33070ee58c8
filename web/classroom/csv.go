package classroom

import (
	"bytes"
	"encoding/csv"
	"mime"
	"net/http"
	"strings"
	"unicode"

	"shaftbook/exercises/class"
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

// sendMarks sends the marks as a file.
func (h *marks) sendMarks(w http.ResponseWriter, r *http.Request) {
	c := request.VisitorFrom(r).Class
	assigned, _, err := h.choose(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	sheet, err := h.gradebook().Table(r.Context(), c.ID, notWithdrawn(assigned), h.Now())
	if err == nil {
		err = h.Store.Note(r.Context(), h.entry(r, "export", "", "exported the marks (CSV)"))
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	sendCSV(w, "marks", c, sheet.MarkRows())
}

// sendAttempts sends every answer of a class as a file.
func (h *marks) sendAttempts(w http.ResponseWriter, r *http.Request) {
	c := request.VisitorFrom(r).Class
	assigned, _, err := h.choose(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	sheet, err := h.gradebook().Table(r.Context(), c.ID, assigned, h.Now())
	if err == nil {
		err = h.Store.Note(r.Context(), h.entry(r, "export", "", "exported all answers (CSV)"))
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	sendCSV(w, "answers", c, sheet.AttemptRows())
}
