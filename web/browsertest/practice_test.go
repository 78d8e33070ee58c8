package browsertest

import (
	"testing"
	"testing/fstest"

	"github.com/chromedp/chromedp"

	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

// practised has one exercise with a written solution; θ = 32·T·L/(π·G·d⁴).
const practised = "---\ntitle: The quill\norder: 1\nsummary: One quill.\nminutes: 5\n---\n\n## Set\n\n```exercise quill\ntitle: The quill\n" +
	"given: {T: {from: 300 N·m, to: 400 N·m, by: 20 N·m}, L: 0.8 m, d: 40 mm, G: 79 GPa}\nask: {name: twist, text: The twist, answer: T·L/(G·π/32·d^4), unit: deg, symbol: θ, solution: [J = π/32·d^4 because it is round, θ = T·L/(G·J) in deg because it is uniform]}\n```\n"

// TestPractiseThenSolve practises first, then answers wrongly three times and reads the
// worked solution with its slip at the line where it was made.
func TestPractiseThenSolve(t *testing.T) {
	t.Parallel()
	shelf := shelfOf(t, fstest.MapFS{"quill.md": {Data: []byte(practised)}})
	desk, err := attempt.NewService(t.Context(), storeIn(t, t.TempDir()), "test")
	if err != nil {
		t.Fatal(err)
	}
	s := &web.Server{Catalog: shelf, Attempts: desk}
	t.Cleanup(func() { stop(s) })
	open(t, s, 0)
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "lesson/quill")
	const torque = `parseFloat(/T=([\d.]+)/.exec(document.querySelector("#exercise-quill .given").textContent)[1])`
	marked := eval[float64](b, torque)

	b.do(chromedp.Click(chromedp.CSS(".practise-first a")))
	b.until("document.querySelector('.part.readings')")
	if got := eval[float64](b, torque); got == marked {
		t.Errorf("practice has the marked torque, %g N·m", got)
	}
	for _, width := range []int64{320, 1280} {
		b.do(chromedp.EmulateViewport(width, 900))
		for _, found := range b.barriers() {
			t.Errorf("practice at %d px: %s", width, found)
		}
	}
	b.do(chromedp.Click(chromedp.CSS("button[name=solution]")))
	b.until("document.querySelector('.worked[open] li')")
	if !b.isTrue("document.documentElement.scrollWidth <= innerWidth") {
		t.Error("the worked solution is wider than the window")
	}

	b.open(s.URL() + "lesson/quill")
	for i, factor := range []string{"16", "1.3", "0.7"} {
		b.until("document.querySelector('#exercise-quill-twist .palette')")
		b.do(chromedp.Click(chromedp.CSS("#exercise-quill-twist-answer")))
		eval[bool](b, "document.activeElement.select() || true")
		b.press(eval[string](b, "("+factor+"*32*"+torque+"*0.8/(Math.PI*79e9*0.04**4)*180/Math.PI).toPrecision(6) + ' deg'"))
		b.press("\r")
		want := []string{"2 of 3 tries left", "Last of 3 tries", "No tries left"}[i]
		b.until("document.querySelector('#exercise-quill-twist .tries').textContent.includes('" + want + "')")
		if has := b.isTrue("!!document.querySelector('.worked')"); has != (i == 2) {
			t.Errorf("after try %d the solution is shown: %t", i+1, has)
		}
	}
	for what, js := range map[string]string{
		"the slip at the first line": "document.querySelectorAll('.worked li')[0].textContent.includes('d = 20 mm in place of 40 mm')",
		"none at the second":         "!document.querySelectorAll('.worked li')[1].querySelector('.worked-slip')",
		"the reason":                 "document.querySelector('.worked').textContent.includes('it is round')",
	} {
		if !b.isTrue(js) {
			t.Errorf("the solution lacks %s", what)
		}
	}
	for _, width := range []int64{320, 1280} {
		b.do(chromedp.EmulateViewport(width, 900))
		for _, found := range b.barriers() {
			t.Errorf("solution at %d px: %s", width, found)
		}
	}
}
