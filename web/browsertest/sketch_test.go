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

func serveSketches(t *testing.T) *web.Server {
	t.Helper()
	service, err := attempt.NewService(t.Context(), storeIn(t, t.TempDir()), "test")
	if err != nil {
		t.Fatal(err)
	}
	s := &web.Server{Catalog: shelfOf(t, os.DirFS("testdata/sketches")), Attempts: service}
	open(t, s, 0)
	return s
}

const (
	twistSketch  = "#guess-twist "
	torqueSketch = "#guess-torque "
)

func (b *tab) sketchesReady() {
	b.t.Helper()
	b.until("document.querySelectorAll('.js-field [role=slider]').length === 15")
}

// stroke drags over a field, through places that are shares of its ruled part, from the
// left and from below.
func (b *tab) stroke(selector string, places ...[2]float64) {
	b.t.Helper()
	eval[bool](b, fmt.Sprintf("document.querySelector(%q).scrollIntoView({block: 'center'}) || true", selector+".js-field"))
	at := func(p [2]float64) []float64 {
		return eval[[]float64](b, fmt.Sprintf(`(() => {
			const field = document.querySelector(%q), r = field.getBoundingClientRect();
			const [left, width, bottom, height] = field.dataset.box.split(" ").map(Number);
			return [r.x + r.width * (left + width * %g) / 100, r.y + r.height * (bottom - height * %g) / 100];
		})()`, selector+".js-field", p[0], p[1]))
	}
	send := func(kind input.DispatchMouseEventType, p []float64) {
		if _, err := chromedp.Call(b.ctx, input.DispatchMouseEvent, input.DispatchMouseEventParams{
			Type: kind, X: p[0], Y: p[1], Button: "left", Buttons: 1, ClickCount: 1,
		}); err != nil {
			b.t.Fatal(err)
		}
	}
	first := at(places[0])
	send("mouseMoved", first)
	send("mousePressed", first)
	for _, p := range places[1:] {
		send("mouseMoved", at(p))
	}
	send("mouseReleased", at(places[len(places)-1]))
}

func (b *tab) drawn(selector string) string {
	b.t.Helper()
	return eval[string](b, fmt.Sprintf("[...document.querySelectorAll(%q)].map((i) => i.value).join(' ')", selector+"input[data-share]"))
}

// The twist of the quill at its thick end is 0.693 deg (lessons/guess has it by hand); a
// straight line to 0.7 deg is right at both ends.
func TestASketchByPointer(t *testing.T) {
	t.Parallel()
	s := serveSketches(t)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/sketch")
	b.sketchesReady()
	if given := eval[bool](b, "/0\\.69|<path/.test(document.querySelector('main').innerHTML)"); given {
		t.Error("the page holds the curve that is to be drawn")
	}
	b.stroke(twistSketch, [2]float64{0, 0}, [2]float64{0.5, 0.175}, [2]float64{1, 0.35})
	if got := b.drawn(twistSketch); got != "0 0.1 0.2 0.25 0.35 0.45 0.5 0.6 0.7" {
		t.Errorf("drawn: %s", got)
	}
	b.look("sketch-drawn")
	b.do(chromedp.Click(chromedp.CSS(twistSketch + "button.main")))
	b.until("document.querySelector('" + twistSketch + ".js-said .picture svg')")
	if got := b.words(twistSketch + "dl"); !strings.HasPrefix(got, "Your guess a curve that rises from 0° to 0.7° in a straight line Yours rises in a straight line; the curve rises, most at its start.") ||
		!strings.Contains(got, "Yours is right at both ends.") || !strings.HasSuffix(got, "The lesson gives a curve that rises from 0° to 0.693°, most at its start") {
		t.Errorf("after the sketch the page says %q", got)
	}
	if got := eval[string](b, "document.querySelector('"+twistSketch+".at-wide svg').textContent"); !strings.Contains(got, "your sketch") || !strings.Contains(got, "the lesson") {
		t.Errorf("the figure says %q", got)
	}
	b.look("sketch-compared")

	// A jump is drawn at a station, by the points just before and just after it. The
	// second stroke goes over what the first one drew.
	b.stroke(torqueSketch, [2]float64{0, 0.8}, [2]float64{0.33, 0.8}, [2]float64{0.345, 0.1}, [2]float64{1, 0.1})
	b.stroke(torqueSketch, [2]float64{0, 0.8}, [2]float64{0.2, 0.8})
	if got := b.drawn(torqueSketch); got != "0.6 0.6 −0.8 −0.8 −0.8 −0.8" {
		t.Errorf("drawn: %s", got)
	}
	b.do(chromedp.Click(chromedp.CSS(torqueSketch + "button.main")))
	b.until("document.querySelector('" + torqueSketch + ".js-said') && !document.querySelector('[data-cover]')")
	if got := b.words(torqueSketch + "dl"); !strings.Contains(got, "is level at 0.75 of its largest, jumps at 400 mm to its largest below zero and is level") {
		t.Errorf("after the sketch the page says %q", got)
	}

	// Both are there on the next visit, and in a second sketch beside the first.
	b.open(s.URL() + "lesson/sketch")
	b.until("document.querySelectorAll('.guess-block .picture').length === 2")
	b.do(chromedp.Click(chromedp.CSS(twistSketch + ".guess-again a")))
	b.until("document.querySelectorAll('" + twistSketch + "[role=slider]').length === 9")
	b.stroke(twistSketch, [2]float64{0, 0.3}, [2]float64{1, 0.3})
	b.do(chromedp.Click(chromedp.CSS(twistSketch + "button.main")))
	b.until("document.querySelector('" + twistSketch + ".picture')?.textContent.includes('your last sketch')")
	b.clean()
}

func TestASketchByKeyboard(t *testing.T) {
	t.Parallel()
	s := serveSketches(t)
	b := newTab(t, 320, 700)
	b.open(s.URL() + "lesson/sketch")
	b.sketchesReady()
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
	barriers("before the sketch")
	said := func() string {
		return eval[string](b, "document.activeElement.getAttribute('aria-label') + ': ' + document.activeElement.getAttribute('aria-valuetext')")
	}
	b.tabTo(twistSketch + "[role=slider]")
	if got := said(); got != "θ(x), x = 0 m, in °: not drawn" {
		t.Errorf("the first point says %q", got)
	}
	b.press(kb.Home)
	b.press(kb.Tab + kb.PageDown + kb.ArrowUp + kb.ArrowUp + kb.ArrowRight + kb.ArrowDown)
	if got := said(); got != "θ(x), x = 0.1 m, in °: 0.1°" {
		t.Errorf("the second point says %q", got)
	}
	b.press(kb.Delete)
	if got := said(); got != "θ(x), x = 0.1 m, in °: not drawn" {
		t.Errorf("the second point says %q", got)
	}
	b.press(kb.Tab + kb.Tab + kb.Tab + kb.Tab + kb.Tab + kb.Tab + kb.Tab + kb.End)
	if got := b.drawn(twistSketch); got != "0        2" {
		t.Errorf("drawn: %q", got)
	}
	barriers("while it is drawn")
	b.tabTo(twistSketch + "button.main")
	b.press(kb.Enter)
	b.until("document.activeElement.closest('" + twistSketch + "')?.querySelector('.js-said') === document.activeElement")
	b.until("document.querySelector('.js-status').textContent.includes('Yours rises in a straight line; the curve rises, most at its start.')")

	// The values can be typed; what is not a value comes back as it was typed.
	b.tabTo(torqueSketch + "summary")
	b.press(kb.Enter)
	b.tabTo(torqueSketch + "input[name=y-0]")
	b.press("some" + kb.Enter)
	b.until("document.querySelector('" + torqueSketch + ".js-trouble').textContent.includes('“some” is not a number')")
	b.until("document.querySelector('" + torqueSketch + "details').open && document.activeElement.name === 'y-0'")
	b.look("sketch-not-read")
	eval[bool](b, "document.activeElement.select() || true")
	b.press("0,5" + kb.Enter)
	b.until("document.querySelector('" + torqueSketch + ".js-said') && !document.querySelector('[data-cover]')")
	barriers("after the sketches")
	if got := eval[int](b, "document.documentElement.scrollWidth"); got > 320 {
		t.Errorf("a window of 320 px scrolls sideways to %d px", got)
	}
	b.look("sketch-narrow")
	b.clean()
}

// On the board the field is empty, and the curve is a step of its own.
func TestASketchOnTheBoard(t *testing.T) {
	t.Parallel()
	s := serveSketches(t)
	b := newTab(t, 1280, 720)
	b.calm()
	b.board(s.URL() + "lesson/sketch/board")
	for _, selector := range []string{twistSketch + ".js-field", twistSketch + ".js-truth .picture"} {
		for n := 0; eval[bool](b, "document.querySelector('"+selector+"').closest('[data-ahead]') !== null"); n++ {
			if n > 60 {
				t.Fatalf("%s does not come", selector)
			}
			b.press(" ")
		}
		b.look("sketch-board-" + strings.Fields(selector)[1][1:])
	}
	b.clean()
}
