package lessons

import (
	"bytes"
	"io"
	"io/fs"
	"strings"
	"testing"

	"shaftbook/lessons/text"
)

// All blocks together are the page without its margins, and each cell is in the piece
// of its own block.
func TestRenderBlocksIsRenderInPieces(t *testing.T) {
	names, err := fs.Glob(text.Files, "*.md")
	if err != nil || len(names) == 0 {
		t.Fatal(names, err)
	}
	texts := map[string]string{
		"headings of both kinds": "# A\n\nfirst\n\nSetext\n------\n\n* list\n\n  more\n\n## B\n\n> quote\n",
		"nothing":                "",
		"empty lines":            "\n\n",
		"a definition":           "[a][b]\n\n## C\n\n[b]: https://mill.example\n",
		"an open cell":           "text\n\n```calc\na = 1\n",
	}
	for _, name := range names {
		src, err := fs.ReadFile(text.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		texts[name] = string(src)
	}
	hook := func(w io.Writer, c Cell) error {
		_, err := io.WriteString(w, "<cell "+c.ID+">")
		return err
	}
	hooks := Hooks{Calc: hook, Shaft: hook, Exercise: hook, Derive: hook, Guess: hook}
	for name, src := range texts {
		t.Run(name, func(t *testing.T) {
			l, _ := Parse("page.md", []byte(src))
			var whole bytes.Buffer
			if err := Render(&whole, l, hooks); err != nil {
				t.Fatal(err)
			}
			blocks := Blocks(l.Text.Content)
			pieces, err := RenderBlocks(l, hooks, blocks)
			if err != nil {
				t.Fatal(err)
			}
			if len(pieces) != len(blocks) || strings.Join(pieces, "") != whole.String() {
				t.Fatalf("%d pieces of %d blocks:\n%q\n%q", len(pieces), len(blocks), pieces, whole.String())
			}
			for i, b := range blocks {
				if want := "<cell " + b.Cell + ">"; b.Cell != "" && pieces[i] != want {
					t.Errorf("block %d is %q, want %q", i, pieces[i], want)
				}
				if b.Cell == "" && strings.Contains(pieces[i], "<cell ") {
					t.Errorf("block %d of kind %s is %q", i, b.Kind, pieces[i])
				}
			}
		})
	}
}
