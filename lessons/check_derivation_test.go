package lessons_test

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

func TestCheckJudgesDerivations(t *testing.T) {
	const head = "given T: torque > 0, d: length > 0\nτ = T·(d/2)/(π/32·d^4)\n"
	for _, c := range []struct {
		name, steps string
		want        []source.Code
		says        string
	}{
		{"a sound step", "  = 16·T/(π·d^3)", nil, ""},
		{"a gap", "  = ?", nil, ""},
		{"a wrong step", "  = 8·T/(π·d^3)", []source.Code{lessons.CodeStepFails}, "half of the line above"},
		{"a wrong step and a sound one", "  = 8·T/(π·d^3)\n  = 8·T/π/d^3", []source.Code{lessons.CodeStepFails}, ""},
		{"dimensions that do not fit", "  = 16·T/(π·d^2)", []source.Code{lessons.CodeStepFails}, ""},
		{"no number to compare", "  = T/(d^3·0)", []source.Code{lessons.CodeStepOpen}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := "---\ntitle: A\norder: 1\nsummary: B\nminutes: 1\n---\n\n```derive\n" + head + c.steps + "\n```\n"
			shelf, found := lessons.Load(fstest.MapFS{"a.md": {Data: []byte(page)}})
			if len(found) > 0 {
				t.Fatal(found)
			}
			list, err := lessons.Check(context.Background(), shelf.Lessons[0], true)
			if err != nil {
				t.Fatal(err)
			}
			var codes []source.Code
			for _, d := range list {
				codes = append(codes, d.Code)
				if d.Span.Position().Line < 9 {
					t.Errorf("%v stands on line %d, before the derivation", d, d.Span.Position().Line)
				}
			}
			if len(codes) != len(c.want) || len(codes) > 0 && codes[0] != c.want[0] {
				t.Fatalf("codes %v, want %v: %v", codes, c.want, list)
			}
			if len(list) > 0 && !strings.Contains(list[0].Message, c.says) {
				t.Errorf("it says %q, which lacks %q", list[0].Message, c.says)
			}
		})
	}
}
