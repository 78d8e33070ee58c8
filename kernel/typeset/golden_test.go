package typeset

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// A golden is one file of testdata/golden: parts headed by "-- name --". The
// part input holds a cell whose kind is the file's prefix (calc, shaft,
// derive); values, if there, holds the displayed values of names; the other
// parts hold one line for each statement.
type golden struct {
	file  string
	parts map[string]string
}

var partOrder = []string{"input", "values", "mathml", "numbers", "tex", "spoken"}

func readGoldens(tb testing.TB) []golden {
	files, err := filepath.Glob("testdata/golden/*.txt")
	if err != nil || len(files) == 0 {
		tb.Fatalf("no golden files: %v", err)
	}
	var out []golden
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			tb.Fatal(err)
		}
		g := golden{file, map[string]string{}}
		name := ""
		for line := range strings.Lines(string(content)) {
			if head, ok := strings.CutPrefix(line, "-- "); ok {
				name = strings.TrimSuffix(head, " --\n")
				continue
			}
			g.parts[name] += line
		}
		out = append(out, g)
	}
	return out
}

func (g golden) nodes(tb testing.TB) []notation.Node { return g.read(tb, g.parts["input"]) }

// read parses a cell of the file's kind.
func (g golden) read(tb testing.TB, content string) []notation.Node {
	text := source.NewText("", content)
	var list source.List
	var out []notation.Node
	switch kind, _, _ := strings.Cut(filepath.Base(g.file), "-"); kind {
	case "shaft":
		cell, found := notation.ParseShaft(text)
		list = found
		for _, n := range cell.Lines {
			out = append(out, n)
		}
	case "derive":
		cell, found := notation.ParseDerivation(text)
		list = found
		for _, n := range cell.Lines {
			out = append(out, n)
		}
	default:
		cell, found := notation.ParseCell(text)
		list = found
		for _, n := range cell.Stmts {
			out = append(out, n)
		}
	}
	if list.HasErrors() && !strings.Contains(g.file, "unreadable") {
		tb.Fatalf("%s: %s", g.file, list[0].Render())
	}
	return out
}

func (g golden) lookup() Lookup {
	values := map[string]string{}
	for line := range strings.Lines(g.parts["values"]) {
		name, value, _ := strings.Cut(line, "=")
		values[strings.TrimSpace(name)] = strings.TrimSpace(value)
	}
	return func(ident string) (string, bool) {
		text, ok := values[ident]
		return text, ok
	}
}

func (g golden) got(tb testing.TB) map[string]string {
	var mathml, numbers, tex, spoken strings.Builder
	for _, n := range g.nodes(tb) {
		fmt.Fprintln(&mathml, MathML(n, Options{}))
		fmt.Fprintln(&tex, TeX(n))
		fmt.Fprintln(&spoken, Spoken(n))
		if g.parts["values"] != "" {
			with, changed := WithNumbers(n, g.lookup())
			if !changed {
				fmt.Fprintln(&numbers, "(no numbers)")
				continue
			}
			fmt.Fprintf(&numbers, "%s\n%s\n%s\n", MathML(with, Options{}), TeX(with), Spoken(with))
		}
	}
	return map[string]string{"input": g.parts["input"], "values": g.parts["values"], "mathml": mathml.String(),
		"numbers": numbers.String(), "tex": tex.String(), "spoken": spoken.String()}
}

func TestGolden(t *testing.T) {
	for _, g := range readGoldens(t) {
		t.Run(strings.TrimSuffix(filepath.Base(g.file), ".txt"), func(t *testing.T) {
			got := g.got(t)
			if *update {
				var b strings.Builder
				for _, name := range partOrder {
					if got[name] != "" {
						fmt.Fprintf(&b, "-- %s --\n%s", name, got[name])
					}
				}
				if err := os.WriteFile(g.file, []byte(b.String()), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			for _, name := range partOrder {
				if got[name] != g.parts[name] {
					t.Errorf("%s:\n got %s\nwant %s", name, got[name], g.parts[name])
				}
			}
			for name := range g.parts {
				if _, known := got[name]; !known {
					t.Errorf("unknown part %q", name)
				}
			}
		})
	}
}
