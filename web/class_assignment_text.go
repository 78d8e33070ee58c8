package web

import (
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/web/page"
)

const (
	aroundChanges = 2  // lines shown beside those that differ
	hashShown     = 12 // letters of a hash that tell texts apart for a reader
)

// textOf says how the text that a class has stands to that of the file.
func (s *Server) textOf(r *http.Request, a *class.Assignment) (page.AssignText, error) {
	t := page.AssignText{Hash: a.Text[:min(hashShown, len(a.Text))]}
	frozen, err := s.Class.Frozen(r.Context(), a.Text)
	if err != nil {
		return t, err
	}
	t.File = frozen.Name
	t.Since = "given on " + zoned(a.MadeAt, a.Zone)
	now, _, err := s.lessonNow(a.Lesson)
	if err != nil {
		t.Gone = true
		return t, nil
	}
	t.Changed = now.Text.Content != frozen.Text
	t.Lines = changedLines(frozen.Text, now.Text.Content)
	return t, nil
}

func changedLines(before, after string) []page.AssignChange {
	var out []page.AssignChange
	for _, l := range class.Changes(before, after, aroundChanges) {
		c := page.AssignChange{Old: l.Old, New: l.New, Text: l.Text, Parted: l.Parted}
		switch l.Sign {
		case '-':
			c.Sign, c.Word = "−", "taken out"
		case '+':
			c.Sign, c.Word = "+", "put in"
		}
		out = append(out, c)
	}
	return out
}
