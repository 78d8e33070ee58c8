package plot

import (
	"testing"

	"shaftbook/kernel/figure"
)

// TestKeysDiffer changes one thing at a time.
func TestKeysDiffer(t *testing.T) {
	c := figure.NewCache(1 << 20)
	seen := map[string]string{}
	for name, change := range map[string]func(*Plot){
		"nothing": func(*Plot) {}, "heading": func(p *Plot) { p.Heading = "other" },
		"unit": func(p *Plot) { p.Y.Unit = "rad" }, "label": func(p *Plot) { p.Curves[0].Label = "other" },
		"value": func(p *Plot) { p.Curves[0].Y[7] += 0.1 }, "points": func(p *Plot) { p.Curves[1].Points = true },
		"mark": func(p *Plot) { p.Marks = []Mark{{Low: 1, High: 2}} }, "range": func(p *Plot) { p.Y.Max = 9 },
	} {
		p := step(0)
		change(p)
		b, err := c.SVG(p, figure.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if other, ok := seen[string(b)]; ok {
			t.Errorf("%s and %s gave the same figure", name, other)
		}
		seen[string(b)] = name
	}
}
