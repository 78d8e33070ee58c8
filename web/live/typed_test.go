package live

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

// A value that the statement does not allow is refused, moves nothing, and is followed by
// the row with the value that holds.
func TestValuesBeyondTheSliderAreRefused(t *testing.T) {
	cells := []kernel.Cell{{ID: "c1", Kind: kernel.Calc, Text: source.NewText("", "vary n from 1 to 40 by 1 starting at 4 typed up to 1000\nx = 2·n")}}
	for _, c := range []struct {
		value   string
		refused bool
		shown   string
	}{
		{"40", false, "→ 40"},
		{"1000", false, "→ 1000"},
		{"1001", true, "→ 5"},
		{"0.5", true, "→ 5"},
		{"2.5", true, "→ 5"},
	} {
		t.Run(c.value, func(t *testing.T) {
			r, _ := sharedRig(t)
			r.hub.config.Lesson = func(context.Context, Holder, string) (Lesson, error) { return Lesson{Cells: cells}, nil }
			client := r.open()
			client.rows(`{"type":"vary","revision":2,"name":"n","value":5}`)
			client.send(fmt.Sprintf(`{"type":"vary","revision":3,"name":"n","value":%s}`, c.value))
			if c.refused {
				p := client.want("problem")
				if p.Problem.Type != "/problem/beyond" || p.Problem.Detail != "n goes from 1 to 1000 in whole numbers" || p.Revision != 3 {
					t.Errorf("problem %+v", p)
				}
			}
			if a := client.want("row"); a.Index != 0 || !strings.HasSuffix(a.HTML, c.shown) {
				t.Errorf("row %+v, want %s", a, c.shown)
			}
		})
	}
}
