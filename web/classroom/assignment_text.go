package classroom

import (
	"context"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/web/app/regrade"
	"shaftbook/web/page"
)

const (
	aroundChanges = 2 // lines shown beside those that differ
	logPage       = 200
)

// textOf compares the text that a class has with that of the file.
func (h *assignments) textOf(r *http.Request, a *class.Assignment) (page.AssignText, error) {
	t := page.AssignText{Hash: a.Text[:min(regrade.HashShown, len(a.Text))], Recompute: page.AssignmentPath(a) + "/recompute"}
	frozen, err := h.Store.Frozen(r.Context(), a.Text)
	if err != nil {
		return t, err
	}
	t.File = frozen.Name
	again, err := h.lastRemarked(r.Context(), a)
	switch {
	case err != nil:
		return t, err
	case again != nil:
		t.Since = "on " + page.Zoned(again.At, a.Zone) + ", when it was re-marked"
	default:
		t.Since = "on " + page.Zoned(a.MadeAt, a.Zone)
	}
	now, _, err := h.Files.Now(r.Context(), a.Lesson)
	if err != nil {
		t.Gone = true
		return t, nil
	}
	t.Changed = h.Files.Changed(r.Context(), a) || now.Text.Content != frozen.Text
	t.Lines = changedLines(frozen.Text, now.Text.Content)
	return t, nil
}

func changedLines(before, after string) []page.AssignChange {
	return changeLines(class.Changes(before, after, aroundChanges))
}

func changeLines(lines []class.Line) (out []page.AssignChange) {
	for _, l := range lines {
		c := page.AssignChange{Old: l.Old, New: l.New, Text: l.Text, Pieces: l.Pieces, Parted: l.Parted}
		switch l.Sign {
		case '-':
			c.Sign, c.Word = "−", "removed"
		case '+':
			c.Sign, c.Word = "+", "added"
		}
		out = append(out, c)
	}
	return out
}

// lastRemarked returns the line of the log of when an assignment was last marked
// again, or nil.
func (h *assignments) lastRemarked(ctx context.Context, a *class.Assignment) (*class.Entry, error) {
	for before := int64(0); ; {
		entries, err := h.Store.Log(ctx, a.Class, "", before, logPage)
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			if e.Assignment == a.ID && e.Action == regrade.Action {
				return &e, nil
			}
		}
		if len(entries) < logPage {
			return nil, nil
		}
		before = entries[len(entries)-1].ID
	}
}
