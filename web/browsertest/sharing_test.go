package browsertest

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"shaftbook/exercises/store"
	"time"
)

// sharedText is a page of one's own that is shared.
const sharedText = "# A shaft of mine\n\nIt is uniform.\n\n```calc\nT = 300 N·m\nvary d from 20 mm to 60 mm by 1 mm starting at 36 mm\nW = 2·d\n```\n\n```derive\nx = 1\n  = 2/2\n```\n"

// ownPage opens sharedText as a page of the learner's own, from a file, and returns its
// address.
func (b *tab) ownPage(url string) string {
	b.t.Helper()
	b.open(url + "pages")
	eval[bool](b, `(() => {
		const all = new DataTransfer();
		all.items.add(new File([`+"`"+strings.ReplaceAll(sharedText, "`", "\\`")+"`"+`], "mine.md", {type: "text/markdown"}));
		const field = document.getElementById("own-file");
		field.files = all.files;
		field.form.querySelector("button").click();
		return true;
	})()`)
	b.until(`location.pathname.startsWith("/page/") && document.readyState === "complete"`)
	return eval[string](b, "location.href")
}

// drag moves the slider d to its end, as the hand does.
func (b *tab) drag() {
	b.t.Helper()
	b.until("document.querySelector('#calc-1-3')?.dataset.value === '72 mm'")
	eval[bool](b, `(() => { const s = document.querySelector("#calc-1-2 input[type=range]"); s.value = s.max; s.dispatchEvent(new Event("input", {bubbles: true})); return true; })()`)
	b.until("document.querySelector('#calc-1-3').dataset.value === '120 mm'")
}

// looksRight checks a page that is shown, wide and narrow, light and dark.
func (b *tab) looksRight(where string) {
	b.t.Helper()
	for _, found := range b.barriers() {
		b.t.Errorf("%s: %s", where, found)
	}
	b.media("dark")
	b.do(chromedp.EmulateViewport(320, 640))
	for _, found := range b.barriers() {
		b.t.Errorf("%s, narrow and dark: %s", where, found)
	}
	if wide := eval[int](b, "document.documentElement.scrollWidth"); wide > 320 {
		b.t.Errorf("%s is %d px wide in a window of 320", where, wide)
	}
	b.media("light")
	b.do(chromedp.EmulateViewport(1280, 900))
}

// A learner without an account shares a page; somebody else tries it and changes nothing;
// the learner withdraws it.
func TestShareWithALink(t *testing.T) {
	t.Parallel()
	s := serveKeeping(t, 0, t.TempDir())
	owner := newTab(t, 1280, 900)
	own := owner.ownPage(s.URL())
	owner.do(chromedp.Click(chromedp.CSS(".own-share p a")))
	owner.until("document.querySelector('.share-form')")
	owner.looksRight("the page on which it is shared")
	owner.do(chromedp.Click(chromedp.CSS(".share-form button")))
	owner.until("document.querySelector('.share-link')")
	link := eval[string](owner, "document.querySelector('.share-link').textContent")

	owner.do(chromedp.Click(chromedp.CSS(".js-copy-link")))
	owner.until("document.querySelector('.js-link-said').textContent !== ''")
	owner.looksRight("the new link")
	owner.clean()

	visitor := newTab(t, 1280, 900)
	visitor.open(link)
	if got := eval[string](visitor, "document.querySelector('h1').textContent"); got != "A shaft of mine" {
		t.Errorf("the visitor sees %q", got)
	}
	visitor.looksRight("the shared page")
	visitor.drag()
	visitor.clean()
	visitor.open(link)
	visitor.until("document.querySelector('#calc-1-3')?.dataset.value === '72 mm'")
	if stored := eval[int](visitor, "Object.keys(localStorage).filter((k) => k.includes('shared')).length"); stored > 0 {
		t.Errorf("%d things of the visit are kept in the browser", stored)
	}
	if got := eval[string](visitor, "document.cookie"); strings.Contains(got, "learner") {
		t.Errorf("the visitor has the cookie %q", got)
	}
	visitor.drag()
	owner.open(own)
	owner.until("document.querySelector('#calc-1-3')?.dataset.value === '72 mm'")

	// Withdrawn, it says so where it is open, and is nowhere else.
	owner.do(chromedp.Click(chromedp.CSS(".own-share p a")))
	owner.until("document.querySelector('.share-links form button')")
	owner.do(chromedp.Click(chromedp.CSS(".share-links form button")))
	owner.until("document.querySelector('.class-said')?.textContent.includes('withdrawn')")
	visitor.until("document.querySelector('.js-signed-out:not([hidden])')?.textContent.includes('no longer shared')")
	visitor.open(link)
	if got := eval[string](visitor, "document.querySelector('h1').textContent"); got != "There is no shared page here" {
		t.Errorf("after it was withdrawn: %q", got)
	}
}

// A student shows a page to the instructor, who tries it and answers beside a block; the
// student sees the answer there.
func TestShowMyInstructor(t *testing.T) {
	t.Parallel()
	s, kept := serveMill(t, 0, t.TempDir())
	p := store.Page{ID: "P", Name: "A shaft of mine", Kind: store.KindPage, Text: sharedText, ChangedAt: time.Now()}
	if err := kept.AddPage(t.Context(), "S1", p, 50); err != nil {
		t.Fatal(err)
	}
	student, instructor := signedIn(t, s, "S1"), signedIn(t, s, "I1")
	student.open(s.URL() + "page/P/share")
	student.looksRight("the page on which it is shown")
	student.do(chromedp.Click(chromedp.CSS("button[name=class][value=MILL]")))
	student.until("document.querySelector('.class-said')?.textContent.includes('can now see')")

	instructor.open(s.URL() + "class/MILL/student/S1")
	instructor.do(chromedp.Click(chromedp.CSS("#shown + ul a")))
	instructor.until("document.querySelector('.answer-form')")
	instructor.looksRight("the page that is shown")
	instructor.drag()
	instructor.do(chromedp.Click(chromedp.CSS("#block-2 .answer-form summary")))
	instructor.do(chromedp.Click(chromedp.CSS("#block-2 .answer-form textarea")))
	instructor.press("Is d the right one?")
	instructor.do(chromedp.Click(chromedp.CSS("#block-2 .answer-form button")))
	instructor.until("document.querySelector('#block-2 .answer-text')?.textContent === 'Is d the right one?'")
	instructor.looksRight("the page with an answer")
	instructor.clean()

	student.open(s.URL() + "page/P")
	student.until("document.querySelector('#block-2 .answer-text')?.textContent === 'Is d the right one?'")
	if got := eval[int](student, "document.querySelectorAll('.block-answer').length"); got != 1 {
		t.Errorf("%d answers", got)
	}
	if got := eval[string](student, "document.querySelector('#block-2 .block-answer').textContent"); strings.Contains(got, "changed since") {
		t.Errorf("the answer says %q", got)
	}
	// The student goes on writing: the answer stays, and says that its block has changed.
	student.blocksReady()
	eval[bool](student, "document.querySelector('#block-2 .js-text').open = true")
	student.until("document.activeElement.matches('#block-2 .js-editor textarea')")
	student.write("T = 310 N·m\nvary d from 20 mm to 60 mm by 1 mm starting at 36 mm\nW = 2·d")
	student.until("document.querySelector('#calc-1-1')?.textContent.includes('310')")
	student.untilSaved()
	student.clean()
	student.open(s.URL() + "page/P")
	student.until("document.querySelector('#block-2 .block-answer')?.textContent.includes('has changed since')")
	if got := eval[string](student, "document.querySelector('#block-2 .answer-text').textContent"); got != "Is d the right one?" {
		t.Errorf("beside the block stands %q", got)
	}

	student.open(s.URL() + "page/P/share")
	student.do(chromedp.Click(chromedp.CSS("button[name=class][value=MILL]")))
	student.until("document.querySelector('.class-said')?.textContent.includes('no longer see')")
	instructor.open(s.URL() + "class/MILL/student/S1")
	if eval[bool](instructor, "document.querySelector('#shown') !== null") {
		t.Error("the instructor still sees it listed")
	}
}
