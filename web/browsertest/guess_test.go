package browsertest

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

func serveGuesses(t *testing.T) *web.Server {
	t.Helper()
	store := storeIn(t, t.TempDir())
	service, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	s := &web.Server{Catalog: shelfOf(t, os.DirFS("testdata/guesses")), Attempts: service}
	open(t, s, 0)
	return s
}

const (
	howFar   = "#guess-how-far "
	whichEnd = "#guess-which-end "
	most     = "#guess-most "
)

// guessesReady waits until the scripts have attached, and the sliders are alive.
func (b *tab) guessesReady() {
	b.t.Helper()
	b.until("document.querySelector('.order button') && !document.querySelector('.js-slider input:disabled')")
}

func (b *tab) words(selector string) string {
	b.t.Helper()
	return eval[string](b, fmt.Sprintf("(document.querySelector(%q)?.innerText ?? '').replace(/\\s+/g, ' ')", selector))
}

// dragTo drags the middle of one element to just below the middle of another.
func (b *tab) dragTo(from, to string) {
	b.t.Helper()
	middle := func(selector string) []float64 {
		return eval[[]float64](b, fmt.Sprintf("(() => { const r = document.querySelector(%q).getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()", selector))
	}
	eval[bool](b, fmt.Sprintf("document.querySelector(%q).scrollIntoView({block: 'center'}) || true", from))
	a, z := middle(from), middle(to)
	for _, e := range []struct {
		kind input.DispatchMouseEventType
		x, y float64
	}{
		{"mouseMoved", a[0], a[1]}, {"mousePressed", a[0], a[1]}, {"mouseMoved", a[0], (a[1] + z[1]) / 2},
		{"mouseMoved", z[0], z[1] + 6}, {"mouseReleased", z[0], z[1] + 6},
	} {
		if _, err := chromedp.Call(b.ctx, input.DispatchMouseEvent, input.DispatchMouseEventParams{
			Type: e.kind, X: e.x, Y: e.y, Button: "left", Buttons: 1, ClickCount: 1,
		}); err != nil {
			b.t.Fatal(err)
		}
	}
}

// The uniform bars twist by 32·T·L/(π·G·d⁴): 0.2085° and 1.056°, by hand; the sum of four
// pieces gives 0.4905°.
func TestGuessesByPointer(t *testing.T) {
	t.Parallel()
	s := serveGuesses(t)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/quill")
	b.guessesReady()
	b.look("guesses")
	b.do(chromedp.EmulateViewport(360, 800))
	if got := eval[string](b, "[...document.querySelectorAll('.js-order li')].map((li) => { const [up, down] = [...li.querySelectorAll('button')].map((e) => e.getBoundingClientRect()); const text = li.querySelector('label').getBoundingClientRect(); return up.top === down.top && up.left >= text.right && down.left >= up.right; }).join(' ')"); strings.Contains(got, "false") || got == "" {
		t.Errorf("at 360 px the buttons stand beside each other and behind their item: %q", got)
	}
	b.do(chromedp.EmulateViewport(1280, 900))
	if given := eval[bool](b, "/1\\.056|0\\.2085|0\\.490|0\\.4952/.test(document.documentElement.outerHTML)"); given {
		t.Error("the page holds what is to be guessed")
	}

	// A number without its unit is asked about; nothing is taken silently.
	b.do(chromedp.Click(chromedp.CSS(howFar + "input[name=guess]")))
	b.press("0.7" + kb.Enter)
	b.until("document.querySelector('" + howFar + ".readings button')")
	b.look("guess-asked-about")
	b.do(chromedp.Click(chromedp.CSS(howFar + ".readings button[value='0.7 deg']")))
	b.until("document.querySelector('" + howFar + ".js-said')")
	if got := b.words(howFar + ".js-said"); got != "Your guess 0.7° Your guess is 34 % less. The lesson gives 1.056° The fourth power makes the thin end soft." {
		t.Errorf("after the guess the page says %q", got)
	}
	if got := eval[string](b, "document.activeElement.className"); got != "said js-said" {
		t.Errorf("the focus is at %q", got)
	}
	b.until("document.querySelector('.js-status').textContent.includes('1.056°')")
	// What a second guess covers too waits for it.
	if got := eval[bool](b, "document.querySelector('#calc-2-1').dataset.cover !== undefined"); !got {
		t.Error("a result that two guesses cover is open after the first")
	}

	// A slider that moves behind a cover moves what is there when it opens.
	b.do(chromedp.Click(chromedp.CSS("#calc-2-3 input[type=number]")))
	eval[bool](b, "document.activeElement.select() || true")
	b.press("1" + kb.Tab)
	b.until("document.querySelector('#calc-2-3 input[type=range]').value === '1'")
	b.do(chromedp.Click(chromedp.CSS(whichEnd + "input[value=a]")))
	b.do(chromedp.Click(chromedp.CSS(whichEnd + "button.main")))
	b.until("document.querySelector('#calc-2-5 .result')?.textContent === '0.4324°'")
	b.until("[...document.querySelectorAll('[data-value-of=calc-2-5]')].some((v) => v.textContent === '0.4324°')")
	if got := b.words(whichEnd + ".js-said"); got != "Your guess half-way The lesson gives nearer to the soft one The thin end does most of the twisting." {
		t.Errorf("after the pick the page says %q", got)
	}

	b.dragTo(most+"li:first-child .grip", most+"li:last-child .grip")
	b.until("document.querySelector('" + most + "input[name=place-a]').value === '2'")
	b.do(chromedp.Click(chromedp.CSS(most + "button.main")))
	b.until("document.querySelector('" + most + ".js-said') && !document.querySelector('[data-cover]')")
	if got := b.words(most + ".js-said"); got != "Your guess the thin bar, then the thick bar As you guessed. The lesson gives the thin bar (1.056°), then the thick bar (0.2085°)" {
		t.Errorf("after the order the page says %q", got)
	}
	b.look("guesses-made")

	// All of it is there on the next visit, and can be guessed again, beside the first.
	b.open(s.URL() + "lesson/quill")
	b.until("document.querySelectorAll('.guess-block .js-said').length === 3 && !document.querySelector('[data-cover]')")
	b.do(chromedp.Click(chromedp.CSS(howFar + ".guess-again a")))
	b.until("document.querySelector('" + howFar + "input[name=guess]') && document.querySelector('[data-cover]')")
	b.until("document.readyState === 'complete' && performance.getEntriesByType('resource').some((e) => e.name.endsWith('/order.js'))")
	b.do(chromedp.Click(chromedp.CSS(howFar + "input[name=guess]")))
	b.press("1 deg" + kb.Enter)
	b.until("document.querySelector('" + howFar + ".js-said')")
	if got := b.words(howFar + "dl"); got != "Guess 1 0.7° Your guess is 34 % less. Guess 2 1° Your guess is 5.3 % less. The lesson gives 1.056°" {
		t.Errorf("after the second guess the page says %q", got)
	}
	b.clean()
}

func TestGuessesByKeyboard(t *testing.T) {
	t.Parallel()
	s := serveGuesses(t)
	b := newTab(t, 320, 700)
	b.open(s.URL() + "lesson/quill")
	b.guessesReady()
	if got := eval[int](b, "document.documentElement.scrollWidth"); got > 320 {
		t.Errorf("a window of 320 px scrolls sideways to %d px", got)
	}
	barriers := func(when string) {
		for _, scheme := range []string{"dark", "light"} {
			b.scheme(scheme)
			for _, found := range b.barriers() {
				t.Errorf("%s, %s: %s", when, scheme, found)
			}
		}
	}
	barriers("before the guesses")
	b.tabTo(howFar + "input[name=guess]")
	b.press("1 deg" + kb.Enter)
	b.until("document.activeElement.closest('" + howFar + "')?.querySelector('.js-said') === document.activeElement")
	b.tabTo(whichEnd + "input[value=a]")
	b.press(kb.ArrowDown)
	b.tabTo(whichEnd + "button.main")
	b.press(kb.Enter)
	b.until("document.querySelector('" + whichEnd + ".js-said')?.textContent.includes('As you guessed.')")
	b.tabTo(most + "li:first-child button:last-child")
	b.press(kb.Enter)
	b.until("document.querySelector('.js-status').textContent.includes('the thick bar: place 2 of 2')")
	if got := eval[string](b, "document.activeElement.getAttribute('aria-label')"); got != "Down: the thick bar" {
		t.Errorf("after a move the focus is at %q", got)
	}
	b.tabTo(most + "button[name=show]")
	b.press(kb.Enter)
	b.until("document.querySelector('" + most + ".js-said') && !document.querySelector('[data-cover]')")
	if got := b.words(most + "dl"); got != "The lesson gives the thin bar (1.056°), then the thick bar (0.2085°)" {
		t.Errorf("asked to be shown, the page says %q", got)
	}
	barriers("after the guesses")
	b.clean()
}

// Of two windows the first guess stands; the other one shows it.
func TestAGuessInTwoWindows(t *testing.T) {
	t.Parallel()
	s := serveGuesses(t)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/quill")
	b.guessesReady()
	answer := eval[string](b, `(async () => {
		const form = document.querySelector("`+howFar+`form"), fields = new URLSearchParams(new FormData(form));
		fields.set("guess", "2 deg");
		return (await fetch(form.action, {method: "POST", headers: {Accept: "application/json"}, body: fields})).status + "";
	})()`)
	if answer != "200" {
		t.Fatal(answer)
	}
	b.do(chromedp.Click(chromedp.CSS(howFar + "input[name=guess]")))
	b.press("1 deg" + kb.Enter)
	b.until("document.querySelector('" + howFar + ".js-said')?.textContent.includes('2°')")
	b.clean()
}

// On the board what is right is a step of its own, which opens what the guess covers.
func TestGuessesOnTheBoard(t *testing.T) {
	t.Parallel()
	s := serveGuesses(t)
	b := newTab(t, 1280, 720)
	b.calm()
	b.board(s.URL() + "lesson/quill/board")
	step := func(selector string) {
		t.Helper()
		for range 60 {
			if eval[bool](b, "document.querySelector('"+selector+"').closest('[data-ahead]') === null") {
				return
			}
			b.press(" ")
		}
		t.Fatalf("%s does not come", selector)
	}
	step(whichEnd + ".question")
	if got := eval[int](b, "document.querySelectorAll('main [data-cover]').length"); got == 0 || eval[bool](b, "document.querySelector('#calc-2-5').dataset.cover === undefined") {
		t.Error("a result is open before its guess is shown")
	}
	step(whichEnd + ".js-truth")
	b.until("document.querySelector('#calc-2-5 .result')?.textContent === '0.4905°'")
	step(most + ".js-truth")
	b.until("document.querySelector('main [data-cover]') === null")
	step("#calc-2-1")
	b.clean()
}
