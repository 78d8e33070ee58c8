package lessons

import (
	"io/fs"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	booktext "shaftbook/lessons/text"
)

func TestBlocks(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []string // kind, cell and raw text of each
	}{
		{"nothing", "", nil},
		{"empty lines", "\n\n", []string{"text||\n\n"}},
		{"front matter, a heading, a cell", "---\ntitle: A\n---\n\n# A\n\nOne.\n\n```calc\nx = 1\n```\n\nTwo.\n", []string{
			"head||---\ntitle: A\n---\n\n", "text||# A\n\nOne.\n\n", "calc|calc-1|```calc\nx = 1\n```\n\n", "text||Two.\n"}},
		{"cut before headings of two levels", "One.\n## A\nTwo.\n### B\nThree.\n\n## C", []string{"text||One.\n", "text||## A\nTwo.\n### B\nThree.\n\n", "text||## C"}},
		{"two cells without a line between", "```shaft S\nx\n```\n```derive\ny\n```", []string{"shaft|shaft-S|```shaft S\nx\n```\n", "derive|derive-1|```derive\ny\n```"}},
		{"an empty cell", "```calc\n```\nA.", []string{"calc|calc-1|```calc\n```\n", "text||A."}},
		{"a cell that is not closed", "A.\n\n```calc\nx = 1\n\n## no heading\n", []string{"text||A.\n\n", "calc|calc-1|```calc\nx = 1\n\n## no heading\n"}},
		{"an empty cell that is not closed", "```calc", []string{"calc|calc-1|```calc"}},
		{"empty lines first", "\n\n```calc\nx\n```\n", []string{"calc|calc-1|\n\n```calc\nx\n```\n"}},
		{"code and a quoted cell are text", "```text\n# no\n```\n\n> ```calc\n> x\n> ```\n", []string{"text||```text\n# no\n```\n\n> ```calc\n> x\n> ```\n"}},
		{"an underlined heading", "One.\n\nA\n===\nTwo.", []string{"text||One.\n\n", "text||A\n===\nTwo."}},
		{"a heading in a list is text", "- # A\n- b\n", []string{"text||- # A\n- b\n"}},
		{"front matter that is not closed", "---\ntitle: A\n", []string{"head||---\ntitle: A\n"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, b := range Blocks(c.text) {
				got = append(got, string(b.Kind)+"|"+b.Cell+"|"+b.Raw)
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("got\n%q, want\n%q", got, c.want)
			}
		})
	}
}

// The blocks of each lesson of the book are the lesson, and as many are cells.
func TestBlocksOfTheBook(t *testing.T) {
	names, err := fs.Glob(booktext.Files, "*.md")
	if err != nil || len(names) == 0 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		raw, err := fs.ReadFile(booktext.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		l, _ := Parse(name, raw)
		blocks := Blocks(l.Text.Content)
		if Join(blocks) != l.Text.Content {
			t.Errorf("%s: the blocks are not the text", name)
		}
		var ids, want []string
		for _, b := range blocks {
			if b.Cell != "" {
				ids = append(ids, b.Cell)
			}
		}
		for _, c := range l.Cells {
			want = append(want, c.ID)
		}
		if !slices.Equal(ids, want) {
			t.Errorf("%s: cells %q, want %q", name, ids, want)
		}
	}
}

// someText draws a text of lines that could begin, end or hide a block.
func someText(t *rapid.T) string {
	line := rapid.OneOf(rapid.StringMatching(`[-a-z0-9 =?#*_^$|~>\\\t]{0,12}`), rapid.StringMatching("`{0,5}[a-z ]{0,6}"),
		rapid.SampledFrom([]string{"", "", "```calc", "```", "````derive x", "````", "~~~", "```shaft S", "# A", "## B", "---", "<!--", "-->", "<b>", "<script>",
			"$$", "- a", "  - b", "    code", "===", "> q", "[a]: b", "\tx", "1. x", "θ = 1"}))
	return strings.Join(rapid.SliceOfN(line, 0, 14).Draw(t, "lines"), "\n")
}

func TestBlocksAreTheText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { holdBlocks(t, someText(t)) })
}

func FuzzBlocks(f *testing.F) {
	f.Add("---\ntitle: A\n---\n# A\n```calc\nx\n```\n")
	f.Add("<!--\n```calc\nx\n```\n")
	f.Fuzz(func(t *testing.T, s string) { holdBlocks(t, CleanText(s)) })
}

func holdBlocks(t interface {
	Fatalf(string, ...any)
}, s string) {
	blocks := Blocks(s)
	if Join(blocks) != s {
		t.Fatalf("%q became %q", s, blocks)
	}
	l, _ := Parse("page.md", []byte(s))
	cells := 0
	for _, b := range blocks {
		if b.Raw == "" {
			t.Fatalf("an empty block in %q", blocks)
		}
		if b.Cell == "" {
			continue
		}
		if cells >= len(l.Cells) || l.Cells[cells].ID != b.Cell || !strings.Contains(b.Raw, l.Cells[cells].Text.Content) {
			t.Fatalf("%q has the cells %v, blocks %q", s, l.Cells, blocks)
		}
		cells++
	}
	if cells != len(l.Cells) {
		t.Fatalf("%q has %d cells, the blocks %d", s, len(l.Cells), cells)
	}
}

func TestClosedBlock(t *testing.T) {
	for _, c := range []struct{ name, raw, want string }{
		{"text", "One.", "One.\n\n"},
		{"text with its empty lines", "One.\n\n\n", "One.\n\n\n"},
		{"nothing", "", ""},
		{"a cell", "```calc\nx = 1\n```", "```calc\nx = 1\n```\n\n"},
		{"an open cell", "```calc\nx = 1", "```calc\nx = 1\n```\n\n"},
		{"an open cell with a long fence", "`````calc\n```\n", "`````calc\n```\n`````\n\n"},
		{"tildes", "~~~\nx", "~~~\nx\n~~~\n\n"},
		{"an open comment", "<!-- x", "<!-- x\n-->\n\n"},
		{"a formula ends with an empty line", "$$\nx", "$$\nx\n\n"},
		{"an open script", "<script>\nx", "<script>\nx\n</script>\n\n"},
		{"a rule", "---\nx", "---\nx\n\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := ClosedBlock(c.raw, false); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
	if got, want := ClosedBlock("---\nx", true), "---\nx\n---\n\n"; got != want {
		t.Errorf("front matter: got %q, want %q", got, want)
	}
}

// Whatever is written as a block, what follows it stays what it is.
func TestClosedBlocksTakeInNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { holdClosed(t, someText(t)) })
}

func FuzzClosedBlock(f *testing.F) {
	f.Add("```calc\nx")
	f.Add("<!DOCTYPE a\n```x\n")
	f.Fuzz(func(t *testing.T, s string) { holdClosed(t, CleanText(s)) })
}

func holdClosed(t interface {
	Fatalf(string, ...any)
}, s string) {
	const next = "```shaft S\nG = 79 GPa\n```\n"
	for _, first := range []bool{true, false} {
		closed := ClosedBlock(s, first)
		if !strings.HasPrefix(closed, strings.TrimRight(s, "\n")) {
			t.Fatalf("%q became %q", s, closed)
		}
		text := closed + next
		if !first {
			text = "```calc\n```\n" + text
		}
		blocks := Blocks(text)
		last := blocks[len(blocks)-1]
		if last.Kind != BlockKind(Shaft.String()) || strings.TrimLeft(last.Raw, " \t\n") != next {
			t.Fatalf("%q took in what follows: %q", s, blocks)
		}
	}
}
