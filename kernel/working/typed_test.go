package working

import (
	"context"
	"math"
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// A typedLine is a row of testdata/typed.txt.
type typedLine struct {
	defs, typed, read, value, said string
}

func typedLines(t *testing.T) []typedLine {
	t.Helper()
	content, err := os.ReadFile("testdata/typed.txt")
	if err != nil {
		t.Fatal(err)
	}
	var rows []typedLine
	defs := ""
	for _, line := range strings.Split(string(content), "\n") {
		if head, ok := strings.CutPrefix(line, "== "); ok {
			defs = strings.TrimSpace(head)
			continue
		}
		if strings.HasPrefix(line, "#") || !strings.Contains(line, " ¦ ") {
			continue
		}
		f := strings.Split(line, " ¦ ")
		if len(f) != 4 {
			t.Fatalf("%q has %d fields", line, len(f))
		}
		rows = append(rows, typedLine{defs, f[0], f[1], f[2], f[3]})
	}
	return rows
}

// TestTypedLines reads what people type and compares with what a teacher expects.
func TestTypedLines(t *testing.T) {
	for _, row := range typedLines(t) {
		if strings.HasPrefix(row.defs, "derive:") {
			continue // TestTypedLines of package derive
		}
		t.Run(row.typed, func(t *testing.T) {
			r := row.evaluate(row.typed)
			row.checkReading(t, r)
			row.checkSaid(t, r)
		})
	}
}

// evaluate returns the result of a line after the definitions of its row.
func (row typedLine) evaluate(line string) Result {
	w := New(Limits{})
	cells := []Cell{{ID: "line", Text: source.NewText("", line)}}
	if row.defs != "-" {
		cells = append(cells, Cell{ID: "defs", Text: source.NewText("", strings.ReplaceAll(row.defs, ";", "\n"))})
	}
	if row.value != "-" {
		cells = append(cells, Cell{ID: "value", Text: source.NewText("", "value_expected = "+row.value)})
	}
	w.SetCells(cells)
	if err := w.Evaluate(context.Background(), func(Result) {}); err != nil {
		panic(err)
	}
	return w.Results("line")[0]
}

func (row typedLine) checkReading(t *testing.T, r Result) {
	t.Helper()
	if row.read == "-" {
		if !r.Failed() {
			t.Errorf("has the value %s (%v), but should have none", r.Text, r.Diagnostics)
		}
		return
	}
	if r.Failed() {
		t.Errorf("fails: %s", r.Diagnostics.FirstError().Render())
		return
	}
	if got := notation.Print(r.Node); got != row.read {
		t.Errorf("is read as %s, want %s", got, row.read)
	}
	want := typedLine{defs: "-", value: "-"}.evaluate("value_expected = " + row.value)
	if want.Failed() {
		t.Fatalf("expected value: %v", want.Diagnostics)
	}
	got, exact := r.Value.Number, want.Value.Number
	if r.Value.Dim != want.Value.Dim || math.Abs(got-exact) > 2e-4*math.Abs(exact) {
		t.Errorf("has the value %s (%v), want %s (%v)", r.Text, got, row.value, exact)
	}
}

func (row typedLine) checkSaid(t *testing.T, r Result) {
	t.Helper()
	kind, rest, _ := strings.Cut(row.said, " ")
	if kind == "ok" {
		if len(r.Diagnostics) > 0 {
			t.Errorf("says %v", r.Diagnostics)
		}
		return
	}
	code, rest, _ := strings.Cut(rest, " @")
	place, after, _ := strings.Cut(rest, " → ")
	place = strings.TrimSuffix(place, "‹›")
	if len(r.Diagnostics) == 0 {
		t.Errorf("says nothing, want %s", row.said)
		return
	}
	d := r.Diagnostics[0]
	if first := r.Diagnostics.FirstError(); first != nil {
		d = *first
	}
	if string(d.Code) != code || strings.TrimSpace(d.Span.Content()) != place || (d.Severity == source.Note) != (kind == "note") {
		t.Errorf("says %s %v @%s, want %s", d.Code, d, d.Span.Content(), row.said)
	}
	if kind == "note" {
		row.checkNote(t, r)
		return
	}
	fixes := d.Choices
	if d.Fix != nil {
		fixes = append(fixes, *d.Fix)
	}
	var lines []string
	for _, f := range fixes {
		lines = append(lines, row.typed[:f.Span.Start]+f.Text+row.typed[f.Span.End:])
	}
	if got := strings.ReplaceAll(strings.Join(lines, " or "), "\n", `\n`); got != after {
		t.Errorf("offers %q, want %q", got, after)
	}
	for _, line := range lines {
		again := row.evaluate(line)
		for _, same := range again.Diagnostics {
			if same.Code == d.Code && same.Severity == d.Severity {
				t.Errorf("%q still says %v", line, same)
			}
		}
	}
}

// checkNote carries out the repairs of notes until there are none: the line then
// says nothing and has the same value.
func (row typedLine) checkNote(t *testing.T, r Result) {
	t.Helper()
	line, value := row.typed, r.Value
	for range 4 {
		var fix *source.Fix
		for _, d := range r.Diagnostics {
			if d.Fix != nil {
				fix = d.Fix
			}
		}
		if fix == nil {
			break
		}
		line = line[:fix.Span.Start] + fix.Text + line[fix.Span.End:]
		r = row.evaluate(line)
	}
	if r.Failed() || r.Value.Number != value.Number && math.Abs(r.Value.Number-value.Number) > 1e-15*math.Abs(value.Number) {
		t.Errorf("repaired as %q: %s, %v", line, r.Text, r.Diagnostics)
	}
	for _, d := range r.Diagnostics {
		if d.Fix != nil {
			t.Errorf("repaired as %q it still says %v", line, d)
		}
	}
}
