package browsertest

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// blocksReady waits until the scripts of a page of blocks have it.
func (b *tab) blocksReady() {
	b.t.Helper()
	b.until("document.querySelector('main[data-blocks][data-ready]')")
}

// add presses a word of the line below a block; 0 is the line above all.
func (b *tab) add(below int, kind string) {
	b.t.Helper()
	line := "main > .js-add"
	if below > 0 {
		line = "#block-" + itoa(below) + " > .js-add"
	}
	eval[bool](b, "document.querySelector('"+line+" button').focus() || true")
	b.do(chromedp.Click(chromedp.CSS(line + " button[value=" + kind + "]")))
}

func itoa(n int) string { return string(rune('0' + n)) }

// write puts a text in place of what the field with the caret holds, as typing does.
func (b *tab) write(text string) {
	b.t.Helper()
	quoted, err := json.Marshal(text)
	if err != nil {
		b.t.Fatal(err)
	}
	eval[bool](b, "(() => { const a = document.activeElement; a.select(); return document.execCommand('insertText', false, "+string(quoted)+"); })()")
}

// isShown waits until a block is shown as the server has it, with some words in it.
func (b *tab) isShown(block int, words string) {
	b.t.Helper()
	b.until("(() => { const s = document.querySelector('#block-" + itoa(block) + "'); return s && !s.querySelector('.own-unshown') && s.querySelector('.js-shown').textContent.includes('" + words + "'); })()")
}

// The file of the page in the window.
const pageFile = "fetch(location.pathname + '/file/markdown').then((r) => r.text())"

// A learner without an account builds a page with a shaft, a sum with a slider, a bracket
// and a checked derivation, closes the lid while the line is down, and opens it in
// another browser by its file.
func TestLearnerBuildsAPage(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	s := serveKeeping(t, 0, folder)
	port := portOf(t, s.Server)
	b := newTab(t, 1280, 900)
	b.open(s.URL())
	b.do(chromedp.Click(chromedp.CSS("a[href='/pages']")))
	b.until("document.querySelector('.js-own-pages')")
	for _, found := range b.barriers() {
		t.Error(found)
	}
	b.do(chromedp.Click(chromedp.CSS("button[name=start][value=empty]")))
	b.blocksReady()

	b.add(0, "text")
	b.until("document.activeElement.matches('.js-raw')")
	b.write("# The stone spindle\n\nIt carries $T$.")
	b.press("\x1b")
	b.isShown(1, "The stone spindle")
	b.until("document.title.startsWith('The stone spindle') && document.querySelectorAll('h1').length === 1")

	b.add(1, "shaft")
	b.until("document.querySelector('#shaft-S') && document.querySelector('#block-3 svg')")

	b.add(3, "calculation"[:4])
	b.until("document.activeElement.matches('#block-4 .js-editor textarea')")
	b.write("vary n from 1 to 20 by 1 starting at 4\ns = sum of 1/i^2 for i from 1 to n")
	b.until("document.querySelector('#block-4 .row[data-name=s] .result')?.textContent.includes('1.424')")
	b.add(4, "calc")
	b.until("document.activeElement.matches('#block-5 .js-editor textarea')")
	b.write("expect s between 1 and 1.65")
	b.until("document.querySelector('#block-5 .row .holds')")
	eval[bool](b, "document.querySelector('#block-4 input[type=range]').focus() || true")
	b.keyDown("ArrowRight", 39)
	b.until("document.querySelector('#block-4 .row[data-name=s] .result')?.textContent.includes('1.464')")

	b.add(5, "derive")
	b.until("document.querySelector('#block-6 .js-derivation [name=gap-1]')")
	b.do(chromedp.Click(chromedp.CSS("#block-6 [name=gap-1]")))
	b.press("16·T/(π·d^3)\r")
	b.until("document.querySelector('#block-6 .js-summary [data-outcome=follows]')")
	b.untilSaved()
	for _, found := range b.barriers() {
		t.Error(found)
	}

	// Moved, undone and done again, also by keys.
	eval[bool](b, "document.querySelector('#block-6 .js-line button[value=up]').click() || true")
	b.until("document.querySelector('#block-5 .js-derivation')")
	eval[bool](b, "document.dispatchEvent(new KeyboardEvent('keydown', {key: 'z', ctrlKey: true, bubbles: true})) || true")
	b.until("document.querySelector('#block-6 .js-derivation .js-summary [data-outcome=follows]')")
	b.do(chromedp.Click(chromedp.CSS(".js-redo")))
	b.until("document.querySelector('#block-5 .js-derivation .js-summary')")
	b.do(chromedp.Click(chromedp.CSS(".js-undo")))
	b.until("document.querySelector('#block-6 .js-derivation .js-summary')")
	b.untilSaved()

	// While the line is down typing goes on; the lid closes before it is back.
	s.end()
	eval[bool](b, "document.querySelector('#block-1 .js-edit').open = true")
	b.until("document.activeElement.matches('#block-1 .js-raw')")
	b.write("# The stone spindle\n\nIt carries *all* of $T$.\n")
	b.until("document.querySelector('.js-saved').dataset.state === 'device'")
	path := eval[string](b, "location.pathname")
	b.do(chromedp.Navigate("about:blank"))
	s = serveKeeping(t, port, folder)
	b.open(strings.TrimSuffix(s.URL(), "/") + path)
	b.blocksReady()
	b.untilSaved()
	b.until("document.querySelector('#block-1 em')?.textContent === 'all'")
	file := eval[string](b, pageFile)
	for _, piece := range []string{"*all* of", "```shaft S\n", "vary n from 1 to 20", "expect s between", "  = 16·T/(π·d^3)"} {
		if !strings.Contains(file, piece) {
			t.Errorf("the file lacks %q:\n%s", piece, file)
		}
	}
	b.clean()

	// Another browser, a telephone in the dark, opens the file.
	c := newTab(t, 360, 740)
	c.scheme("dark")
	c.open(s.URL() + "pages")
	c.until("document.querySelector('.js-own-file[data-ready]')")
	quoted, err := json.Marshal(file)
	if err != nil {
		t.Fatal(err)
	}
	eval[bool](c, `(() => { const files = new DataTransfer(); files.items.add(new File([`+string(quoted)+`], "spindle.md"));
		document.body.dispatchEvent(new DragEvent("drop", {dataTransfer: files, bubbles: true, cancelable: true})); return true; })()`)
	c.until("location.pathname.startsWith('/page/')")
	c.blocksReady()
	c.until("document.querySelector('#block-6 .js-summary [data-outcome=follows]') && document.querySelector('#block-5 .holds')")
	if got := eval[string](c, pageFile); got != file {
		t.Errorf("opened again it is\n%s\nand was\n%s", got, file)
	}
	if wide := eval[int](c, "document.documentElement.scrollWidth"); wide > 360 {
		t.Errorf("the page is %d px wide in a window of 360", wide)
	}
	for _, found := range c.barriers() {
		t.Error(found)
	}
	c.clean()
}

// Two windows of one learner: what both change is as the later has it, and the text of
// the other is one press away.
func TestTwoWindowsOfOnePage(t *testing.T) {
	t.Parallel()
	s := serveKeeping(t, 0, t.TempDir())
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "pages")
	b.do(chromedp.Click(chromedp.CSS("button[name=start][value=uniform]")))
	b.blocksReady()
	address := eval[string](b, "location.href")
	ctx, cancel := chromedp.NewContext(b.ctx) // another window of the same browser
	t.Cleanup(cancel)
	c := &tab{t: t, ctx: ctx}
	c.open(address)
	c.blocksReady()

	// Each changes a block of its own: both stay.
	edit := func(w *tab, block int, from, to string) {
		t.Helper()
		eval[bool](w, `(() => { document.querySelector("#block-`+itoa(block)+` .js-text").open = true; return true; })()`)
		w.until("document.activeElement.matches('#block-" + itoa(block) + " .js-editor textarea')")
		eval[bool](w, `(() => { const a = document.activeElement, at = a.value.indexOf("`+from+`"); a.setSelectionRange(at, at + `+itoa(len(from))+`);
			return document.execCommand("insertText", false, "`+to+`"); })()`)
	}
	edit(b, 2, "310", "320")
	b.untilSaved()
	edit(c, 3, "in deg", "in rad")
	c.untilSaved()
	c.until("document.querySelector('#block-2 .row').textContent.includes('320')")

	// Both change one.
	edit(b, 2, "320", "330")
	b.untilSaved()
	edit(c, 2, "320", "999")
	c.until("!document.querySelector('.js-page-said').hidden && document.querySelector('.js-page-said button') && document.querySelector('.own-versions')")
	c.do(chromedp.Click(chromedp.CSS(".js-page-said button")))
	c.until("document.querySelector('.class-said') && document.querySelector('#block-2 .row')?.textContent.includes('330')")
	b.clean()
}
