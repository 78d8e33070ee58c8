package browsertest

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"shaftbook/lessons/text"
)

// result is the text of a row's result; nbsp and thin spaces become spaces.
func (b *tab) result(row string) string {
	b.t.Helper()
	return strings.Join(strings.Fields(eval[string](b, "document.querySelector('#"+row+" .result').textContent")), " ")
}

// text puts the caret at the end of a cell's text, opening it.
func (b *tab) text(cell string) {
	b.t.Helper()
	b.until("document.querySelector('#calc-2-1 input[type=range]')?.disabled === false") // the scripts have attached
	eval[bool](b, "document.querySelector('#"+cell+" .js-text').open = true")
	b.until("document.activeElement === document.querySelector('#" + cell + " textarea')")
	eval[bool](b, "document.activeElement.setSelectionRange(1e9, 1e9) || true")
}

func TestReaderWorksThroughALesson(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL())
	b.do(chromedp.Click(chromedp.CSS(".shelf a")))
	b.until("document.querySelector('#calc-2-3 .result')")

	// The twist of 4 mid-length segments and its uniform bounds, from the
	// formula θ = Σ TΔx/(GJ) by an independent computation at 50 digits
	// (slice theory, mpmath 1.3).
	if got := b.result("calc-2-3"); got != "0.6867°" {
		t.Fatalf("the server shows θ as %q, want 0.6867°", got)
	}

	// Up to here the reader has done nothing that may move what is read.
	b.until("!document.querySelector('#calc-2-1 input[type=range]').disabled && document.fonts.status === 'loaded'")
	if shift := eval[float64](b, "shift"); shift > 0.1 {
		t.Errorf("the layout shifted by %.3f, more than the 0.1 that counts as good", shift)
	}

	// A slider, with the keyboard: result and numbers follow, the figure that
	// does not depend on it stays, and the result is spoken.
	eval[bool](b, "document.querySelector('#calc-2-1 input[type=range]').focus() || true")
	for range 12 {
		b.press(kb.ArrowRight)
	}
	b.until("document.querySelector('#calc-2-1 input[type=number]').value === '16'")
	b.until("document.querySelector('#calc-2-3 .result').textContent.replace(/\\s/g, ' ') === '0.6929°'")
	if got := eval[string](b, "document.querySelector('#calc-2-1 input[type=range]').getAttribute('aria-valuetext')"); got != "16" {
		t.Errorf("the slider says %q, want 16", got)
	}
	b.until("document.querySelector('[role=status]').textContent.includes('θ is')")

	// A formula, by typing: the figure follows.
	eval[bool](b, "Boolean(window.before = document.querySelector('#calc-2-4 svg').outerHTML)")
	b.do(chromedp.Click(chromedp.CSS("#calc-1-5 .formula")))
	b.until("document.activeElement.tagName === 'TEXTAREA'")
	if got := eval[string](b, "document.activeElement.value.slice(0, document.activeElement.selectionStart).split('\\n').at(-1)"); got != "d_1 = 54 mm" {
		t.Errorf("pressing a formula puts the caret after %q, want after its own line", got)
	}
	for range 5 {
		b.press(kb.Backspace)
	}
	b.press("72 mm")
	b.until("window.before !== (document.querySelector('#calc-2-4 svg')?.outerHTML ?? window.before)")

	// A broken formula: the message is at its place, under the exact text.
	b.press(kb.End)
	b.press(" + 1 N")
	b.until("document.querySelector('#calc-1 .message')")
	b.until("document.querySelector('#calc-1 .under .bad')")
	if got := eval[string](b, "document.querySelector('#calc-1 .under .bad').textContent"); got == "" || strings.Contains(got, "\n") {
		t.Errorf("the mark in the text covers %q, want a piece of one line", got)
	}
	if got := eval[string](b, "document.querySelector('#calc-1 textarea').getAttribute('aria-invalid')"); got != "true" {
		t.Errorf("aria-invalid is %q while the text is wrong", got)
	}

	// Escape closes and keeps the text; the lesson's text is one press away,
	// and that press can be taken back.
	// The first Escape closes the list of units that "1 N" has opened.
	b.press(kb.Escape)
	b.until("document.querySelector('#calc-1 .choices').hidden")
	b.press(kb.Escape)
	b.until("!document.querySelector('#calc-1 .js-text').open")
	b.do(chromedp.Click(chromedp.CSS("#calc-1 .js-restore")))
	b.until("!document.querySelector('#calc-1 .message')")
	if got := b.result("calc-2-3"); got == "" {
		t.Error("there is no result after restoring")
	}
	b.do(chromedp.Click(chromedp.CSS("#calc-1 .js-restore")))
	b.until("document.querySelector('#calc-1 .message')")
	b.clean()
}

func TestServerGoesAwayAndComesBack(t *testing.T) {
	t.Parallel()
	first := serve(t, 0)
	port := portOf(t, first)
	b := newTab(t, 1280, 900)
	b.open(first.URL() + "lesson/quill")
	b.text("calc-3")
	b.press("\nmine = 2·θ in deg")
	b.until("document.querySelector('#calc-3-4 .result')?.textContent.includes('1.373')")

	stop(first)
	b.until("!document.querySelector('.js-offline').hidden")
	b.press("\nother = 3·θ in deg")

	serve(t, port)
	b.until("document.querySelector('.js-offline').hidden")
	b.until("document.querySelector('#calc-3-5 .result')?.textContent.includes('2.06')")

	// The page loaded again shows the same text and results.
	b.do(chromedp.Reload())
	b.until("document.querySelector('#calc-3-5 .result')?.textContent.includes('2.06')")
	if got := eval[string](b, "document.querySelector('#calc-3 textarea').value"); !strings.HasSuffix(got, "other = 3·θ in deg") {
		t.Errorf("after loading again the text ends with %q", got[max(0, len(got)-40):])
	}
	b.clean()
}

func TestTypingIsHelped(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1000, 800)
	b.open(s.URL() + "lesson/quill")
	b.text("calc-3")

	b.press("\nthet")
	b.until("!document.querySelector('#calc-3 .choices').hidden")
	if eval[bool](b, `(() => {
		const list = document.querySelector("#calc-3 .choices").getBoundingClientRect();
		const area = document.querySelector("#calc-3 textarea").getBoundingClientRect(), cell = document.querySelector("#calc-3").getBoundingClientRect();
		return list.top < area.bottom - 1 || list.bottom > cell.bottom;
	})()`) {
		t.Error("what is offered covers something")
	}
	if eval[bool](b, `(() => {
		const [copy, done] = ["#calc-3 .js-take > summary", "#calc-3 .js-text > summary"].map((s) => document.querySelector(s).getBoundingClientRect());
		return Math.abs(copy.top - done.top) > 4;
	})()`) {
		t.Error("Done is not on the line of the other actions")
	}
	b.press(kb.ArrowDown)
	if got := eval[string](b, "document.getElementById(document.activeElement.getAttribute('aria-activedescendant')).textContent"); got != "θtheta" {
		t.Errorf("the first choice is %q, want θ", got)
	}
	b.keyDown("Enter", 13)
	b.until("document.activeElement.value.endsWith('\\nθ')")

	b.do(chromedp.Click(chromedp.CSS("#calc-3 .palette button[aria-label=times]")))
	b.until("document.activeElement.value.endsWith('\\nθ·')")
	b.press("(2")
	b.until("document.querySelector('#calc-3 .under .lone') === null")
	eval[bool](b, "document.activeElement.setSelectionRange(document.activeElement.value.length - 1, document.activeElement.value.length - 1) || true")
	b.until("document.querySelector('#calc-3 .under .lone')")

	// The browser's own undo takes back what was put in.
	eval[bool](b, "document.execCommand('undo')")
	eval[bool](b, "document.execCommand('undo')")
	b.until("!document.activeElement.value.endsWith('(2')")

	// Tab leaves the field.
	b.press(kb.Tab)
	b.until("document.activeElement.tagName !== 'TEXTAREA'")
	b.clean()
}

func TestNothingLeavesTheOriginAndNarrowPagesDoNotScrollSideways(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 320, 640)
	for _, path := range []string{"", "?q=taper", "lesson/quill", "lesson/quill/board", "lesson/quill-derived", "derivation", "derivation?start=mistake", "lesson/none"} {
		b.open(s.URL() + path)
		b.until("document.readyState === 'complete'")
		foreign := eval[[]string](b, "performance.getEntriesByType('resource').map((e) => e.name).filter((n) => !n.startsWith(location.origin))")
		if len(foreign) > 0 {
			t.Errorf("%q asked for %q", path, foreign)
		}
		if wide := eval[int](b, "document.documentElement.scrollWidth"); wide > 320 {
			t.Errorf("%q is %d px wide in a window of 320", path, wide)
		}
		b.do(chromedp.EmulateViewport(640, 640))
		if wide := eval[int](b, "document.documentElement.style.fontSize = '200%', document.documentElement.scrollWidth"); wide > 640 {
			t.Errorf("%q is %d px wide in a window of 640 with letters of twice the size", path, wide)
		}
		b.do(chromedp.EmulateViewport(320, 640))
		b.clean()
	}
}

// While a line is mended at 30 ms a key, a mark is never on text that was typed since,
// and none is left once the line is right, whatever lines are put in above it.
func TestMarksDoNotStayOnMendedText(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1000, 800)
	b.open(s.URL() + "lesson/quill")
	b.text("calc-3")
	// After each key, before anything can have come from the server, the marks of
	// errors must leave the place that was typed at alone.
	eval[bool](b, `(() => {
		window.stale = [];
		const area = document.activeElement, under = document.querySelector('#calc-3 .under');
		area.addEventListener('input', () => {
			const caret = area.selectionStart;
			let at = 0;
			for (const piece of under.childNodes) {
				const end = at + piece.textContent.length;
				if (piece.classList?.contains('bad') && at <= caret && caret <= end) window.stale.push(piece.textContent);
				at = end;
			}
		});
		return true;
	})()`)
	keys := func(text string) {
		for _, key := range text {
			b.press(string(key))
			time.Sleep(30 * time.Millisecond) // the pace of typing; nothing is judged by it
		}
	}
	none := "!document.querySelector('#calc-3 .under .bad') && !document.querySelector('#calc-3 .message')"

	keys("\nw = 3 m + 1 s")
	b.until("document.querySelector('#calc-3 .under .bad')")
	b.press(kb.Backspace)
	keys("m + 2 s")
	b.until("document.querySelector('#calc-3 .under .bad')")
	b.press(kb.Backspace)
	keys("m")
	b.until(none + " && document.querySelector('#calc-3 .rows').textContent.includes('6')")

	// A line whose error goes away because of another, above which lines are put in.
	keys("\nv = 2·zz")
	b.until("document.querySelector('#calc-3 .under .bad')")
	for range len("v = 2·zz") - 1 {
		b.press(kb.ArrowLeft)
	}
	keys("u = 1\n")
	b.until("document.querySelector('#calc-3 .under .bad')?.textContent === 'zz'")
	b.press(kb.ArrowLeft)
	keys("\nzz = 4")
	b.until(none)
	if got := eval[[]string](b, "window.stale"); len(got) > 0 {
		t.Errorf("marks were on what was being typed: %q", got)
	}
	b.clean()
}

// The slider of a count has its doublings at even distances, and the pointer finds them:
// the thumb, its number, the field and the copy in the margin agree.
func TestSliderByRatio(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, text.Files)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/taper-in-segments")
	b.until("document.querySelector('#calc-4-1 input[type=range]')?.disabled === false")
	if got := eval[string](b, "[...document.querySelectorAll('#calc-4-1 .scale-mark')].map((e) => e.textContent).join(' ')"); got != "1 2 5 10 20 40" {
		t.Errorf("marks at %s", got)
	}
	// ln 20 / ln 40 = 0.8121.
	at := eval[[]float64](b, `(() => {
		const line = document.querySelector("#calc-4-1 .scale-line");
		line.scrollIntoView({ block: "center", behavior: "instant" });
		const r = line.getBoundingClientRect();
		return [r.left + 0.8121 * r.width, r.top];
	})()`)
	b.do(chromedp.MouseClickXY(at[0], at[1]))
	b.until(`[...document.querySelectorAll('#calc-4-1 input, .js-hand[data-name="n"] input')].every((e) => e.value === "20")`)
	for _, place := range []string{"#calc-4-1", ".js-hand[data-name=n]"} {
		if off := eval[float64](b, fmt.Sprintf(`(() => {
			const box = (name) => document.querySelector(%q + " ." + name).getBoundingClientRect();
			const line = box("scale-line"), thumb = box("scale-thumb");
			return (thumb.left + thumb.right) / 2 - (line.left + 0.8121 * line.width);
		})()`, place)); math.Abs(off) > 1 {
			t.Errorf("%s: the thumb is %.1f pixels off", place, off)
		}
		if got := eval[string](b, fmt.Sprintf(`document.querySelector(%q + " .scale-value").textContent`, place)); got != "20" {
			t.Errorf("%s: above the thumb is %s", place, got)
		}
	}
	b.press(kb.ArrowRight)
	b.until("document.querySelector('#calc-4-1 .scale-value').textContent === '21'")
	if got := eval[string](b, "getComputedStyle(document.querySelector('#calc-4-1 .scale-thumb')).outlineStyle"); got != "solid" {
		t.Errorf("the thumb with the focus has the outline %s", got)
	}
	for _, found := range b.barriers() {
		t.Error(found)
	}
	b.clean()
}

// A calculation that the reader stops says so in its line, and one press calculates it
// again; in a narrow window the box with both stands below the cell, not on its text.
func TestStoppedLinesSaySo(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 360, 700)
	b.open(s.URL() + "lesson/quill")
	b.text("calc-3")
	b.press("\nlong = sum of sin(i·1) for i from 1 to 2·10^7\nafter = 2·long")
	b.until("!document.querySelector('.js-busy').hidden && document.querySelector('.js-busy span').textContent.includes('long')")
	if !eval[bool](b, "document.querySelector('#calc-3').nextElementSibling === document.querySelector('.js-busy')") {
		t.Error("the progress does not stand below the cell that is edited")
	}
	eval[bool](b, "document.querySelector('.js-busy button').click() || true")
	b.until("document.querySelector('.js-busy button').textContent === 'Calculate again'")
	b.until("document.querySelectorAll('#calc-3 .row-stopped').length >= 2")
	b.until("document.querySelector('[role=status]').textContent.includes('Calculate again')")
	if eval[bool](b, "Boolean(document.querySelector('#calc-3-1 .row-stopped'))") {
		t.Error("a line that was not calculated again says that it was stopped")
	}
	eval[bool](b, "document.querySelector('.js-busy button').click() || true")
	b.until("document.querySelector('#calc-3-5 .result') && !document.querySelector('.row-stopped')")
	b.until("document.querySelector('.js-busy').hidden")
	b.clean()
}
