package working

import (
	"context"
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// TestTypedShaftLines reads lines of shaft cells as people type them and compares with
// what a teacher expects.
func TestTypedShaftLines(t *testing.T) {
	content, err := os.ReadFile("testdata/typed-shafts.txt")
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range strings.Split(string(content), "\n") {
		typed, wanted, ok := strings.Cut(row, " ¦ ")
		if !ok || strings.HasPrefix(row, "#") {
			continue
		}
		t.Run(typed, func(t *testing.T) {
			d := shaftLineSays(typed)
			if d == nil {
				t.Fatalf("says nothing, want %s", wanted)
			}
			fixes := d.Choices
			if d.Fix != nil {
				fixes = []source.Fix{*d.Fix}
			}
			var after []string
			for _, fix := range fixes {
				text := fix.Span.Text.Content
				text = text[:fix.Span.Start] + fix.Text + text[fix.Span.End:]
				first := d.Span.Position().Line - 1
				lines := strings.Split(text, "\n")[first:]
				after = append(after, strings.Join(lines[:1+strings.Count(fix.Text, "\n")], " ⏎ "))
			}
			made := strings.Join(after, " or ")
			if made == "" {
				made = "-"
			}
			if got := string(d.Code) + " @" + d.Span.Content() + " → " + made; got != wanted {
				t.Errorf("%s, want %s: %s", got, wanted, d.Render())
			}
			for _, line := range after {
				if again := shaftLineSays(strings.ReplaceAll(line, " ⏎ ", "\n")); again != nil && again.Severity == source.Error && (len(d.Choices) == 0 || again.Code == d.Code) {
					t.Errorf("%q says %v", line, again)
				}
			}
		})
	}
}

// shaftLineSays returns the first message about a line of a shaft that is whole apart
// from it.
func shaftLineSays(line string) *source.Diagnostic {
	before, after := "G = 79 GPa\n", "\nhold at 0 mm\ntorque 3 N·m at 800 mm"
	switch word, _, _ := strings.Cut(strings.ToLower(line), " "); word {
	case "g":
		before, after = "", "\nsolid 36 mm for 800 mm"+after
	case "fixed", "fixd", "clamped", "held", "hld", "hold":
		before, after = before+"solid 36 mm for 800 mm\n", "\ntorque 3 N·m at 800 mm"
	case "distributed", "distributd", "spread", "torqe", "moment", "t", "torque", "power", "alow", "allow":
		before += "solid 36 mm for 800 mm\n"
	default: // a piece that may be short
		after = "\nsolid 36 mm for 800 mm" + after
	}
	w := New(Limits{})
	w.SetCells([]Cell{{ID: "shaft", Kind: Shaft, Name: "S", Text: source.NewText("", before+line+after)},
		{ID: "defs", Text: source.NewText("", "d_0 = 36 mm\nL = 800 mm\nT_g = 3 N·m")}})
	if err := w.Evaluate(context.Background(), func(Result) {}); err != nil {
		panic(err)
	}
	r := w.Results("shaft")[0]
	if first := r.Diagnostics.FirstError(); first != nil {
		return first
	}
	if len(r.Diagnostics) > 0 {
		return &r.Diagnostics[0]
	}
	return nil
}
