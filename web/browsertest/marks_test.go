package browsertest

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
)

// keyPause is the time between two keys of a fast typist.
const keyPause = 30 * time.Millisecond

// typeFast presses keys one by one at the pace of a fast typist.
func (b *tab) typeFast(keys ...string) {
	b.t.Helper()
	for _, key := range keys {
		b.press(key)
		time.Sleep(keyPause)
	}
}

func letters(text string) []string {
	var keys []string
	for _, r := range text {
		keys = append(keys, string(r))
	}
	return keys
}

// watchMarks notes, at every frame in which a line of the text is right, each mark
// of an error that touches it.
const watchMarks = `(line) => {
	window.stale = [];
	const area = document.activeElement;
	const under = area.parentElement.querySelector(".under");
	const look = () => {
		const from = (area.value + "\n").indexOf(line + "\n");
		let at = 0;
		for (const piece of under.childNodes) {
			const to = at + piece.textContent.length;
			const marked = piece instanceof Element && piece.classList.contains("bad");
			if (from >= 0 && marked && at < from + line.length && to > from) stale.push(area.value + " ← " + piece.textContent);
			at = to;
		}
		requestAnimationFrame(look);
	};
	look();
	return true;
}`

// TestMarksGoWhenTheirTextIsMended types a line with an error, mends it and goes on
// at 30 ms a key. No frame shows a mark on the mended line.
func TestMarksGoWhenTheirTextIsMended(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/quill")
	b.text("calc-1")
	b.typeFast(letters("\nw = d_0 + 1 N")...)
	b.until("document.querySelector('#calc-1 .under .bad')?.textContent.includes('1 N')")
	eval[bool](b, "("+watchMarks+")('w = d_0 + 1 mm')")
	b.typeFast(kb.Backspace)
	b.typeFast(letters("mm\nv = 2·w\nu = v + L")...)
	b.until("document.querySelector('#calc-1 .rows').children.length === 10 && document.querySelector('#calc-1-10 .result')?.textContent.includes('874')")
	if marks := eval[int](b, "document.querySelectorAll('#calc-1 .under .bad').length"); marks != 0 {
		t.Errorf("%d marks stay on text without an error", marks)
	}
	for _, seen := range eval[[]string](b, "stale") {
		t.Errorf("a mark on a mended line: %q", seen)
	}
	b.clean()
}
