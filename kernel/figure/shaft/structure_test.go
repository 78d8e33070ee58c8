package shaft

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
	"shaftbook/kernel/figure/figuretest"
)

// TestNoTextOnText checks every text of the shaft drawings against every other.
func TestNoTextOnText(t *testing.T) {
	for _, g := range pictures {
		s, ok := g.Picture().(*Drawing)
		if !ok {
			continue
		}
		for _, w := range figuretest.Widths {
			t.Run(g.Name+" "+strconv.Itoa(int(w)), func(t *testing.T) {
				for _, o := range overlaps(s, w) {
					t.Error(o)
				}
			})
		}
	}
}

// overlaps draws a shaft and returns the texts that touch each other or leave
// the figure.
func overlaps(s *Drawing, width float64) []string {
	return overlapsOn(s.plan(figure.Options{Width: width}))
}

func overlapsOn(l *shaftPlan) []string {
	p := canvas.NewPen(canvas.NewSVG(nil, l.height), l.height)
	l.draw(p)
	var out []string
	for i, a := range p.TextBoxes {
		if a.X0 < 0 || a.X1 > l.width || a.Y0 < 0 || a.Y1 > l.height {
			out = append(out, fmt.Sprintf("%q leaves the figure", a.Text))
		}
		for _, b := range p.TextBoxes[:i] {
			if a.X0 < b.X1 && b.X0 < a.X1 && a.Y0+1 < b.Y1 && b.Y0+1 < a.Y1 {
				out = append(out, fmt.Sprintf("%q and %q overlap", a.Text, b.Text))
			}
		}
	}
	return out
}

// TestTwoDecimals keeps the figures small.
func TestTwoDecimals(t *testing.T) {
	svg, err := twisted().SVG(figure.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if i := bytes.Index(svg, []byte(" d=\"")); i < 0 {
		t.Fatal("no path")
	}
	for _, part := range strings.Split(string(svg), " d=\"")[1:] {
		data, _, _ := strings.Cut(part, "\"")
		for _, n := range strings.FieldsFunc(data, func(r rune) bool { return !strings.ContainsRune("0123456789.", r) }) {
			if _, decimals, _ := strings.Cut(n, "."); len(decimals) > 2 {
				t.Fatalf("coordinate %s has more than two decimals", n)
			}
		}
	}
	if len(svg) > 24<<10 {
		t.Errorf("the richest drawing has %d bytes", len(svg))
	}
}
