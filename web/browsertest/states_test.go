package browsertest

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"

	"shaftbook/lessons"
	"shaftbook/web"
)

// openStates opens the gallery of states.
func openStates(t *testing.T, scheme string, width int64) *tab {
	t.Helper()
	s := &web.Server{Catalog: &lessons.Catalog{}, Gallery: true}
	open(t, s, 0)
	b := newTab(t, width, 900)
	b.scheme(scheme)
	b.open(s.URL() + "figures/states")
	b.until("document.documentElement.dataset.states && document.fonts.status === 'loaded'")
	return b
}

// Each part is shown in each of its states, in light and dark, wide and narrow: a picture
// is taken of it, no two states of a part look the same, nothing scrolls sideways, and
// axe finds nothing.
func TestStatesOfParts(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, scheme string
		width        int64
	}{{"light", "light", 1280}, {"dark", "dark", 1280}, {"narrow", "light", 360}, {"narrow and dark", "dark", 360}} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			b := openStates(t, c.scheme, c.width)
			if wide := eval[float64](b, "document.documentElement.scrollWidth"); wide > float64(c.width) {
				t.Errorf("the page is %g wide", wide)
			}
			names := eval[[]string](b, "[...document.querySelectorAll('.states > h3')].map((h, i) => { h.nextElementSibling.id = 'state-' + i; return h.textContent; })")
			if len(names) < 20 {
				t.Errorf("only the states %q", names)
			}
			for _, state := range []string{"is-hover", "is-within"} {
				if got := eval[string](b, "getComputedStyle(document.querySelector('.states .cell."+state+" > .cell-actions > :last-child')).opacity"); got != "1" {
					t.Errorf("the actions of a cell in state %s have the opacity %s", state, got)
				}
			}
			var pictures [][]byte
			for i, name := range names {
				picture, err := chromedp.Run(b.ctx, chromedp.Screenshot(chromedp.CSS(fmt.Sprintf("#state-%d", i))))
				if err != nil {
					t.Fatal(err)
				}
				for j, other := range pictures {
					if bytes.Equal(picture, other) {
						t.Errorf("%q looks like %q", name, names[j])
					}
				}
				pictures = append(pictures, picture)
			}
			for _, found := range b.barriers() {
				t.Error(found)
			}
		})
	}
}
