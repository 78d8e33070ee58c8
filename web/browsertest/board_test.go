package browsertest

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"shaftbook/lessons/text"
	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

// calm makes the device ask for little motion, so that a step is there at once.
func (b *tab) calm() {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}},
	}); err != nil {
		b.t.Fatal(err)
	}
}

// board opens the board view of a lesson and waits until it is alive: until then what is
// right of a guess is folded, and what stands below it moves.
func (b *tab) board(url string) {
	b.t.Helper()
	b.open(url)
	b.until("document.querySelector('.js-board[data-ready]') && document.fonts.status === 'loaded' && !document.querySelector('.js-slider input:disabled') && !document.querySelector('.js-truth > details:not([open])')")
}

// serveBuiltIn serves the built-in lessons with their exercises.
func serveBuiltIn(t *testing.T) *web.Server {
	t.Helper()
	shelf := shelfOf(t, text.Files)
	store := storeIn(t, t.TempDir())
	desk, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	s := &web.Server{Catalog: shelf, Attempts: desk}
	open(t, s, 0)
	return s
}

// walkSteps goes from the first step to the last and says of each what is
// wrong with it: it must begin at 40 % of the height, or as much higher as it
// needs to lie above the bar. Only a table or a drawing may be taller than the
// window; then it begins in it, and Next leads to its end before it leads to the
// next step. Lettering must have 0.75 of the size of the text.
const walkSteps = `(async () => {
	const frame = () => new Promise((r) => requestAnimationFrame(() => setTimeout(r))); // with what follows from its sizes
	const bar = document.querySelector(".js-board-bar"), next = document.querySelector(".js-next"), count = document.querySelector(".js-count");
	const type = parseFloat(getComputedStyle(document.documentElement).fontSize);
	const wrong = [], low = innerHeight - bar.offsetHeight;
	for (let seen = ""; seen !== count.textContent;) {
		seen = count.textContent;
		const newest = [...document.querySelectorAll("[data-newest]")];
		const top = () => newest[0].getBoundingClientRect().top, bottom = () => newest.at(-1).getBoundingClientRect().bottom;
		const say = (words) => wrong.push(seen + ": " + (newest.at(-1).id || newest.at(-1).textContent.slice(0, 40)) + " " + words);
		if (top() < -1 || top() > low) say("begins at " + Math.round(top()) + " of " + low);
		else if (bottom() > low + 1 && (top() > 40 || !newest.at(-1).querySelector("table, .picture"))) say("ends at " + Math.round(bottom()) + " of " + low);
		else if (scrollY > 0 && top() > 0.4 * innerHeight + 2) say("begins at " + Math.round(top()) + " of " + innerHeight);
		else if (scrollY > 0 && top() < 0.4 * innerHeight - 2 && bottom() < low - 20) say("stands from " + Math.round(top()) + " to " + Math.round(bottom()) + " of " + innerHeight);
		for (const svg of newest.flatMap((e) => [...e.querySelectorAll(".picture svg")])) {
			if (!svg.checkVisibility()) continue;
			const box = svg.viewBox.baseVal, r = svg.getBoundingClientRect();
			const size = svg.getAttribute("font-size") * Math.min(r.width / box.width, r.height / box.height);
			if (size < 0.75 * type - 0.25) say("has lettering of " + size.toFixed(1) + " px beside text of " + type);
		}
		for (const f of newest.flatMap((e) => [...e.querySelectorAll(".formula, math[display=block]"), e])) {
			if (f.scrollWidth > f.clientWidth + 1 && f.clientWidth > 0) say("is cut at the right: " + f.scrollWidth + " of " + f.clientWidth);
		}
		for (let more = 0; seen === count.textContent && more < 6; more++) {
			const last = bottom();
			next.click();
			await frame();
			if (seen === count.textContent && bottom() === last) break; // the end
			if (seen !== count.textContent && last > low + 1) say("goes on before its end was seen");
		}
	}
	if (next.getAttribute("aria-disabled") !== "true") wrong.push("the walk ends at " + count.textContent);
	return wrong;
})()`

// TestBoardStepsFitTheWindow walks through all lessons as a small and as a large
// projector show them.
func TestBoardStepsFitTheWindow(t *testing.T) {
	t.Parallel()
	s := serveBuiltIn(t)
	for _, l := range s.Catalog.Lessons {
		t.Run(l.Slug, func(t *testing.T) {
			t.Parallel()
			b := newTab(t, 1024, 768)
			b.calm()
			for _, window := range [][2]int64{{1024, 768}, {1920, 1080}} {
				b.do(chromedp.EmulateViewport(window[0], window[1]))
				b.board(s.URL() + "lesson/" + l.Slug + "/board")
				for _, wrong := range eval[[]string](b, walkSteps) {
					t.Errorf("at %d × %d: %s", window[0], window[1], wrong)
				}
			}
			b.clean()
		})
	}
}

// TestBoardOpensAtItsStep opens boards in the middle, where what is above
// takes its size only once the bar and the letters have theirs.
func TestBoardOpensAtItsStep(t *testing.T) {
	t.Parallel()
	s := serveBuiltIn(t)
	b := newTab(t, 1280, 800)
	for _, c := range []struct{ name, path string }{
		{"a step", "units-that-cannot-lie/board#step-20"},
		{"a row", "stepped-shaft/board#calc-6-1"},
		{"a heading", "taper-in-segments/board#slips-to-know-by-their-size"},
		{"a step after the last", "uniform-shaft/board#step-9999"},
		{"no address", "uniform-shaft/board#%"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b.open(s.URL() + "lesson/" + c.path)
			b.until("document.querySelector('[data-newest]') && document.fonts.status === 'loaded' && document.readyState === 'complete'")
			b.until(`(() => {
				const boxes = [...document.querySelectorAll("[data-newest]")].map((e) => e.getBoundingClientRect());
				return boxes[0].top >= 0 && boxes.at(-1).bottom <= document.querySelector(".js-board-bar").getBoundingClientRect().top;
			})()`)
		})
	}
	b.clean()
}

// TestBoardGoesByTheKeyboard gives a talk with keys alone: steps, a slider, a
// field, the pointer, and what is changed is gone afterwards.
func TestBoardGoesByTheKeyboard(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1024, 768)
	b.calm()
	b.board(s.URL() + "lesson/quill/board")
	at := func(n int) {
		b.t.Helper()
		b.until(fmt.Sprintf("document.querySelector('.js-count').textContent.startsWith('step %d of ')", n))
	}
	at(1)
	for range 3 {
		b.press(" ")
	}
	at(4)
	b.press(kb.ArrowLeft)
	b.press(kb.PageDown)
	b.press(kb.ArrowRight)
	at(5)
	b.press("a")
	b.until("document.querySelector('.js-all').getAttribute('aria-pressed') === 'true' && !document.querySelector('[data-ahead]')")
	b.press("a")
	at(5)
	b.do(chromedp.Reload())
	at(5)
	b.until("location.hash === '#step-5'")
	if eval[bool](b, "document.querySelector('#calc-2-1').checkVisibility({visibilityProperty: true})") {
		t.Error("a step that is ahead is seen")
	}

	// Up to the slider; Tab leads to it from the newest step. Its arrows and
	// Space are its own until Escape.
	b.open(s.URL() + "lesson/quill/board#calc-2-1")
	b.until("document.querySelector('#calc-2-1[data-newest]') && !document.querySelector('#calc-2-1 input').disabled")
	b.press(kb.ArrowLeft)
	b.press(kb.ArrowRight)
	b.until("document.activeElement.matches('[data-newest]')")
	words := eval[string](b, "document.querySelector('.js-count').textContent")
	b.press(kb.Tab)
	b.until("document.activeElement.matches('#calc-2-1 input[type=range]')")
	for range 4 {
		b.press(kb.ArrowRight)
	}
	b.press(" ")
	if got := eval[string](b, "document.querySelector('.js-count').textContent"); got != words {
		t.Errorf("with the focus on a slider the keys led from %q to %q", words, got)
	}
	// 8 segments at mid-length, as in TestReaderWorksThroughALesson: mpmath 1.3.
	b.until("document.querySelector('#calc-2-3 .result').textContent.replace(/\\s/g, ' ') === '0.6916°'")
	b.press(kb.Escape)
	b.press(kb.End)
	b.until("document.querySelector('.js-next').getAttribute('aria-disabled') === 'true' && !document.querySelector('main [data-ahead]')")
	b.press(kb.Home)
	at(1)

	b.press("p")
	b.until("!document.querySelector('.board-pointer').hidden")
	before := eval[string](b, "document.querySelector('.board-pointer').style.transform")
	b.shiftKey("ArrowRight", 39)
	b.until("document.querySelector('.board-pointer').style.transform !== '" + before + "'")
	at(1)
	b.press("p")
	b.until("document.querySelector('.board-pointer').hidden")

	// The lesson is as it was.
	b.open(s.URL() + "lesson/quill")
	b.live()
	if got := b.result("calc-2-3"); got != "0.6867°" {
		t.Errorf("after the board the lesson shows θ as %q, want 0.6867° as it stands", got)
	}
	b.clean()
}

// TestBoardFollowsItsText changes a cell in front of the room: what is added to
// a cell that is all shown is shown, and one press restores the lesson.
func TestBoardFollowsItsText(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1024, 768)
	b.calm()
	b.board(s.URL() + "lesson/quill/board#calc-3-3")
	b.until("document.querySelector('#calc-3-3[data-newest]')")
	b.text("calc-3")
	b.press("\nmine = 2·θ in deg")
	b.until("document.querySelector('#calc-3-4[data-newest] .result')?.textContent.includes('1.373')")
	if eval[bool](b, "document.querySelector('#calc-3-4').hasAttribute('data-ahead')") {
		t.Error("the row that was added is hidden")
	}
	if got := eval[string](b, "document.activeElement.tagName"); got != "TEXTAREA" {
		t.Errorf("typing lost the focus to %s", got)
	}
	eval[bool](b, "document.querySelector('.board-bar .js-restore-all').click(), true")
	b.until("!document.querySelector('#calc-3-4') && document.querySelector('#calc-3-3[data-newest]')")

	// A link within the lesson shows up to its place; the way back leads there.
	eval[bool](b, "location.hash = '#calc-1', true")
	b.until("location.hash.startsWith('#step-')")
	if got := eval[string](b, "document.querySelector('.js-leave').getAttribute('href')"); got != "/lesson/quill#calc-3-3" {
		t.Errorf("leaving leads to %s", got)
	}
	b.clean()
}

// TestBoardPrintsWhole prints from the first step: all steps are on paper.
func TestBoardPrintsWhole(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1024, 768)
	b.board(s.URL() + "lesson/quill/board")
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
		t.Fatal(err)
	}
	if !eval[bool](b, "[...document.querySelectorAll('.board .row')].every((e) => e.checkVisibility({visibilityProperty: true})) && !document.querySelector('.board-bar').checkVisibility()") {
		t.Error("on paper a step is missing, or the bar is there")
	}
}

// shiftKey presses a key with Shift.
func (b *tab) shiftKey(key string, code int64) {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, input.DispatchKeyEvent, input.DispatchKeyEventParams{
		Type: input.DispatchKeyEventTypeRawKeyDown, Key: key, Code: key, WindowsVirtualKeyCode: code, Modifiers: shift,
	}); err != nil {
		b.t.Fatal(err)
	}
}
