package browsertest

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"shaftbook/lessons"
)

// misplaced lists the cells whose actions stand outside them, lie over a text, or are
// lower than a pointer needs.
const misplaced = `(least) => [...document.querySelectorAll("main .cell")].flatMap((cell) => {
	const boxes = [...cell.querySelectorAll(".cell-actions summary, .cell-actions > button")].filter((e) => e.checkVisibility()).map((e) => [e, e.getBoundingClientRect()]);
	const own = cell.getBoundingClientRect();
	if (boxes.length === 0 || own.width === 0) return [];
	const wrong = boxes.filter(([, b]) => b.top < own.top - 1 || b.right > own.right + 1 || b.bottom > own.bottom + 1 || b.height < least).map(([e, b]) => cell.id + ": " + e.innerText + " stands outside or is " + b.height + " high");
	const texts = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
	for (let text; (text = texts.nextNode());) {
		const e = text.parentElement;
		if (!text.data.trim() || e.closest(".sr, .cell-actions") || !e.checkVisibility({visibilityProperty: true})) continue;
		const range = document.createRange();
		range.selectNodeContents(text);
		for (const r of range.getClientRects()) for (const [, b] of boxes) {
			if (r.width > 1 && r.right > b.left + 1 && r.left < b.right - 1 && r.bottom > b.top + 3 && r.top < b.bottom - 3) wrong.push(cell.id + ": covers " + text.data.trim().slice(0, 40));
		}
	}
	return wrong;
})`

// What can be done with a cell stands inside it and covers no text, in every lesson and
// on the board, and is 44 px high where nothing can be pointed at.
func TestActionsOfCellsCoverNothing(t *testing.T) {
	t.Parallel()
	s := serveBuiltIn(t)
	for _, c := range []struct {
		name, view    string
		width, height int64
		touch         bool
	}{{"wide", "", 1280, 900, false}, {"phone", "", 360, 740, true}, {"board", "/board", 1920, 1080, false}} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			b := newTab(t, c.width, c.height)
			least := "24"
			if c.touch {
				least = "44"
				b.do(chromedp.EmulateViewport(c.width, c.height, chromedp.EmulateMobile, chromedp.EmulateTouch))
				if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "hover", Value: "none"}}}); err != nil {
					t.Fatal(err)
				}
			}
			for _, l := range s.Catalog.Lessons {
				b.open(s.URL() + lessons.Path(l.Slug)[1:] + c.view)
				b.until("document.documentElement.classList.contains('js')")
				eval[bool](b, "document.querySelectorAll('[data-ahead]').forEach((e) => e.removeAttribute('data-ahead')) || true")
				for _, wrong := range eval[[]string](b, "("+misplaced+")("+least+")") {
					t.Errorf("%s: %s", l.Slug, wrong)
				}
			}
		})
	}
}
