package browsertest

import (
	"testing"
	"testing/fstest"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A slider that was let go is a stop, also where its places are by ratio; what was typed
// and refused is none, and leaves the value from before although its beginning was taken.
func TestTrialsOfWhatIsLetGoAndRefused(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, fstest.MapFS{"trials.md": {Data: []byte(trialsLesson)}})
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "/lesson/trials")
	const slider = "document.querySelector('.js-slider input[type=range]')"
	const field = "document.querySelector('.js-slider input[type=number]')"
	const row = "document.querySelector('[data-kind=trials]')"
	b.until(slider + "?.disabled === false && performance.getEntriesByType('resource').some((r) => r.name.includes('trials'))")
	b.until(row + ".dataset.at === '4'")
	eval[bool](b, slider+".scrollIntoView({block: 'center'}) || true")
	at := eval[[]float64](b, "(() => { const r = document.querySelector('.js-slider .scale-line').getBoundingClientRect(); return [r.left, r.top, r.width]; })()")
	send := func(kind input.DispatchMouseEventType, share float64, held int64) {
		if _, err := chromedp.Call(b.ctx, input.DispatchMouseEvent, input.DispatchMouseEventParams{
			Type: kind, X: at[0] + share*at[2], Y: at[1], Button: input.MouseButtonLeft, Buttons: held, ClickCount: 1,
		}); err != nil {
			t.Fatal(err)
		}
	}
	send(input.DispatchMouseEventTypeMousePressed, 0.1, 1)
	send(input.DispatchMouseEventTypeMouseMoved, 0.5, 1)
	send(input.DispatchMouseEventTypeMouseMoved, 1, 1)
	b.until(row + ".dataset.at === '40' && " + row + ".querySelector('.js-add-trial')")
	send(input.DispatchMouseEventTypeMouseReleased, 1, 0)
	b.until(row + ".dataset.tried === '40' && !" + row + ".querySelector('.js-add-trial')")

	eval[bool](b, field+".focus() || "+field+".select() || true")
	b.press("9.5")
	b.press(kb.Enter)
	b.until(field + ".value === '40' && " + row + ".dataset.at === '40' && document.querySelector('.js-slider .takes')")
	b.press(kb.Tab)
	eval[bool](b, field+".focus() || "+field+".select() || true")
	b.press("8")
	b.press(kb.Enter)
	b.until(row + ".dataset.at === '8' && !" + row + ".querySelector('.js-add-trial')")
	if got := eval[string](b, row+".dataset.tried"); got != "8 40" {
		t.Errorf("tried %q, want 8 40", got)
	}
	b.clean()
}
