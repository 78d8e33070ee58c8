package figure

import (
	"bytes"
	"fmt"
	"sync"
	"testing"
)

func TestCache(t *testing.T) {
	c := NewCache(64 << 10)
	var wg sync.WaitGroup
	for _, g := range galleryPictures {
		wg.Add(1)
		go func() {
			defer wg.Done()
			o := Options{ID: g.name}
			want, err := g.pic().SVG(o)
			if err != nil {
				t.Error(err)
				return
			}
			for range 3 {
				got, err := c.SVG(g.pic(), o)
				if err != nil || !bytes.Equal(got, want) {
					t.Errorf("%s: the kept figure differs (error %v)", g.name, err)
				}
			}
		}()
	}
	wg.Wait()
}

func TestCacheKeepsAndForgets(t *testing.T) {
	c := NewCache(20 << 10)
	first, err := c.SVG(step(0), Options{})
	if err != nil {
		t.Fatal(err)
	}
	again, _ := c.SVG(step(0), Options{})
	if &first[0] != &again[0] {
		t.Error("the same figure was drawn twice")
	}
	for i := range 50 {
		if _, err := c.SVG(step(i), Options{ID: fmt.Sprint("f", i)}); err != nil {
			t.Fatal(err)
		}
	}
	if c.bytes > c.max || len(c.kept) != c.order.Len() {
		t.Errorf("%d bytes kept of %d allowed; %d entries, %d in order", c.bytes, c.max, len(c.kept), c.order.Len())
	}
	if later, _ := c.SVG(step(0), Options{}); &first[0] == &later[0] {
		t.Error("an old figure was kept beyond the bound")
	}
}

// TestKeysDiffer changes one thing at a time.
func TestKeysDiffer(t *testing.T) {
	c := NewCache(1 << 20)
	seen := map[string]string{}
	for name, change := range map[string]func(*Plot){
		"nothing": func(*Plot) {}, "heading": func(p *Plot) { p.Heading = "other" },
		"unit": func(p *Plot) { p.Y.Unit = "rad" }, "label": func(p *Plot) { p.Curves[0].Label = "other" },
		"value": func(p *Plot) { p.Curves[0].Y[7] += 0.1 }, "points": func(p *Plot) { p.Curves[1].Points = true },
		"mark": func(p *Plot) { p.Marks = []Mark{{Low: 1, High: 2}} }, "range": func(p *Plot) { p.Y.Max = 9 },
	} {
		p := step(0)
		change(p)
		b, err := c.SVG(p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if other, ok := seen[string(b)]; ok {
			t.Errorf("%s and %s gave the same figure", name, other)
		}
		seen[string(b)] = name
	}
}
