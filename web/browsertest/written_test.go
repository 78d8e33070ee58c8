package browsertest

import (
	"testing"
	"testing/fstest"
)

const writtenLesson = `---
title: Written
order: 1
summary: A bar, and sentences about it.
minutes: 5
aim: See what a sentence speaks of.
---

## The bar

` + "```calc" + `
L = 2 m
vary T from −200 N·m to 200 N·m by 1 N·m starting at 60 N·m
vary d from 20 mm to 60 mm by 1 mm starting at 40 mm
vary G from 20 GPa to 90 GPa by 1 GPa starting at 79 GPa
` + "```" + `

## With a number

It turns by 0.3462°.

` + "```calc" + `
θ = T·L/(G·π/32·d^4) in deg to 4 figures
` + "```" + `

## Without

Only a formula, $\theta^2$.

` + "```calc" + `
u = 2·θ in deg to 4 figures
` + "```" + `

## Trials

` + "```calc" + `
trials of T in N·m for T
` + "```" + `
`

const typeNumber = `((name, value) => {
	const field = document.querySelector('.js-slider[data-name="' + name + '"] input[type=number]');
	field.value = value;
	field.dispatchEvent(new Event("input", { bubbles: true }));
	field.dispatchEvent(new Event("change", { bubbles: true }));
	return true;
})`

// Where a result has changed, and the text of its section has numbers, a sentence says whose
// numbers these are; with the lesson’s own values it goes.
func TestSentencesSayWhoseNumbersTheyHave(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, fstest.MapFS{"written.md": {Data: []byte(writtenLesson)}})
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "/lesson/written")
	b.until("document.querySelector('.js-slider input[type=range]')?.disabled === false")
	const notes = "[...document.querySelectorAll('.js-written')].map((e) => e.previousElementSibling.id).join(' ')"
	if got := eval[string](b, notes); got != "" {
		t.Errorf("before anything is changed it stands behind %q", got)
	}
	eval[bool](b, typeNumber+"('d', '50')")
	b.until("document.querySelector('[data-name=u]').dataset.value === '0.2837°'")
	b.until(notes + " !== ''")
	if got := eval[string](b, notes); got != "calc-2" {
		t.Errorf("it stands behind %q, want calc-2", got)
	}
	eval[bool](b, "document.querySelector('.js-restore-all').click() || true")
	b.until(notes + " === ''")
}

// The margin has each number of a slider whole, with the sign of a negative one, and marks
// the trial that the slider is at, also one that was tried before.
func TestMarginFollowsTheSlider(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, fstest.MapFS{"written.md": {Data: []byte(writtenLesson)}})
	b := newTab(t, 1280, 900)
	b.open(s.URL() + "/lesson/written")
	b.until("document.querySelector('.js-slider input[type=range]')?.disabled === false && document.querySelector('.beside .js-hand[data-name=T] .scale-mark')")
	if got := eval[string](b, "document.querySelector('.beside .js-hand[data-name=T] .scale-mark').textContent"); got != "−200" {
		t.Errorf("the first number is %q, want −200", got)
	}
	if !b.isTrue(`[...document.querySelectorAll('.beside .scale-mark')].every((mark) => {
		const range = document.createRange();
		range.selectNodeContents(mark);
		const { left, right } = range.getBoundingClientRect(), box = mark.closest('.beside-box').getBoundingClientRect();
		return left >= box.left && right <= box.right;
	})`) {
		t.Error("a number of a slider is cut off")
	}
	const marked = "document.querySelector('.hand-trials .now')?.cells[0].textContent.trim()"
	for _, value := range []string{"10", "120", "10"} {
		eval[bool](b, typeNumber+"('T', '"+value+"')")
		b.until("document.querySelector('[data-kind=trials]').dataset.tried?.split(' ').includes('" + value + "')")
		if value != "10" {
			b.until(marked + " === '" + value + "'")
		}
	}
	b.until(marked + " === '10'")
}

// A telephone has all three sliders that move a result at its foot; a lower window two.
func TestDockHoldsThreeSliders(t *testing.T) {
	t.Parallel()
	s := serveFiles(t, 0, fstest.MapFS{"written.md": {Data: []byte(writtenLesson)}})
	for height, want := range map[int64]string{800: "3", 500: "2"} {
		b := newTab(t, 390, height)
		b.open(s.URL() + "/lesson/written")
		b.until("document.querySelector('.js-slider input[type=range]')?.disabled === false && document.querySelector('.hand-bar')")
		eval[bool](b, "document.querySelector('#calc-2').scrollIntoView() || scrollBy(0, -80) || true")
		b.until("document.querySelectorAll('.hand-bar .docked').length === " + want)
	}
}
