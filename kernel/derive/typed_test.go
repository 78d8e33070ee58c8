package derive

import (
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// TestTypedLines reads the rows of derivations in the table of typed lines, whose
// form is described there.
func TestTypedLines(t *testing.T) {
	content, err := os.ReadFile("../working/testdata/typed.txt")
	if err != nil {
		t.Fatal(err)
	}
	above, found, ok := strings.Cut(string(content), "\n== derive: given ")
	if !ok {
		t.Fatalf("no derivations after %d bytes", len(above))
	}
	given, rows, _ := strings.Cut("given "+found, "\n")
	rows, _, _ = strings.Cut(rows, "\n\n") // the end of the group
	for _, row := range strings.Split(strings.TrimSpace(rows), "\n") {
		f := strings.Split(row, " ¦ ")
		if len(f) != 4 {
			t.Fatalf("%q has %d fields", row, len(f))
		}
		t.Run(f[0], func(t *testing.T) {
			cell, list := ChooseReadings(notation.ParseDerivation(source.NewText("", given+"\n"+f[0])))
			if f[1] != "-" {
				if got := notation.Print(cell.Lines[len(cell.Lines)-1]); got != f[1] {
					t.Errorf("is read as %s, want %s", got, f[1])
				}
			}
			kind, rest, _ := strings.Cut(f[3], " ")
			code, rest, _ := strings.Cut(rest, " @")
			place, offered, _ := strings.Cut(rest, " → ")
			if len(list) == 0 {
				t.Fatalf("says nothing, want %s", f[3])
			}
			d := list[0]
			if string(d.Code) != code || d.Span.Content() != place || (d.Severity == source.Note) != (kind == "note") {
				t.Errorf("says %s %v @%s, want %s", d.Code, d, d.Span.Content(), f[3])
			}
			var lines []string
			for _, c := range d.Choices {
				whole := given + "\n" + f[0]
				_, line, _ := strings.Cut(whole[:c.Span.Start]+c.Text+whole[c.Span.End:], "\n")
				lines = append(lines, line)
			}
			if got := strings.Join(lines, " or "); kind == "ask" && got != offered {
				t.Errorf("offers %q, want %q", got, offered)
			}
		})
	}
}
