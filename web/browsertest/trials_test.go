package browsertest

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const trialsLesson = `---
title: Trials
order: 1
summary: A sum of segments, tried.
minutes: 5
aim: See how a sum settles.
---

## Try it

` + "```calc" + `
prefer deg
L = 0.8 m
d(x) = 36 mm + 18 mm·x/L
vary n from 1 to 40 by 1 starting at 4
h = L/n
θ_n = sum of 420 N·m·h/(79 GPa·π/32·d((i − 1/2)·h)^4) for i from 1 to n in deg
thick = sum of 420 N·m·h/(79 GPa·π/32·d(i·h)^4) for i from 1 to n in deg
thin = sum of 420 N·m·h/(79 GPa·π/32·d((i − 1)·h)^4) for i from 1 to n in deg
` + "```" + `

` + "```calc" + `
trials of θ_n between thick and thin for n
` + "```" + `

` + "```shaft quill" + `
G = 79 GPa
solid 36 mm to 54 mm for 0.8 m
hold at 0.8 m
torque −420 N·m at 0 mm
` + "```" + `

` + "```calc" + `
draw quill in n segments
table of quill in n segments
` + "```" + `
`

// The trials and the segments of a shaft, with the keyboard alone: values at which the
// reader stops are kept, a guess is made, the table survives a reload and is cleared;
// a row of the segments lights its segment.
func TestTrialsByKeyboard(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, fstest.MapFS{"trials.md": {Data: []byte(trialsLesson)}})
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "/lesson/trials")
	const slider = "document.querySelector('.js-slider input[type=range]')"
	const field = "document.querySelector('.js-slider input[type=number]')"
	const row = "document.querySelector('[data-kind=trials]')"
	tried := func() string {
		return eval[string](b, "[..."+row+".querySelectorAll('[data-part=table] tbody tr')].map((tr) => tr.cells[0].textContent).join(' ')")
	}
	count := func(n string) string { return row + ".querySelectorAll('[data-part=table] tbody tr').length === " + n }
	b.until(slider + "?.disabled === false && performance.getEntriesByType('resource').some((r) => r.name.includes('trials'))")
	b.until(row + ".dataset.at === '4'")

	// Going by with the arrow keys keeps nothing; Enter keeps where one stops.
	eval[bool](b, slider+".focus() || true")
	b.press(kb.ArrowLeft)
	b.press(kb.ArrowLeft)
	b.until(row + ".dataset.at === '2'")
	if got := tried(); got != "2" {
		t.Errorf("while the slider moves the rows are %q, want the one that it is at", got)
	}
	b.press(kb.Enter)
	b.until("!" + row + ".querySelector('.js-add-trial')")
	b.press(kb.ArrowRight)
	b.press(kb.ArrowRight)
	b.until(row + ".dataset.at === '4'")
	b.press(kb.Tab) // leaving the slider is a stop
	b.until(count("2") + " && !" + row + ".querySelector('.js-add-trial')")
	for _, n := range []string{"8", "16"} {
		eval[bool](b, field+".focus() || "+field+".select() || true")
		b.press(n)
		b.press(kb.Enter)
		b.until(row + ".dataset.at === '" + n + "' && !" + row + ".querySelector('.js-add-trial')")
	}
	if got := tried(); got != "2 4 8 16" {
		t.Fatalf("tried %q, want 2 4 8 16", got)
	}
	b.until(row + ".querySelector('.trial-notes')?.textContent.includes('an estimate by least squares through 3 points') && " + row + ".querySelector('figure')")

	// A guess, and what became of it.
	eval[bool](b, row+".querySelector('.js-guess-trial input').focus() || true")
	b.press("0.69")
	b.press(kb.Enter)
	b.until(row + ".querySelector('.trial-guess').textContent.includes('Your guess for n = 32: 0.69')")
	eval[bool](b, field+".focus() || "+field+".select() || true")
	b.press("32")
	b.press(kb.Enter)
	b.until(count("5") + " && " + row + ".textContent.includes('guess off by')")

	// Kept as the reader's other changes are.
	b.open(s.URL() + "/lesson/trials")
	b.until(row + "?.querySelectorAll('[data-part=table] tbody tr').length === 5")
	b.until(slider + "?.disabled === false && performance.getEntriesByType('resource').some((r) => r.name.includes('trials'))")

	// The segments: the first row, and the one below it.
	eval[bool](b, "document.querySelector('.js-segments tbody tr').focus() || true")
	b.until("document.querySelector('.js-segments tbody tr.lit') && document.querySelectorAll('.fig-cuts rect.lit').length === 2")
	first := eval[string](b, "document.querySelector('.fig-cuts rect.lit').getAttribute('x')")
	b.press(kb.ArrowDown)
	b.until("document.activeElement.matches('tr:nth-child(2).lit') && document.querySelector('.fig-cuts rect.lit').getAttribute('x') !== '" + first + "'")
	b.press(kb.End)
	b.until("document.activeElement.matches('tr:nth-child(32).lit')")

	// Pointing at a segment marks its row.
	eval[bool](b, `(() => {
		const cuts = document.querySelector('.fig-cuts');
		const [left, right] = cuts.dataset.cuts.split(';')[3].split(' ').map(Number);
		const at = new DOMPoint((left + right) / 2, Number(cuts.dataset.axis)).matrixTransform(cuts.ownerSVGElement.getScreenCTM());
		cuts.ownerSVGElement.dispatchEvent(new PointerEvent('pointermove', { bubbles: true, clientX: at.x, clientY: at.y }));
		return true;
	})()`)
	b.until("document.querySelector('.js-segments tr:nth-child(4).lit')")

	for _, look := range []struct {
		scheme string
		width  int64
	}{{"light", 1280}, {"dark", 1280}, {"light", 320}} {
		b.scheme(look.scheme)
		b.do(chromedp.EmulateViewport(look.width, 800))
		for _, found := range b.barriers() {
			t.Errorf("%s, %d px: %s", look.scheme, look.width, found)
		}
	}
	if wide := eval[int](b, "document.documentElement.scrollWidth"); wide > 320 {
		t.Errorf("at 320 px the page is %d px wide", wide)
	}
	b.do(chromedp.EmulateViewport(1280, 900))

	eval[bool](b, row+".querySelector('.js-clear-trials').focus() || true")
	b.press(kb.Enter)
	b.until(count("1") + " && !" + row + ".querySelector('.js-clear-trials')")
	if got := eval[string](b, "document.querySelector('[data-cell=calc-2] textarea').value"); strings.TrimSpace(got) != "trials of θ_n between thick and thin for n" {
		t.Errorf("the text is %q after clearing", got)
	}
	b.clean()
}
