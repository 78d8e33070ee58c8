package lessons

import (
	"fmt"
	"io"
	"io/fs"
	"strings"
	"testing"

	"shaftbook/lessons/text"
)

func TestLines(t *testing.T) {
	const text = "---\ntitle: A post\norder: 1\nsummary: One.\nminutes: 1\n---\n\nA post.\n\n## Its size\n\nWide *enough*\nfor it.\n\n- one\n- two\n\n> said\n\n$$ J = 1 $$\n\n```calc\nd = 1 m\n```\n\n| a | b |\n\n```go\ncode\n```\n\n---\n"
	l, _ := Parse("post.md", []byte(text))
	var got []string
	err := Render(io.Discard, l, Hooks{Line: func(w io.Writer, line int, raw string) error {
		first, _, _ := strings.Cut(raw, "\n")
		got = append(got, fmt.Sprint(line, " ", first))
		return nil
	}})
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(text, "\n")
	for _, want := range []int{1, 8, 10, 12, 15, 18, 20, 22, 26, 28, 32} {
		found := false
		for _, g := range got {
			found = found || strings.HasPrefix(g, fmt.Sprint(want, " "))
		}
		if !found {
			t.Errorf("nothing is written before line %d, %q; before %q", want, lines[want-1], got)
		}
	}
}

// TestLinesOfTheBook: every block of the built-in lessons has a line, in order, and what
// they are written into is the page that readers have.
func TestLinesOfTheBook(t *testing.T) {
	shelf, _ := Load(fs.FS(text.Files))
	for _, l := range shelf.Lessons {
		var plain, marked strings.Builder
		if err := Render(&plain, l, Hooks{}); err != nil {
			t.Fatal(err)
		}
		last := 0
		err := Render(&marked, l, Hooks{Line: func(w io.Writer, line int, raw string) error {
			if line < last {
				t.Errorf("%s: line %d after line %d", l.Slug, line, last)
			}
			last = line
			_, err := io.WriteString(w, "<!--here-->")
			return err
		}})
		if err != nil {
			t.Fatal(err)
		}
		if strings.ReplaceAll(marked.String(), "<!--here-->", "") != plain.String() {
			t.Errorf("%s: the page is another with marks", l.Slug)
		}
		if last < 40 {
			t.Errorf("%s: the last block is on line %d", l.Slug, last)
		}
	}
}
