package browsertest

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// tabTo presses Tab until an element has the focus.
func (b *tab) tabTo(selector string) {
	b.t.Helper()
	for range 80 {
		b.press(kb.Tab)
		if eval[bool](b, "document.activeElement.matches('"+selector+"')") {
			return
		}
	}
	b.t.Fatalf("80 times Tab did not lead to %s", selector)
}

// TestALessonWithTheKeyboardAlone does what a reader does, from the shelf to
// the lesson's own text again, with nothing but keys.
func TestALessonWithTheKeyboardAlone(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL())
	b.tabTo(".skip")
	b.tabTo(".shelf a")
	b.press(kb.Enter)
	b.live()

	b.press("s")
	b.until("document.activeElement.matches('#calc-2-1 input[type=range]')")
	for range 4 {
		b.press(kb.ArrowRight)
	}
	// 8 segments at mid-length, as in TestReaderWorksThroughALesson: mpmath 1.3.
	b.until("document.querySelector('#calc-2-3 .result').textContent.replace(/\\s/g, ' ') === '0.6916°'")

	b.press("n")
	b.until("document.querySelector('#calc-2-3 .steps').open")
	b.press("t")
	b.until("document.activeElement.matches('#calc-2 textarea')")
	eval[bool](b, "document.activeElement.setSelectionRange(1e9, 1e9) || true") // where Ctrl+End leads
	b.press("\ndouble = 2·θ in deg")
	b.until("document.querySelector('#calc-2-6 .result')?.textContent.startsWith('1.383')")
	for range 2 { // the list of choices, if it is open, and the text
		b.press(kb.Escape)
	}
	b.until("!document.querySelector('#calc-2 .js-text').open")
	if !eval[bool](b, "document.activeElement.matches('#calc-2 .js-text > summary')") {
		t.Error("after Escape the focus is not where the text is opened")
	}
	b.shiftTab()
	b.until("document.activeElement.matches('#calc-2 .js-restore')")
	b.press(kb.Enter)
	b.until("!document.querySelector('#calc-2-6')")
	b.clean()
}

func TestLettersAsKeysCanBeSwitchedOff(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/quill")
	b.live()
	b.press("?")
	b.until("document.querySelector('dialog.js-keys').open")
	b.press(kb.Escape)
	b.until("!document.querySelector('dialog.js-keys').open")
	b.press("c")
	b.until("document.activeElement.id === 'calc-1'")
	b.press("c")
	b.until("document.activeElement.id === 'calc-2'")
	b.press("C")
	b.until("document.activeElement.id === 'calc-1'")
	eval[bool](b, "document.querySelector('.js-keys-open').click() || true")
	eval[bool](b, "document.querySelector('.js-keys-on').click() || true")
	b.press(kb.Escape)
	b.until("!document.querySelector('dialog.js-keys').open")
	for range 2 {
		b.press("s")
		if eval[bool](b, "document.activeElement.matches('input')") {
			t.Fatal("a letter acted as a key though it is switched off")
		}
		b.open(s.URL() + "lesson/quill") // and stays so
		b.live()
	}
	b.clean()
}

// TestAKeyAtOnceAfterTheKeys presses a key before the browser has moved the
// focus out of the closed list, which it does when it next draws.
func TestAKeyAtOnceAfterTheKeys(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/quill")
	b.live()
	b.press("?")
	b.until("document.querySelector('dialog.js-keys').open")
	got := eval[string](b, `(() => {
		document.querySelector("dialog.js-keys").close();
		document.activeElement.dispatchEvent(new KeyboardEvent("keydown", {key: "c", bubbles: true}));
		return document.activeElement.id;
	})()`)
	if got != "calc-1" {
		t.Errorf("the focus is on %q, want calc-1", got)
	}
	b.clean()
}

func TestTakingAlong(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/quill")
	b.text("calc-3")
	b.press("\nmine = 2·θ in deg")
	b.until("document.querySelector('#calc-3-4 .result')?.textContent.includes('1.373')")
	// A browser without a window has no clipboard; this one remembers.
	eval[bool](b, "navigator.clipboard.write = async (items) => { window.copied = await (await items[0].getType('text/plain')).text() }, true")
	eval[bool](b, "document.querySelector('#calc-3 .js-take').open = true")
	eval[bool](b, "document.querySelector('#calc-3 .js-copy').click() || true")
	b.until("window.copied?.includes('mine = 2·θ in deg = 1.373 deg')")
	b.until("document.querySelector('#calc-3-4 .row-link')")
	eval[bool](b, "document.querySelector('#calc-3-4 .row-link').click() || true")
	b.until("window.copied?.endsWith('/lesson/quill#calc-3-4')")

	// An earlier version comes back, and the later one is not lost.
	b.until("!document.querySelector('#calc-3 .versions').hidden")
	eval[bool](b, "document.querySelector('#calc-3 .versions button').click() || true")
	b.until("!document.querySelector('#calc-3 textarea').value.includes('mine') && !document.querySelector('#calc-3-4')")
	eval[bool](b, "document.querySelector('#calc-3 .versions button:nth-child(2)').click() || true")
	b.until("document.querySelector('#calc-3-4 .result')?.textContent.includes('1.373')")

	// A row that comes while the cell shows its links has one too.
	eval[bool](b, "document.querySelector('#calc-3 textarea').focus() || true")
	eval[bool](b, "document.activeElement.setSelectionRange(1e9, 1e9) || true")
	b.press("\nexpect mine > 1 deg")
	b.until("document.querySelector('#calc-3-5 .verdict')?.closest('.row').querySelector('.row-link')")
	b.clean()
}

func TestTheShelfRemembersAndTheHintGoes(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL())
	b.open(s.URL() + "lesson/quill")
	b.live()
	b.until("document.querySelector('.js-hint').checkVisibility()")
	if got := eval[string](b, "localStorage.getItem('shaftbook:progress') ?? ''"); got != "" {
		t.Errorf("a lesson that was only opened is noted: %s", got)
	}
	eval[bool](b, "document.querySelector('#calc-2-1 input').focus() || true")
	b.press(kb.ArrowRight)
	b.until("!document.querySelector('.js-hint').checkVisibility()")
	b.open(s.URL())
	b.until("document.querySelector('.js-progress').textContent === 'begun'")
	b.open(s.URL() + "lesson/quill")
	b.live()
	b.until("!document.querySelector('.js-hint').checkVisibility()")
	eval[bool](b, "document.querySelector('.turn').scrollIntoView(), true")
	b.until("localStorage.getItem('shaftbook:progress').includes('read')")
	b.open(s.URL())
	b.until("document.querySelector('.js-progress').textContent === 'read to the end'")
	b.clean()
}
