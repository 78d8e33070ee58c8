package figuretest

import (
	"fmt"
	"strings"
	"testing"

	"shaftbook/kernel/figure"
)

// trace holds the trace of every kind of figure against
// its SVG: the same size, the same texts in the same order, nothing outside.
func trace(t *testing.T, cases []Case) {
	for _, g := range cases {
		t.Run(g.Name, func(t *testing.T) {
			o := figure.Options{ID: "f", Width: 480}
			trace, err := g.Picture().Trace(o)
			if err != nil {
				t.Fatal(err)
			}
			svg, err := g.Picture().SVG(o)
			if err != nil {
				t.Fatal(err)
			}
			if box := fmt.Sprintf(`viewBox="0 0 %g %g"`, trace.Width, trace.Height); !strings.Contains(string(svg), box) {
				t.Errorf("the SVG is not %s", box)
			}
			texts := textsOf(t, svg)
			lines := 0
			for _, m := range trace.Strokes {
				if m.Runs == nil {
					lines++
					checkInside(t, &m, trace)
					continue
				}
				text := ""
				for _, r := range m.Runs {
					text += r.Text
				}
				if len(texts) == 0 || texts[0] != text {
					t.Fatalf("the trace has the text %q where the SVG has %q", text, texts)
				}
				texts = texts[1:]
			}
			if len(texts) > 0 || lines == 0 {
				t.Errorf("%d lines and areas; texts left in the SVG: %q", lines, texts)
			}
		})
	}
}

// textsOf lists the text elements of an SVG without their marks.
func textsOf(t *testing.T, svg []byte) []string {
	t.Helper()
	var list []string
	for _, part := range strings.Split(string(svg), "<text ")[1:] {
		_, part, _ = strings.Cut(part, ">")
		part, _, _ = strings.Cut(part, "</text>")
		text := ""
		for part != "" {
			before, rest, _ := strings.Cut(part, "<")
			text += before
			_, part, _ = strings.Cut(rest, ">")
		}
		list = append(list, strings.NewReplacer("&lt;", "<", "&gt;", ">", "&quot;", `"`, "&amp;", "&").Replace(text))
	}
	return list
}

func checkInside(t *testing.T, m *figure.Stroke, of *figure.Trace) {
	t.Helper()
	for _, s := range m.Steps {
		if s.Kind != figure.ClosePath && !(s.X > -3 && s.X < of.Width+3 && s.Y > -3 && s.Y < of.Height+3) {
			t.Errorf("a line leads to %g, %g of %g, %g", s.X, s.Y, of.Width, of.Height)
		}
	}
	if !m.Fill && !(m.Width > 0) {
		t.Errorf("a line is %g wide", m.Width)
	}
}
