package browsertest

import (
	"fmt"
	"io/fs"
	"math"
	"testing"
	"testing/fstest"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// sliderLesson has two sliders, far above what they move.
var sliderLesson = fs.FS(fstest.MapFS{"sliders.md": {Data: []byte("---\ntitle: Sliders\nsummary: Sliders far above what they move.\norder: 1\nminutes: 5\naim: Move them.\n---\n\n" + caution + `
## Data

` + "```calc" + `
vary n from 1 to 40 by 1 starting at 4
vary m from 1 to 40 by 1 starting at 4 typed up to 1000
vary w from 20 mm to 60 mm starting at 40 mm
` + "```" + `

## Far below

` + filler + `

` + "```calc" + `
y = 10·n
z = m
low = n − 1
high = n + 1
u = w·n
x = n
expect x between low and high
plot n·k for k from 0 to 9
` + "```" + `

## End

` + filler)}})

const caution = "For learning only.\n"

var filler = func() string {
	text := ""
	for i := range 30 {
		text += fmt.Sprintf("Paragraph %d stands here so that the page is longer than any window, and says nothing else.\n\n", i)
	}
	return text
}()

// row is where the value of a statement of the first cell stands.
const agreeScript = `(() => {
	const row = document.querySelector("#calc-1-%d");
	const number = row.querySelector("input[type=number]"), range = row.querySelector("input[type=range]");
	const words = row.querySelector(".takes")?.textContent ?? "";
	return [number.value, range.dataset.at, row.querySelector(".scale-value").textContent, words];
})()`

// agree waits until the field, the slider and its thumb have a value, and the words at
// the field are as given.
func (b *tab) agree(row int, value, words string) {
	b.t.Helper()
	b.until(fmt.Sprintf(`JSON.stringify(%s) === JSON.stringify([%q, %q, %q, %q])`, fmt.Sprintf(agreeScript, row), value, value, value, words))
}

// field puts the caret into the field of a slider, with its text selected.
func (b *tab) field(row int) {
	b.t.Helper()
	b.do(chromedp.Focus(chromedp.CSS(fmt.Sprintf("#calc-1-%d input[type=number]", row))))
	b.until(fmt.Sprintf("(document.querySelector('#calc-1-%d input[type=number]').select(), true)", row))
}

func (b *tab) ready() {
	b.t.Helper()
	b.until("document.querySelector('#calc-1-1 input[type=range]')?.disabled === false && document.querySelector('.hand-bar')")
}

// What is typed into the field of a slider is in force, or the page says beside it what
// can be: the field never shows one value and the slider and the results another without
// a word.
func TestTypedValues(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, sliderLesson)
	b := newTab(t, 1280, 720)
	b.open(s.URL() + "lesson/sliders")
	b.ready()
	y := func(want string) {
		t.Helper()
		b.until(fmt.Sprintf("document.querySelector('#calc-2-1').dataset.value === %q", want))
	}
	// watched is false once a state was seen in which they differ without a word.
	b.until(`(window.silent = [], new MutationObserver(() => {}), setInterval(() => {
		for (const row of document.querySelectorAll("#calc-1 .row")) {
			const number = row.querySelector("input[type=number]"), range = row.querySelector("input[type=range]");
			if (number.value !== range.dataset.at && !row.querySelector(".takes")) silent.push(number.value + " " + range.dataset.at);
		}
	}, 5), true)`)

	b.field(1)
	b.press("7")
	b.agree(1, "7", "")
	y("70")
	b.field(1)
	b.press("60") // 6 on the way, which gives way to what was there before
	b.until("document.querySelector('#calc-1-1 .takes')?.textContent === '1 to 40'")
	if got := eval[[]string](b, fmt.Sprintf(agreeScript, 1)); got[0] != "60" || got[1] != "7" || got[2] != "7" {
		t.Errorf("with 60 typed: %q", got)
	}
	if got := eval[string](b, "[document.activeElement.getAttribute('aria-invalid'), document.getElementById(document.activeElement.getAttribute('aria-describedby')).textContent].join()"); got != "true,1 to 40" {
		t.Errorf("for the ear: %s", got)
	}
	y("70")
	b.until("document.querySelector('.js-status').textContent === 'n: 1 to 40'")
	for _, found := range b.barriers() {
		t.Error(found)
	}
	b.press(kb.Enter)
	b.agree(1, "7", "1 to 40")
	b.press(kb.ArrowUp)
	b.agree(1, "8", "")
	y("80")

	// Escape puts it back; so does leaving the field, and nothing at all is no value.
	b.field(1)
	b.press("99")
	b.until("document.querySelector('#calc-1-1 .takes')")
	b.press(kb.Escape)
	b.agree(1, "8", "")
	b.field(1)
	b.press(kb.Backspace)
	b.until("document.querySelector('#calc-1-1 .takes')?.textContent === '1 to 40'")
	b.press(kb.Tab)
	b.agree(1, "8", "1 to 40")
	y("80")
	b.field(1)
	b.press("2.5")
	b.until("document.querySelector('#calc-1-1 .takes')?.textContent === '1 to 40, whole numbers'")
	b.press(kb.Tab)
	b.agree(1, "8", "1 to 40, whole numbers")
	b.field(1)
	b.press("e")
	b.until("document.querySelector('#calc-1-1 .takes')?.textContent === '1 to 40'")
	b.press(kb.Enter)
	b.agree(1, "8", "1 to 40")

	// The wheel over the field with the caret steps it.
	b.field(1)
	at := eval[[]float64](b, "(() => { const r = document.activeElement.getBoundingClientRect(); return [r.left + 9, r.top + r.height / 2]; })()")
	if _, err := chromedp.Call(b.ctx, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: input.DispatchMouseEventTypeMouseWheel, X: at[0], Y: at[1], DeltaX: 1e-6, DeltaY: -100}); err != nil {
		t.Fatal(err)
	}
	b.until(`(() => {
		const [field, at, thumb, words] = ` + fmt.Sprintf(agreeScript, 1) + `;
		return field === at && at === thumb && words === "";
	})()`)

	// Where the line allows it the value lies beyond the slider, which rests at its end.
	b.field(2)
	b.press("200")
	b.agree(2, "200", "")
	b.until("document.querySelector('#calc-2-2').dataset.value === '200'")
	if got := eval[string](b, "(() => { const r = document.querySelector('#calc-1-2 input[type=range]'); return [r.value, r.getAttribute('aria-valuetext'), document.querySelector('#calc-1-2 .scale-thumb').style.getPropertyValue('--at')].join(); })()"); got != "40,200,1.0000" {
		t.Errorf("beyond its end the slider has %s", got)
	}
	b.field(2)
	b.press("1001")
	b.until("document.querySelector('#calc-1-2 .takes')?.textContent === '1 to 1000, the slider to 40'")
	b.press(kb.Enter)
	b.agree(2, "200", "1 to 1000, the slider to 40")
	b.do(chromedp.Focus(chromedp.CSS("#calc-1-2 input[type=range]")))
	b.press(kb.ArrowLeft)
	b.agree(2, "39", "")

	// Without a step of its own, also what lies between two places.
	b.field(3)
	b.press("40.1234")
	b.agree(3, "40.1234", "")

	if got := eval[[]string](b, "silent"); len(got) > 0 {
		t.Errorf("field and slider differed without a word: %q", got)
	}
	b.clean()
}

// A value that is typed while the line is down is there when it is back, in every place.
func TestTypedValuesOverABrokenLine(t *testing.T) {
	t.Parallel()
	first := serveFiles(t, 0, sliderLesson)
	port := portOf(t, first)
	b := newTab(t, 360, 700)
	b.open(first.URL() + "lesson/sliders")
	b.ready()
	stop(first)
	b.until("!document.querySelector('.js-offline').hidden")
	b.field(1)
	b.press("9")
	b.agree(1, "9", "")
	b.do(chromedp.Focus(chromedp.CSS("#calc-1-2 input[type=range]")))
	b.press(kb.ArrowRight)
	b.press(kb.ArrowRight)
	b.agree(2, "6", "")
	b.field(1)
	b.press("60")
	serveFiles(t, port, sliderLesson)
	b.until("document.querySelector('.js-offline').hidden")
	b.until("document.querySelector('#calc-2-1').dataset.value === '90' && document.querySelector('#calc-2-2').dataset.value === '6'")
	b.until("document.querySelector('#calc-1-1 .takes')?.textContent === '1 to 40' && document.querySelector('#calc-1-1 input[type=number]').value === '60'")
	b.press(kb.Escape)
	b.agree(1, "9", "")
	b.agree(2, "6", "")
	b.clean()
}

const bar = "document.querySelector('.hand-bar')"

// dockedNames are the sliders at the foot of the window, in their order.
const dockedNames = "[..." + bar + ".querySelectorAll('.docked')].filter((e) => e.checkVisibility()).map((e) => e.querySelector('input').getAttribute('aria-label')).join(' ')"

// On a narrow window the sliders that move what is in view stand at its foot while their
// own places are out of view; the last used comes first.
func TestSlidersDock(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, sliderLesson)
	for _, width := range []int64{320, 1000} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			t.Parallel()
			b := newTab(t, width, 620) // a window of 640 has room for three
			b.open(s.URL() + "lesson/sliders")
			b.ready()
			at := func(selector string) {
				t.Helper()
				b.until(fmt.Sprintf("(document.querySelector(%q).scrollIntoView({block: 'start', behavior: 'instant'}), true)", selector))
			}
			at("#calc-1")
			b.until(bar + ".hidden")
			at("#far-below")
			b.until(bar + ".hidden") // only text is in view
			at("#calc-2-1")
			b.until(dockedNames + " === 'n m'")
			b.press(kb.F8)
			b.until(bar + ".contains(document.activeElement)")
			const place = "document.querySelector('#calc-2-1').getBoundingClientRect().top"
			y := eval[float64](b, place)
			b.press(kb.ArrowRight)
			b.agree(1, "5", "")
			b.until("document.querySelector('#calc-2-1').dataset.value === '50' && " + bar + ".querySelector('output').textContent === '5'")
			// The other one is used: it does not leave the place where it is held, and is first
			// when it is let go.
			b.press(kb.Tab)
			b.press(kb.ArrowRight)
			b.agree(2, "5", "")
			b.until(dockedNames + " === 'n m' && document.activeElement.getAttribute('aria-label') === 'm'")
			b.until("(document.activeElement.blur(), true)")
			b.until(dockedNames + " === 'm n'")
			if now := eval[float64](b, place); math.Abs(now-y) > 1 {
				t.Errorf("the page moved from %g to %g", y, now)
			}
			for _, found := range b.barriers() {
				t.Error(found)
			}
			if wide := eval[float64](b, "document.documentElement.scrollWidth - innerWidth"); wide > 0 {
				t.Errorf("the page is %g pixels wider than the window", wide)
			}
			at("#end")
			b.until(bar + ".hidden")
			b.clean()
		})
	}
}

// One key leads to the slider that moves what is in view, and back to where the reader
// was, also out of a text; nothing that has the focus is behind the docked sliders.
func TestTheWayToTheSliderAndBack(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, sliderLesson)
	b := newTab(t, 1280, 720)
	b.open(s.URL() + "lesson/sliders")
	b.ready()
	b.do(chromedp.Click(chromedp.CSS("#calc-2 .js-text > summary")))
	b.until("document.activeElement.matches('#calc-2 textarea')")
	b.press(kb.Home)
	caret := eval[float64](b, "document.activeElement.selectionStart")
	b.press(kb.F8)
	b.until("document.activeElement.closest('.js-hand') && document.activeElement.type === 'range'")
	b.press(kb.ArrowRight)
	b.until("document.querySelector('#calc-2-1').dataset.value === '50'")
	b.press(kb.F8)
	b.until("document.activeElement.matches('#calc-2 textarea')")
	if got := eval[float64](b, "document.activeElement.selectionStart"); got != caret {
		t.Errorf("the caret was at %g and is at %g", caret, got)
	}
	b.press(kb.Escape)

	// On a narrow window each place that Tab reaches is above the docked sliders.
	b.do(chromedp.EmulateViewport(700, 640))
	b.until("(document.querySelector('#calc-2-1').scrollIntoView({block: 'start', behavior: 'instant'}), true)")
	b.until("!" + bar + ".hidden")
	b.until("(document.activeElement.blur(), document.querySelector('#calc-2 .js-text > summary').focus(), true)")
	for range 12 {
		b.until(`(() => {
			const bar = ` + bar + `, at = document.activeElement;
			if (bar.hidden || bar.contains(at) || at === document.body) return true;
			const { top, bottom, height } = at.getBoundingClientRect(), foot = bar.getBoundingClientRect().top;
			return bottom <= foot || height > foot / 2 && top < foot / 2; // what is larger than the room has its head in view
		})()`)
		b.shiftTab()
	}
	b.clean()
}
