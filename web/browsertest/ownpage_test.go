package browsertest

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// begin takes a starting point and waits for its page.
func (b *tab) begin(start string) {
	b.t.Helper()
	b.do(chromedp.Click(chromedp.CSS("button[name=start][value=" + start + "]")))
	b.until("document.querySelector('[data-page] #own .palette')")
}

// untilSaved waits until the server has what the page shows.
func (b *tab) untilSaved() {
	b.t.Helper()
	b.until("document.querySelector('.js-saved').dataset.state === 'saved'")
}

// names are the learner's derivations in the order of the list.
const names = "[...document.querySelectorAll('section .own-pages a')].map((a) => a.textContent).join(', ')"

func (b *tab) untilNames(want string) {
	b.t.Helper()
	b.until("document.querySelector('.js-own-list') && " + names + " === '" + want + "'")
}

// A learner without an account: takes a starting point, finds the mistake, comes
// back another day, has several derivations, renames and deletes.
func TestLearnerKeepsDerivationsByName(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	s := serveKeeping(t, 0, folder)
	port := portOf(t, s.Server)
	b := newTab(t, 1280, 900)
	b.open(s.URL())
	b.do(chromedp.Click(chromedp.CSS("a[href='/derivation']")))
	b.untilNames("")

	// Every verdict is there, each with a sign and words of its own.
	b.begin("mistake")
	b.untilVerdicts("own", "- - agrees - follows fails* open")
	for _, verdict := range []string{"follows", "agrees", "fails", "open"} {
		if got := eval[int](b, "document.querySelectorAll('#own .row .step-"+verdict+" svg').length"); got != 1 {
			t.Errorf("%d signs of %q", got, verdict)
		}
	}
	for _, found := range b.barriers() {
		t.Error(found)
	}
	b.inText("own", "(d_0^4 + d_1^4)")
	b.press("(d_0 + d_1)^4")
	b.untilVerdicts("own", "- - agrees - follows follows open")
	b.inText("own", "d_0: length > 0, d_1: length > 0")
	b.press("d_1 > d_0 > 0 mm")
	b.untilVerdicts("own", "- - follows - follows follows open")
	b.untilSaved()

	// While the line is down typing goes on; the lid closes before it is back.
	s.end()
	b.inText("own", "L/d_m^4")
	b.press("L/d_m^4 for constant T, G")
	b.until("document.querySelector('.js-saved').dataset.state === 'device'")
	b.do(chromedp.Navigate("about:blank"))
	s = serveKeeping(t, port, folder)
	b.open(s.URL() + "derivation")
	b.untilNames("A derivation with a mistake")
	b.do(chromedp.Click(chromedp.CSS(".own-pages a")))
	b.untilVerdicts("own", "- - follows - follows follows follows")
	b.untilSaved()

	// A second one, with a bound that is proved; and the first has its name.
	b.do(chromedp.Click(chromedp.CSS(".own-state a")))
	b.untilNames("A derivation with a mistake")
	b.begin("bounds")
	b.until("document.querySelector('#own .js-summary [data-outcome=follows]')")
	if got := eval[string](b, "document.querySelector('#own .row[data-verdict=follows] .formula').textContent"); !strings.Contains(got, "≥") {
		t.Errorf("the first step that follows is %q", got)
	}
	b.do(chromedp.Click(chromedp.CSS(".own-rename summary")))
	eval[bool](b, "document.querySelector('#own-name').select() || true")
	b.press("Two bounds\r")
	b.until("document.querySelector('h1')?.textContent === 'Two bounds' && document.querySelector('#own .palette')")

	// Deleted, and back with one press.
	b.do(chromedp.Click(chromedp.CSS(".own-tools form[action$=delete] button")))
	b.untilNames("A derivation with a mistake")
	b.do(chromedp.Click(chromedp.CSS("#deleted-now button")))
	b.untilNames("Two bounds, A derivation with a mistake")
	for _, found := range b.barriers() {
		t.Error(found)
	}
	b.clean()

	// Another browser has none of it.
	c := newTab(t, 360, 740)
	c.scheme("dark")
	c.open(s.URL() + "derivation")
	c.untilNames("")
	if wide := eval[int](c, "document.documentElement.scrollWidth"); wide > 360 {
		t.Errorf("the page is %d px wide in a window of 360", wide)
	}
	c.clean()
}

// Two windows of one learner: what both change is as the later has it, and the text
// of the other can be brought back.
func TestTwoWindowsOfOneDerivation(t *testing.T) {
	t.Parallel()
	s := serveKeeping(t, 0, t.TempDir())
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "derivation")
	b.begin("uniform")
	path := eval[string](b, "location.pathname")
	ctx, cancel := chromedp.NewContext(b.ctx) // another window of the same browser
	t.Cleanup(cancel)
	c := &tab{t: t, ctx: ctx}
	c.open(strings.TrimSuffix(s.URL(), "/") + path)
	c.until("document.querySelector('[data-page] #own .palette')")

	// The gap is filled in here, and becomes part of the text.
	b.do(chromedp.Click(chromedp.CSS("#own-gap-1")))
	b.press("T·L/(G·J)\r")
	b.untilVerdicts("own", "- - - follows follows follows")
	b.untilSaved()
	c.inText("own", "= ?")
	c.press("= 2·T·L/(G·J)")
	c.until("document.querySelector('.js-saved').dataset.state === 'saved' && [...document.querySelectorAll('.offline')].some((p) => !p.hidden && p.textContent.includes('Earlier versions'))")

	b.open(strings.TrimSuffix(s.URL(), "/") + path)
	b.until("document.querySelector('[data-page] #own .palette')")
	b.untilVerdicts("own", "- - - follows fails* fails")
	eval[bool](b, "document.querySelectorAll('.own-versions, .own-versions details').forEach((d) => d.open = true) || true")
	b.do(chromedp.Click(chromedp.CSS(".own-versions button")))
	b.until("document.querySelector('.class-said') && document.querySelector('[data-page] #own .palette')")
	b.untilVerdicts("own", "- - - follows follows follows")
	for _, found := range b.barriers() {
		t.Error(found)
	}
	b.clean()
}
