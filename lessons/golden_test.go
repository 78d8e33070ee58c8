package lessons

import (
	"bytes"
	"flag"
	"fmt"
	"html"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"

	"shaftbook/lessons/markdown"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// goldenParts are the parts of a golden file, each headed by "-- name --":
// the lesson, its tree, its page and what is wrong with it.
var goldenParts = []string{"input", "dump", "html", "errors"}

func readGolden(tb testing.TB, file string) map[string]string {
	content, err := os.ReadFile(file)
	if err != nil {
		tb.Fatal(err)
	}
	parts := map[string]string{}
	name := ""
	for line := range strings.Lines(string(content)) {
		if head, ok := strings.CutSuffix(line, " --\n"); ok && strings.HasPrefix(head, "-- ") {
			name = head[3:]
			continue
		}
		parts[name] += line
	}
	return parts
}

// dump writes the tree, one node a line, with the line and column of its place
// in the file.
func dump(l *Lesson) string {
	var b strings.Builder
	depth := 0
	_ = ast.Walk(l.doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			depth--
			return ast.WalkContinue, nil
		}
		if n.Pos() >= 0 {
			before := l.Text.Content[:n.Pos()]
			fmt.Fprintf(&b, "%d:%d ", 1+strings.Count(before, "\n"), len([]rune(before[strings.LastIndexByte(before, '\n')+1:]))+1)
		}
		fmt.Fprintf(&b, "%s%s%s\n", strings.Repeat("  ", depth), n.Kind(), detail(n, l))
		depth++
		return ast.WalkContinue, nil
	})
	return b.String()
}

func detail(n ast.Node, l *Lesson) string {
	switch n := n.(type) {
	case *ast.Text:
		return fmt.Sprintf(" %q", n.Segment.Value([]byte(l.Text.Content)))
	case *markdown.Cell:
		return fmt.Sprintf(" %s from line %d: %q", n.ID, n.Source.FirstLine, n.Source.Content)
	case *markdown.Math:
		return fmt.Sprintf(" %q", n.TeX)
	case *markdown.MathBlock:
		return fmt.Sprintf(" %q", n.TeX)
	case *ast.Heading:
		id, _ := n.AttributeString("id")
		return fmt.Sprintf(" %d #%s", n.Level, id)
	case *ast.Link:
		return fmt.Sprintf(" %q", n.Destination)
	}
	return ""
}

// plainHooks write each cell as its text.
func plainHooks() Hooks {
	hook := func(w io.Writer, c Cell) error {
		_, err := fmt.Fprintf(w, "<pre id=%q>%s</pre>\n", c.ID, html.EscapeString(c.Text.Content))
		return err
	}
	return Hooks{Calc: hook, Shaft: hook, Exercise: hook, Derive: hook}
}

func TestGolden(t *testing.T) {
	files, err := filepath.Glob("testdata/golden/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no golden files: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			want := readGolden(t, file)
			lesson, list := Parse("golden.md", []byte(want["input"]))
			var page bytes.Buffer
			if err := Render(&page, lesson, plainHooks()); err != nil {
				t.Fatal(err)
			}
			got := map[string]string{"input": want["input"], "dump": dump(lesson), "html": page.String()}
			for _, d := range list {
				got["errors"] += string(d.Code) + "\n" + d.Render()
			}
			if *update {
				var b strings.Builder
				for _, name := range goldenParts {
					if got[name] != "" {
						fmt.Fprintf(&b, "-- %s --\n%s", name, got[name])
					}
				}
				if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			for _, name := range goldenParts {
				if got[name] != want[name] {
					t.Errorf("%s:\n got %s\nwant %s", name, got[name], want[name])
				}
			}
			for name := range want {
				if _, known := got[name]; !known {
					t.Errorf("unknown part %q", name)
				}
			}
		})
	}
}
