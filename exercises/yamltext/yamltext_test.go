package yamltext

import (
	"errors"
	"testing"

	"go.yaml.in/yaml/v3"

	"shaftbook/kernel/source"
)

// The piece starts below a line of its own, so that every place is off by it.
const before = "a line above θ\n"

func TestPlaces(t *testing.T) {
	const piece = "θ: 1 mm\n'two': \"of two\"\nlist: [3, {four: 5}]\nblock: |\n  6\n"
	text := source.NewText("t", before+piece+"after")
	r := New(text, len(before), len(before)+len(piece))
	root, err := r.Root()
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	var walk func(n *yaml.Node)
	walk = func(n *yaml.Node) {
		got = append(got, r.Span(n).Content())
		for _, c := range n.Content {
			walk(c)
		}
	}
	walk(root)
	want := []string{"θ: 1 mm", "θ", "1 mm", "'two'", `"of two"`, "list", "[3, {four: 5}]", "3", "{four: 5}]", "four", "5", "block", "|"}
	if len(got) != len(want) {
		t.Fatalf("%q, want %q", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("node %d is at %q, want %q", i, got[i], want[i])
		}
	}
}

func TestErrors(t *testing.T) {
	for _, c := range []struct {
		name, piece, at string
		more            bool
	}{
		{"syntax", "a: 1\nb: [\nc: 2\n", "", false},
		{"two documents", "a: 1\n---\nb: 2\n", "---", true},
		{"a tab", "a:\n\tb: 1\n", "\tb: 1", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := source.NewText("t", before+c.piece)
			_, err := New(text, len(before), len(text.Content)).Root()
			var located *Error
			if !errors.As(err, &located) {
				t.Fatalf("error %v", err)
			}
			if located.Span.Start < len(before) {
				t.Errorf("it points at %q, above the piece", located.Span.Content())
			}
			if c.at != "" && located.Span.Content() != c.at {
				t.Errorf("it points at %q, want %q", located.Span.Content(), c.at)
			}
			if errors.Is(err, ErrMore) != c.more {
				t.Errorf("error %v", err)
			}
		})
	}
}

func TestEmpty(t *testing.T) {
	text := source.NewText("t", before)
	if root, err := New(text, len(before), len(before)).Root(); root != nil || err != nil {
		t.Errorf("%v, %v", root, err)
	}
}
