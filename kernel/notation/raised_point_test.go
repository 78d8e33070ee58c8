package notation

import (
	"testing"

	"shaftbook/kernel/source"
)

// Which products draw a note is common practice, no source.
func TestRaisedPoint(t *testing.T) {
	for _, c := range []struct{ text, offers string }{
		{"d = 12·5 mm", "d = 12.5 mm"},
		{"d = -12⋅5 mm", "d = -12.5 mm"},
		{"d = (12·5 mm)^2", "d = (12.5 mm)^2"},
		{"d = 12·75 in + 1 in", "d = 12.75 in + 1 in"},
		{"d = 12 · 5 mm", ""},
		{"d = 12*5 mm", ""},
		{"d = 2·36 mm", ""},
		{"d = 12·5", ""},
		{"d = 12·5 mm·x", ""},
		{"d = 16·5 mm/4", ""},
		{"d = x/12·5 mm", ""},
	} {
		text := source.NewText("", c.text)
		cell, list := ParseCell(text)
		if list.HasErrors() || len(cell.Stmts) != 1 {
			t.Errorf("%s: %v", c.text, list)
			continue
		}
		got := ""
		for _, d := range list {
			if d.Code == TwoReadings && len(d.Choices) == 1 {
				f := d.Choices[0]
				got = c.text[:f.Span.Start] + f.Text + c.text[f.Span.End:]
			}
		}
		if got != c.offers {
			t.Errorf("%s offers %q, want %q", c.text, got, c.offers)
		}
	}
}
