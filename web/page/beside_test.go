package page

import (
	"context"
	"slices"
	"strings"
	"testing"

	"shaftbook/lessons"
)

const besideLesson = "---\ntitle: A spindle\norder: 1\nsummary: A spindle is cut.\nminutes: 5\n---\n\nHere $T$ is the torque.\n\n" +
	"## Given\n\n```calc\nT = 300 N·m # at the wheel\nL = 2 m\nd_0 = 40 mm\nq = 7\n```\n\n" +
	"## Cutting\n\nWith $\\Delta x$ and $d_0$:\n\n```calc\nvary n from 1 to 9 by 1 starting at 3\nΔx = L/n\n```\n\n" +
	"## Later\n\n```calc\nhalf = Δx/2\n```\n\n## Nothing\n\nOnly words.\n"

func TestBeside(t *testing.T) {
	l, list := lessons.Parse("spindle.md", []byte(besideLesson))
	if list.HasErrors() {
		t.Fatal(list)
	}
	w := l.NewWorking()
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	b := NewBeside(l, w, nil)
	for _, c := range []struct {
		name, heading string
		want, never   []string
	}{
		{"what the text names, before the first heading", "", []string{"Symbols", "at the wheel, <span", `data-value-of="calc-1-1">300 N·m<`}, []string{"js-hand"}},
		{"what stands in the section itself is not repeated", "given", nil, []string{"symbols"}},
		{"a slider of the section, with what it moves", "cutting", []string{"Slider and symbols", `js-hand" data-name="n"`, `data-value-of="calc-2-1">3<`, `data-value-of="calc-2-2"`, "diameter, "}, []string{">7<"}},
		{"a slider of another section on which a result depends", "later", []string{`js-hand" data-name="n"`, `data-value-of="calc-3-1"`, "length of a segment"}, nil},
		{"nothing to say", "nothing", nil, []string{"<"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := b.HTML(c.heading)
			for _, s := range c.want {
				if !strings.Contains(got, s) {
					t.Errorf("lacks %q:\n%s", s, got)
				}
			}
			for _, s := range c.never {
				if strings.Contains(got, s) {
					t.Errorf("has %q:\n%s", s, got)
				}
			}
		})
	}
}

func TestNamesInTeX(t *testing.T) {
	for tex, want := range map[string][]string{
		`\theta_n = \sum_{i=1}^n \frac{T\,\Delta x}{G}`: {"θ_n", "i", "n", "T", "Δx", "G"},
		`d_{0} < d_1`:             {"d_0", "d_1"},
		`\theta_{\mathrm{stiff}}`: {"θ_stiff"},
		`\mathrm{d}x`:             {"d", "x"},
		`\le \ge \left( \right)`:  nil,
	} {
		if got := namesInTeX(tex); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", tex, got, want)
		}
	}
}
