package browsertest

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

// A kept server keeps what learners do in a folder.
type kept struct {
	*web.Server
	store contract.Work
}

// serveKeeping starts a server for the exercises of testdata.
func serveKeeping(t *testing.T, port int, folder string) kept {
	t.Helper()
	shelf := shelfOf(t, os.DirFS("testdata/exercises"))
	store, err := sqlite.Open(t.Context(), filepath.Join(folder, "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	desk, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	s := kept{&web.Server{Catalog: shelf, Attempts: desk}, store}
	t.Cleanup(s.end)
	open(t, s.Server, port)
	return s
}

// end stops the server as a process does that ends in good order.
func (s kept) end() {
	stop(s.Server)
	_ = s.store.Close() // closing twice is an error, and that is all right
}

// answer types into the field of a part.
func (b *tab) answer(part, text string) {
	b.t.Helper()
	b.until("document.querySelector('#exercise-quill-" + part + " .palette')") // the scripts have attached
	b.do(chromedp.Click(chromedp.CSS("#exercise-quill-" + part + "-answer")))
	eval[bool](b, "document.activeElement.select() || true")
	b.press(text)
}

func (b *tab) verdict(part string) string {
	b.t.Helper()
	return eval[string](b, "document.querySelector('#exercise-quill-"+part+" .js-said')?.textContent ?? ''")
}

// look holds the page as it is against what axe knows of barriers, and
// makes pictures of it if they are asked for.
func (b *tab) look(name string) {
	b.t.Helper()
	for _, found := range b.barriers() {
		b.t.Errorf("%s: %s", name, found)
	}
	if *shots == "" {
		return
	}
	for _, c := range []struct {
		scheme string
		width  int64
	}{{"light", 1280}, {"dark", 360}, {"light", 360}} {
		b.do(chromedp.EmulateViewport(c.width, 900))
		b.scheme(c.scheme)
		picture, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
		if err != nil {
			b.t.Fatal(err)
		}
		write(b.t, fmt.Sprintf("%s-%s-%d.png", name, c.scheme, c.width), picture)
	}
	printed, err := chromedp.Call(b.ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
	if err != nil {
		b.t.Fatal(err)
	}
	write(b.t, name+".pdf", printed.Data)
	b.do(chromedp.EmulateViewport(1280, 900))
}

func TestLearnerWorksThroughAnExercise(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	s := serveKeeping(t, 0, folder)
	port := portOf(t, s.Server)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/mill")

	// The learner's own cone, with the twist from the closed form (Gere,
	// Mechanics of Materials, Eq. 3-27), worked out from the numbers on the page.
	b.until("document.querySelector('#exercise-quill-twist .palette')")
	const numbers = `(() => {
		const text = [...document.querySelectorAll("#exercise-quill .given math")].map((m) => m.textContent).join(" ");
		const of = (name) => parseFloat(new RegExp(name + "=([\\d.]+)").exec(text)[1]);
		return {T: of("T"), d0: of("d0") / 1000, L: 0.8, G: 79e9};
	})()`
	twist := eval[float64](b, `(({T, d0, L, G}) => { const d1 = d0 + 0.018;
		return 32 * T * L / (3 * Math.PI * G) * (d0*d0 + d0*d1 + d1*d1) / (d0**3 * d1**3) * 180 / Math.PI; })(`+numbers+`)`)
	if twist < 0.3 || twist > 1.5 {
		t.Fatalf("a twist of %g deg is not that of this quill", twist)
	}
	right := strconv.FormatFloat(twist, 'f', 4, 64) + " deg"

	b.look("exercise-new")

	// A prediction is committed before anything is shown, and what came out is
	// held back while it is also the answer.
	b.do(chromedp.Click(chromedp.CSS("#exercise-quill-between input[name=low]")))
	b.press("0.2 deg" + kb.Tab + "2 deg" + kb.Enter)
	b.until("document.querySelector('#exercise-quill-between .js-said')")
	if text := b.verdict("between"); !strings.Contains(text, "0.2 deg") || strings.Contains(text, "is 0.") {
		t.Errorf("after the guess the page says %q; the result would be the answer", text)
	}

	// Checking shows how the text is read and costs nothing.
	b.answer("twist", "2·0.3 deg")
	b.do(chromedp.Click(chromedp.CSS("#exercise-quill-twist .js-check")))
	b.until("document.querySelector('#exercise-quill-twist .js-check-said').textContent.includes('0.6 deg')")
	b.until("document.querySelector('[role=status]').textContent.includes('3 of 3 tries left')")

	// A known wrong turn. What is half typed in another part stays.
	b.answer("formula", "32·Q")
	b.answer("twist", strconv.FormatFloat(16*twist, 'f', 3, 64)+" deg")
	b.press(kb.Enter)
	b.until("document.querySelector('#exercise-quill-twist .js-said')")
	b.until("document.querySelector('[role=status]').textContent.includes('2 of 3 tries left')")
	if text := b.verdict("twist"); !strings.Contains(text, "radius") && !strings.Contains(text, "diameter") {
		t.Errorf("the slip of the radius is told as %q", text)
	}
	if got := eval[string](b, "document.activeElement.name"); got != "answer" {
		t.Errorf("after marking the focus is on %q, want the field", got)
	}

	const half = "document.querySelector('#exercise-quill-formula-answer').value === '32·Q'"
	b.until(half)

	// A hint.
	b.do(chromedp.Click(chromedp.CSS("#exercise-quill-twist [data-kind=hint] button")))
	b.until("document.querySelector('#exercise-quill-twist .help')?.textContent.includes('Cut the shaft')")

	b.look("exercise-half")

	// The network goes between typing and answering.
	b.answer("twist", right)
	s.end()
	b.press(kb.Enter)
	b.until("document.querySelector('#exercise-quill-twist .js-trouble:not([hidden])')?.textContent")
	if got := eval[string](b, "document.querySelector('#exercise-quill-twist-answer').value"); got != right {
		t.Errorf("the field holds %q, want %q", got, right)
	}
	if err := chromedp.Do(b.ctx, chromedp.Reload()); err == nil {
		t.Error("the page was loaded again without a server")
	}
	again := serveKeeping(t, port, folder)
	b.open(again.URL() + "lesson/mill")
	b.until("document.querySelector('#exercise-quill-twist .js-said[data-verdict=right]')")
	if n := eval[int](b, "document.querySelectorAll('#exercise-quill-twist .earlier li').length"); n != 1 {
		t.Errorf("%d earlier answers, want the one slip", n)
	}
	if n := eval[int](b, "document.querySelectorAll('#exercise-quill-between .js-said strong').length"); n != 2 {
		t.Errorf("after the answer the prediction is shown with %d of its two values, what was predicted and what it is", n)
	}
	b.until("document.querySelector('#exercise-quill-score').textContent.includes('2 of 4 points')")
	b.until(half)

	// Picking with the keyboard, and a formula.
	eval[bool](b, "document.querySelector('#exercise-quill-where input[type=radio]').focus() || true")
	b.press(kb.ArrowDown + kb.ArrowUp + kb.Enter)
	b.until("document.querySelector('#exercise-quill-where .js-said[data-verdict=right]')")
	b.answer("formula", "32·Q")
	b.press(kb.Enter)
	b.until("document.querySelector('#exercise-quill-formula .js-said[data-verdict=unreadable]')")
	b.answer("formula", "32·T·L/(pi·G·d_0^4)")
	b.press(kb.Enter)
	b.until("document.querySelector('#exercise-quill-formula .js-said[data-verdict=right]')")

	b.look("exercise-done")

	b.clean()

	// New numbers to practise with, which carry no marks.
	b.do(chromedp.Click(chromedp.CSS("#exercise-quill-score a")))
	b.until("document.querySelector('#exercise-quill .practice')")
}

func TestChangesComeBackOnReturn(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	s := serveKeeping(t, 0, folder)
	port := portOf(t, s.Server)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/mill")
	b.until("document.querySelector('#calc-1-2 input[type=range]')?.disabled === false")
	eval[bool](b, "document.querySelector('#calc-1-2 input[type=range]').focus() || true")
	b.press(kb.ArrowRight + kb.ArrowRight)
	b.until("document.querySelector('#calc-1-2 input[type=number]').value === '6'")
	eval[bool](b, "document.querySelector('#calc-1 .js-text').open = true")
	b.until("document.activeElement === document.querySelector('#calc-1 textarea')")
	eval[bool](b, "document.activeElement.setSelectionRange(1e9, 1e9) || true")
	b.press("\nmine = 2·T")
	b.until("localStorage.getItem('shaftbook:kept:mill')?.includes('mine') && localStorage.getItem('shaftbook:kept:mill').includes('\"n\":6')")

	// Another start of the server, and a browser that kept only its cookie.
	s.end()
	again := serveKeeping(t, port, folder)
	eval[bool](b, "localStorage.clear() || (removeEventListener, true)")
	b.do(chromedp.Navigate("about:blank"))
	b.open(again.URL() + "lesson/none")
	eval[bool](b, "localStorage.clear() || true") // what the page kept while it went
	b.open(again.URL() + "lesson/mill")
	b.until("document.querySelector('#calc-1 textarea').value.endsWith('mine = 2·T')")
	b.until("document.querySelector('#calc-1-2 input[type=number]').value === '6'")
	b.until("document.querySelector('#calc-1-4 .result')?.textContent.includes('840')")
	b.clean()
}
