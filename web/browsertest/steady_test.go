package browsertest

import "testing"

// TestTheTextStaysWhereItIsTyped takes the unit of a given away and puts it back: the
// messages that come and go above the text do not move it in the window, on a phone
// and on a desk.
func TestTheTextStaysWhereItIsTyped(t *testing.T) {
	t.Parallel()
	s := serve(t, 0)
	for _, size := range []struct{ width, height int64 }{{360, 740}, {1280, 900}} {
		b := newTab(t, size.width, size.height)
		b.open(s.URL() + "lesson/quill")
		b.text("calc-1")
		b.until(`(() => { const a = document.activeElement; const at = a.value.indexOf("\n"); a.setSelectionRange(at, at); a.scrollIntoView({ block: "center" }); return true; })()`)
		b.until(`(() => { window.top0 = document.activeElement.getBoundingClientRect().top; return true; })()`)
		b.typeFast(letters(" + 1 s")...)
		b.until("document.querySelector('#calc-1 .under .bad') && document.querySelector('#calc-1 .message:not(.note)')")
		b.until("Math.abs(document.activeElement.getBoundingClientRect().top - window.top0) < 2")
	}
}
