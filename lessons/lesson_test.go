package lessons_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/yuin/goldmark"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
	"shaftbook/lessons/text"
)

func page(front, body string) []byte {
	return []byte("---\n" + front + "\n---\n\n" + body + "\n")
}

func front(order int, more string) string {
	return fmt.Sprintf("title: T\norder: %d\nsummary: S\nminutes: 5\n%s", order, more)
}

// TestEmbedded holds the lessons that come with shaftbook to their own rules:
// nothing to report, and every cell can be read.
func TestEmbedded(t *testing.T) {
	shelf, found := lessons.Load(text.Files)
	for _, f := range found {
		for _, d := range f.List {
			t.Errorf("%s: %s", f.Name, d.Render())
		}
	}
	if len(shelf.Lessons) == 0 {
		t.Fatal("no lessons")
	}
	for _, l := range shelf.Lessons {
		for _, c := range l.Cells {
			var list source.List
			switch c.Kind {
			case lessons.Calc:
				_, list = notation.ParseCell(c.Text)
			case lessons.Shaft:
				_, list = notation.ParseShaft(c.Text)
			case lessons.Derive:
				_, list = notation.ParseDerivation(c.Text)
			}
			if list.HasErrors() {
				t.Errorf("%s, %s: %s", l.Text.Name, c.ID, list.FirstError().Render())
			}
		}
	}
}

func TestLoad(t *testing.T) {
	shelf, found := lessons.Load(fstest.MapFS{
		"README.md":  {Data: []byte("not a lesson")},
		"notes.txt":  {Data: []byte("not a lesson")},
		"third.md":   {Data: page(front(3, "needs: [first, nowhere]"), "[x](first.md#part) [y](first.md#gone) [z](gone.md)\n\n![p](plan.svg) ![q](gone.svg)")},
		"first.md":   {Data: page(front(1, "needs: [third]"), "## Part")},
		"second.md":  {Data: page(front(3, ""), "text")},
		"plan.svg":   {Data: []byte("<svg/>")},
		"sub/not.md": {Data: []byte("not a lesson")},
	})
	var order []string
	for _, l := range shelf.Lessons {
		order = append(order, l.Slug)
	}
	if got, want := strings.Join(order, " "), "first second third"; got != want {
		t.Errorf("order %s, want %s", got, want)
	}
	var got []string
	for _, f := range found {
		for _, d := range f.List {
			got = append(got, f.Name+" "+string(d.Code))
		}
	}
	want := []string{
		"first.md order",
		"third.md order",
		"third.md link-target",
		"third.md link-target",
		"third.md link-target",
		"third.md image-file",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	before, after := shelf.Beside("second")
	if before.Slug != "first" || after.Slug != "third" {
		t.Errorf("beside second: %s and %s", before.Slug, after.Slug)
	}
	if before, after := shelf.Beside("gone"); before != nil || after != nil {
		t.Error("a lesson that is not there has neighbours")
	}
}

// TestLoadReadsWhatStandsBeside finds what is wrong between the lessons and the files
// beside them, each at its place.
func TestLoadReadsWhatStandsBeside(t *testing.T) {
	shelf, found := lessons.Load(fstest.MapFS{
		"first.md":      {Data: page(front(1, ""), "## Part")},
		"glossary.yaml": {Data: []byte("- word: a\n  means: $\\tfrac12$\n  see: [first.md#part, first.md#gone]\n- word: b\n  means: See [this](first.md) and [that](second.md).\n")},
		"symbols.yaml":  {Data: []byte("groups:\n  - title: A\n    symbols: [{symbol: T, means: m, see: gone.md}]\n")},
		"paths.yaml":    {Data: []byte("- title: A\n  for: B\n  steps: [{title: C, lessons: [first.md, second.md]}]\n")},
	})
	var got []string
	for _, f := range found {
		for _, d := range f.List {
			got = append(got, fmt.Sprintf("%s %s %q", f.Name, d.Code, d.Span.Text.Content[d.Span.Start:d.Span.End]))
		}
	}
	want := []string{
		`glossary.yaml formula "$\\tfrac12$"`,
		`glossary.yaml link-target "first.md#gone"`,
		`glossary.yaml link-target "See [this](first.md) and [that](second.md)."`,
		`symbols.yaml link-target "gone.md"`,
		`paths.yaml link-target "second.md"`,
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if len(shelf.Reference.Terms) != 2 || len(shelf.Reference.Paths) != 1 {
		t.Errorf("what is wrong is not left out of the pages: %+v", shelf.Reference)
	}
}

func TestCellPlaces(t *testing.T) {
	l, list := lessons.Parse("a.md", []byte("\ufeff---\r\n"+strings.ReplaceAll(front(1, ""), "\n", "\r\n")+"\r\n---\r\n\r\nText.\r\n\r\n```calc\r\na = 1\r\nb = = 2\r\n```\r\n"))
	if len(list) > 0 {
		t.Fatal(list[0].Render())
	}
	cell, ok := l.Cell("calc-1")
	if !ok {
		t.Fatal("no cell calc-1")
	}
	_, found := notation.ParseCell(cell.Text)
	d := found.FirstError()
	if d == nil {
		t.Fatal("no error in the cell")
	}
	// b = = 2 is in line 13 of the file: 7 of front matter, 3 of text, the
	// fence, a = 1.
	if p := d.Span.Position(); p.Line != 13 {
		t.Errorf("error in line %d, want 13", p.Line)
	}
}

func TestRenderReturnsTheErrorOfAHook(t *testing.T) {
	l, _ := lessons.Parse("a.md", page(front(1, ""), "```calc\na = 1\n```"))
	failed := errors.New("failed")
	err := lessons.Render(io.Discard, l, lessons.Hooks{Calc: func(io.Writer, lessons.Cell) error { return failed }})
	if !errors.Is(err, failed) {
		t.Errorf("got %v", err)
	}
}

func TestParseNames(t *testing.T) {
	for _, test := range []struct {
		name string
		file string
		src  []byte
		code source.Code
	}{
		{"capital letters", "Uniform.md", page(front(1, ""), ""), lessons.CodeFile},
		{"too large", "a.md", bytes.Repeat([]byte("a"), lessons.MaxFile+1), lessons.CodeFile},
		{"not UTF-8", "a.md", page(front(1, ""), "a\xffb"), lessons.CodeFile},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, list := lessons.Parse(test.file, test.src)
			for _, d := range list {
				if d.Code == test.code {
					return
				}
			}
			t.Errorf("no %s in %v", test.code, list)
		})
	}
}

func ExampleParse() {
	l, list := lessons.Parse("stepped-shaft.md", []byte("---\ntitle: Steps\norder: 4\nsummary: Two diameters.\nminutes: 20\n---\n\n```shaft S\nsolid 36 mm for 200 mm\n```\n\nHalf is $\\tfrac12$.\n"))
	fmt.Println(l.Slug, l.Title, l.Cells[0].ID, l.Cells[0].Text.FirstLine)
	fmt.Print(list[0].Render())
	// Output:
	// stepped-shaft Steps shaft-S 9
	// line 12, column 10: the arguments of \tfrac must be in braces: write \tfrac{…}{…}
	//   Half is $\tfrac12$.
	//            ^^^^^^
}

// FuzzParseLesson checks that whatever the file, reading and rendering end
// without panic, places lie in the file, and no style, script or event handler
// reaches the page.
func FuzzParseLesson(f *testing.F) {
	src, err := text.Files.ReadFile("uniform-shaft.md")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(src))
	f.Add("---\ntitle: &a [*a, *a]\n---\n$$\\frac{a}{b$$\n$x$ <b style=x> [a](javascript:x)\n```calc\n")
	f.Add("---\nchecked:\n  - source: a\n    what: b\n    memory: yes\n  - {source: [], &a what: *a, c: d}\n---\n")
	f.Add("---\n- a\n---\n# $\\begin{aligned}a&b\\\\c\\end{aligned}$\n~~~shaft S\n")
	f.Fuzz(func(t *testing.T, content string) {
		l, list := lessons.Parse("a.md", []byte(content))
		for _, d := range list {
			if d.Span.Text != l.Text || d.Span.Start < 0 || d.Span.Start > len(l.Text.Content) || d.Span.End < d.Span.Start {
				t.Fatalf("%s: place %d to %d in %d bytes", d.Code, d.Span.Start, d.Span.End, len(l.Text.Content))
			}
			d.Render()
		}
		seen := map[string]bool{}
		for _, c := range l.Cells {
			if seen[c.ID] || !strings.Contains(l.Text.Content, c.Text.Content) {
				t.Fatalf("cell %q", c.ID)
			}
			seen[c.ID] = true
		}
		var b bytes.Buffer
		if err := lessons.Render(&b, l, lessons.Hooks{}); err != nil {
			t.Fatal(err)
		}
		for _, bad := range []string{"<script", " style=\"", "<merror", "href=\"javascript:"} {
			if strings.Contains(strings.ToLower(b.String()), bad) {
				t.Fatalf("%s in the page:\n%s", bad, b.String())
			}
		}
	})
}

// prose returns a page of about 20 kB without cells or formulas.
func prose() []byte {
	paragraph := "The *water wheel* turns slowly and hard, and its shaft is a [plain bar](https://example.org) of steel, as thick at one end " +
		"as at the other. When the `sluice` opens, the far end lags behind the wheel: the bar has twisted, **nobody** sees it.\n\n"
	var b strings.Builder
	for i := range 18 {
		fmt.Fprintf(&b, "## Part %d of the mill\n\n%s- one thing\n- another thing\n\n> A remark in passing.\n\n%s%s%s", i, paragraph, paragraph, paragraph, paragraph)
	}
	return []byte(b.String())
}

// BenchmarkPage reads and renders a page of 20 kB without cells, in turn with
// goldmark without extensions; ratio is the cost of the one over the other.
func BenchmarkPage(b *testing.B) {
	body := prose()
	src := page(front(1, ""), string(body))
	bare := goldmark.New()
	var out bytes.Buffer
	var own, baseline time.Duration
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		start := time.Now()
		out.Reset()
		if err := bare.Convert(body, &out); err != nil {
			b.Fatal(err)
		}
		between := time.Now()
		out.Reset()
		l, _ := lessons.Parse("a.md", src)
		if err := lessons.Render(&out, l, lessons.Hooks{}); err != nil {
			b.Fatal(err)
		}
		baseline += between.Sub(start)
		own += time.Since(between)
	}
	b.ReportMetric(float64(own)/float64(baseline), "ratio")
	b.ReportMetric(float64(own.Nanoseconds())/float64(b.N), "own-ns/op")
}

func BenchmarkParseLesson(b *testing.B) {
	src, err := text.Files.ReadFile("uniform-shaft.md")
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		lessons.Parse("uniform-shaft.md", src)
	}
}
