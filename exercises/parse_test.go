package exercises

import (
	"context"
	"flag"
	"os"
	"strings"
	"testing"

	"shaftbook/exercises/marking"
	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// TestFaults reads blocks with faults and compares all that is said of each,
// with its place. testdata/faults.txt holds blocks between lines of "== name".
func TestFaults(t *testing.T) {
	input, err := os.ReadFile("testdata/faults.txt")
	if err != nil {
		t.Fatal(err)
	}
	var got strings.Builder
	for _, part := range strings.Split(string(input), "== ")[1:] {
		name, block, _ := strings.Cut(part, "\n")
		_, list := Parse("t", &source.Text{Name: "lesson.md", Content: block, FirstLine: 101})
		got.WriteString("== " + name + "\n")
		if len(list) == 0 {
			t.Errorf("%s: nothing is found wrong", name)
		}
		for _, d := range list {
			if !d.Span.IsValid() || d.Repair == "" {
				t.Errorf("%s: %q has no place or no repair", name, d.Message)
			}
			got.WriteString("[" + string(d.Code) + "] " + d.Render())
		}
	}
	const golden = "testdata/faults.golden"
	if *update {
		if err := os.WriteFile(golden, []byte(got.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if got.String() != string(want) {
		t.Errorf("differs from %s; run with -update and read the difference\n%s", golden, got.String())
	}
}

// TestPlaces wants an error in a shaft, a work block and an expression at the
// line and column of the file.
func TestPlaces(t *testing.T) {
	block := `title: t
given:
  d: 40 mm
  D: "d + 1 N"
work: |
  a = 1

  b = a + q
shaft: |
  G = 79 GPa
  solid d for bogus
ask: x
answer: d·(1 +
  d)
`
	e, list := Parse("t", &source.Text{Name: "lesson.md", Content: block, FirstLine: 11})
	if list.HasErrors() {
		t.Fatal(list[0].Render())
	}
	_, found, err := e.lay(context.Background(), nil, 0, []int{0, 0})
	if err != nil {
		t.Fatal(err)
	}
	var places []source.Position
	for _, d := range found {
		places = append(places, d.Span.Position())
	}
	want := []source.Position{{Line: 14, Column: 11, Length: 3}, {Line: 18, Column: 11, Length: 1}, {Line: 21, Column: 15, Length: 5}}
	for i, w := range want {
		if i >= len(places) || places[i].Line != w.Line {
			t.Errorf("error %d stands at %+v, want %+v; all: %s", i, places, w, found)
		}
	}
}

// costLittle bounds what an expression may cost in a fuzz test, so that many
// inputs are tried.
func costLittle(f *testing.F) {
	before := limits
	limits = kernel.Limits{Work: 5_000_000}
	f.Cleanup(func() { limits = before })
}

// FuzzParse reads any text as an exercise: it never panics, what it reads
// without an error can be drawn or is refused, and places are in the text.
func FuzzParse(f *testing.F) {
	costLittle(f)
	f.Add(quill)
	f.Add(drawn)
	if content, err := os.ReadFile("testdata/faults.txt"); err == nil {
		for _, part := range strings.Split(string(content), "== ") {
			f.Add(part)
		}
	}
	f.Add("title: &a t\nask: *a\n")
	f.Add("? a\n: b\n")
	f.Add("title: t\n---\ntitle: u\n")
	f.Fuzz(func(t *testing.T, block string) {
		e, list := Parse("fuzz", source.NewText("fuzz", block))
		for _, d := range list {
			if d.Span.Text != e.Text || d.Span.Start < 0 || d.Span.End > len(block) || d.Span.Start > d.Span.End {
				t.Fatalf("%s stands at %d to %d of %d", d.Message, d.Span.Start, d.Span.End, len(block))
			}
		}
		if list.HasErrors() {
			return
		}
		if v, found, err := e.lay(context.Background(), nil, 0, make([]int, len(e.Structures[0].Given))); err == nil && v != nil && len(found) == 0 {
			for _, a := range v.Structure.Parts {
				if verdict, err := v.Mark(context.Background(), a.Name, "1"); err == nil && verdict.Message == "" {
					t.Errorf("nothing is said: %+v", verdict)
				}
			}
		}
	})
}

// FuzzMark reads any text as an answer: there is a verdict with a reason on it.
func FuzzMark(f *testing.F) {
	costLittle(f)
	for _, s := range []string{"0.69 deg", "12 mrad", "T·L/(G·π/32·d_0^4)", "between 1 and 2", "S.twist", "1 <", "0,3", "θ = 1 rad", "sum of i for i from 1 to 9", "1e400", "−0", "thin", "|T|", "√", "∫ x for x from 0 to 1"} {
		f.Add(s)
	}
	v := set(f, quill)
	f.Fuzz(func(t *testing.T, answer string) {
		for _, part := range []string{"twist", "which"} {
			verdict, err := v.Mark(context.Background(), part, answer)
			if err != nil {
				t.Fatal(err)
			}
			if verdict.Kind.Word() == "" || verdict.Message == "" || (verdict.Kind == marking.Right) != (verdict.Points == 2 && part == "twist" || verdict.Points == 1 && part == "which") && verdict.Kind != marking.RoundedEarly {
				t.Errorf("%q: %+v", answer, verdict)
			}
		}
	})
}
