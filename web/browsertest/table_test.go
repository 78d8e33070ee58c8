package browsertest

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/chromedp/chromedp"
)

const tablesText = "---\ntitle: Tables\norder: 1\nsummary: Two tables.\nminutes: 5\n---\n\nText before.\n\n" +
	"| section | $J$ | share |\n| --- | :---: | ---: |\n| round | $\\frac{\\pi}{32}d^4$ | 100 |\n\n" +
	"| diameter | torque | length | modulus | speed | power | remarks |\n| ---: | ---: | ---: | ---: | ---: | ---: | --- |\n| thirty-six | three-hundred | eight-hundred | seventy-nine | fourteen-fifty | forty-five | unbreakable-one |\n\n## The end\n\nDone.\n"

// TestTablesOfTheText wants a table of the text to stand in the column where it fits, and to
// scroll in a box of its own where it does not: the page is never wider than its window, the
// box can be reached with the keyboard and has a name, and says that there is more, but not
// on paper.
func TestTablesOfTheText(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, fstest.MapFS{"tables.md": {Data: []byte(tablesText)}})
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/tables")
	b.until("document.querySelectorAll('.scroll[data-fits]').length === 2")
	aligned := eval[string](b, "[...document.querySelectorAll('.scroll:first-of-type td')].slice(0, 3).map((c) => getComputedStyle(c).textAlign).join()")
	if aligned != "left,center,right" {
		t.Errorf("the columns stand %s", aligned)
	}
	for _, look := range []struct {
		name, scheme  string
		width, height int64
		fits          string
	}{{"light", "light", 1280, 900, "yes"}, {"dark", "dark", 1280, 900, "yes"}, {"narrow", "light", 360, 740, "no"}} {
		b.scheme(look.scheme)
		b.do(chromedp.EmulateViewport(look.width, look.height))
		b.until("[...document.querySelectorAll('.scroll')][1].dataset.fits === '" + look.fits + "'")
		if !b.isTrue("document.documentElement.scrollWidth <= innerWidth") {
			t.Errorf("%s: the page is wider than its window", look.name)
		}
		for _, found := range b.barriers() {
			t.Errorf("%s: %s", look.name, found)
		}
	}
	b.tabTo(".scroll[aria-label=\"Table: diameter, torque, length, modulus, speed, power, remarks\"]")
	if got := eval[string](b, "getComputedStyle([...document.querySelectorAll('.scroll')][1], '::after').content"); !strings.Contains(got, "wider than the page") {
		t.Errorf("the box says %s", got)
	}
	text := strings.Join(b.printed(papers[0].width, papers[0].height), "")
	if strings.Contains(text, "wider than the page") || !strings.Contains(text, "unbreakable-") {
		t.Errorf("on paper:\n%s", text)
	}

	b.do(chromedp.EmulateViewport(1280, 900))
	b.open(s.URL() + "lesson/tables/board")
	b.until("document.querySelectorAll('[data-ahead]').length > 0")
	steps := eval[int](b, "new Set([...document.querySelectorAll('.scroll')].map((e) => e.closest('[data-ahead]'))).size")
	if steps != 2 {
		t.Errorf("on the board the tables are %d steps", steps)
	}
	b.clean()
}
