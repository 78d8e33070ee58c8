package browsertest

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"shaftbook/lessons"
	"shaftbook/web"
)

// openLoad opens the gallery at its first load slider.
func openLoad(t *testing.T, width int64, motion string) *tab {
	t.Helper()
	s := &web.Server{Catalog: &lessons.Catalog{}, Gallery: true}
	open(t, s, 0)
	b := newTab(t, width, 800)
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: motion}},
	}); err != nil {
		t.Fatal(err)
	}
	b.open(s.URL() + "figures")
	b.until(line + ".length > 0")
	return b
}

// line is the path of the line that was straight before the twist, in the
// drawing that is shown.
const line = `[...document.querySelectorAll("#calc-6-3 .fig-moving")].find((g) => g.checkVisibility()).querySelector("path").getAttribute("d")`

// A share of the load is taken away with the keyboard: the line straightens
// and comes back, on a wide page and on a narrow one.
func TestLoadIsTakenAwayByTheKeyboard(t *testing.T) {
	t.Parallel()
	for _, width := range []int64{1280, 360} {
		b := openLoad(t, width, "reduce")
		eval[bool](b, "(full = "+line+", true)")
		eval[bool](b, "document.getElementById('calc-6-3-load').focus() || true")
		b.press(kb.ArrowLeft)
		b.until("document.activeElement.getAttribute('aria-valuetext') === '95 % of the load'")
		b.until(line + " !== full")
		b.press(kb.Home)
		b.until(`document.activeElement.value === "0" && !/[1-9]\d*(\.\d+)?[Ll].*[Ll]/.test(` + line + ")")
		b.press(kb.End)
		b.until(line + " === full")
		if eval[bool](b, "document.querySelector('#calc-6-3 .js-play').checkVisibility()") {
			t.Error("a reader who wants little motion is offered some")
		}
		b.clean()
	}
}

// The load goes on by itself when asked to, and stops by itself; a drawing that
// follows another slider is under the full load again.
func TestLoadGoesOnByItselfAndStops(t *testing.T) {
	t.Parallel()
	b := openLoad(t, 1280, "no-preference")
	// What is seen on the way is noted by the page, which misses nothing.
	eval[bool](b, `(full = `+line+`, play = document.querySelector("#calc-6-3 .js-play"), offer = play.textContent, seen = new Set(),
		new MutationObserver(() => { if (play.textContent !== offer) seen.add(`+line+`); })
			.observe(play.closest("figure"), {attributes: true, childList: true, subtree: true}),
		play.click(), true)`)
	b.until("seen.size > 2 && play.textContent === offer")
	b.until(line + " === full && document.getElementById('calc-6-3-load').value === '100'")

	eval[bool](b, "document.getElementById('calc-6-3-load').focus() || true")
	b.press(kb.Home)
	b.until(line + " !== full")
	eval[bool](b, `(slider = document.querySelector("#calc-1 input[type=range]"), slider.value = "70", slider.dispatchEvent(new Event("input", {bubbles: true})), true)`)
	b.until("document.getElementById('calc-6-3-load').value === '100' && " + line + " !== full")
	b.clean()
}
