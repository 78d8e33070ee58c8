package exercises

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// TestReuse wants the same of a set of numbers whether the workings are made anew or kept
// from the numbers before, for every exercise of the lessons.
func TestReuse(t *testing.T) {
	ctx := context.Background()
	files, err := filepath.Glob("../lessons/text/*.md")
	if err != nil || len(files) == 0 {
		t.Fatal("there are no lessons", err)
	}
	draws := 12
	if testing.Short() {
		draws = 3
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, block := range strings.Split(string(text), "\n```exercise ")[1:] {
			name, body, _ := strings.Cut(block, "\n")
			body, _, _ = strings.Cut(body, "\n```")
			e, list := Parse(name, source.NewText(file, body+"\n"))
			if list.HasErrors() {
				t.Fatal(list[0].Render())
			}
			kept, draw := newReuse(), newDrawer(HeadlessKey, name, "reuse", 0)
			for range draws {
				structure, values := draw.choice(e)
				want := described(ctx, t, e, nil, structure, values)
				if got := described(ctx, t, e, kept, structure, values); got != want {
					t.Fatalf("%s, %s: with kept workings\n%s\nand anew\n%s", file, name, got, want)
				}
			}
		}
	}
}

// described writes down all that marking and proving take from a set of numbers.
func described(ctx context.Context, t *testing.T, e *Exercise, r *reuse, structure int, values []int) string {
	t.Helper()
	v, list, err := e.lay(ctx, r, structure, values)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, d := range list {
		fmt.Fprintln(&b, d.Render())
	}
	if v == nil {
		return b.String() + "not possible"
	}
	for i, g := range v.Given {
		value, text, ok := v.eval.GivenValue(i)
		fmt.Fprintln(&b, g.Name, g.Text, value.Number, text, ok)
	}
	for i, m := range v.markers {
		if k := m.Key; k != nil {
			fmt.Fprintln(&b, k.Value, k.Dim, k.Angle, k.Factor, k.Low, k.High, k.Bounded)
			for _, s := range k.Slips {
				fmt.Fprintln(&b, s.Slip.Name, s.Values)
			}
		}
		part := v.Structure.Parts[i]
		fmt.Fprintln(&b, part.Text, part.Hints, part.Options)
		if written := v.Structure.solutions[part.Name]; written != nil {
			results, list, err := v.followIn(ctx, r, part.Name, written)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range results {
				fmt.Fprintln(&b, r.Text)
			}
			fmt.Fprintln(&b, list)
		}
	}
	for _, x := range v.said {
		fmt.Fprintln(&b, x.Number, x.Dim)
	}
	return b.String()
}
