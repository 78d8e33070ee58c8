package page

import (
	"strings"
	"testing"
)

func TestNeedsMap(t *testing.T) {
	one := Entry{Slug: "one", Title: "Bars & tubes", Number: 1}
	two := Entry{Slug: "two", Title: "Steps", Number: 2, Needs: []Entry{one}}
	three := Entry{Slug: "three", Title: "Tapers", Number: 3, Needs: []Entry{one}}
	if got := NeedsMap([]Entry{one, {Slug: "two", Number: 2}}); got != "" {
		t.Errorf("a map where nothing is needed: %s", got)
	}
	fresh := string(NeedsMap([]Entry{one, two, three}))
	one.IsDone, two.IsBegun = true, true
	known := string(NeedsMap([]Entry{one, two, three}))
	for _, c := range []struct {
		name, text, want string
		count            int
	}{
		{"arcs", fresh, "Q", 2},
		{"links with their titles", fresh, `<a href="/lesson/one" aria-label="1 Bars &amp; tubes"><title>1 Bars &amp; tubes</title>`, 1},
		{"no word of done", fresh, "done", 0},
		{"done", known, `aria-label="1 Bars &amp; tubes, done"`, 1},
		{"one dot is filled", known, `class="done"`, 1},
		{"begun", known, `aria-label="2 Steps, begun"`, 1},
		{"one dot is half filled", known, "a6 6 0 0 0 0 12z", 1},
		{"the legend", known, "A filled dot: done; half filled: begun.", 1},
	} {
		if got := strings.Count(c.text, c.want); got != c.count {
			t.Errorf("%s: %q stands there %d times, want %d:\n%s", c.name, c.want, got, c.count, c.text)
		}
	}
}
