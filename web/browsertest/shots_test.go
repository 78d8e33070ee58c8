package browsertest

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"shaftbook/lessons/text"
)

var (
	shots = flag.String("shots", "", "folder to write pictures of the pages to, for looking at")
	shot  = flag.String("shot", "", "names of the pictures to make, as a regular expression")
)

// TestShots makes pictures of pages for a person to look at, and those of the
// README (lesson.png); without -shots it has nothing to do.
func TestShots(t *testing.T) {
	if *shots == "" {
		t.Skip("pictures are made with -shots DIR")
	}
	s := serveFiles(t, 0, text.Files)
	const lesson = "lesson/taper-in-segments"
	only := regexp.MustCompile(*shot)
	for _, c := range []struct {
		name          string
		width, height int64
		scheme, path  string
		window        bool // only what the window shows, after look
		look          string
	}{
		{"shelf", 1280, 900, "light", "", true, "true"},
		{"lesson", 1280, 1240, "light", lesson, true, bracketed},
		{"page-shelf-dark", 1280, 800, "dark", "", false, "true"},
		{"page-shelf-narrow", 360, 740, "light", "", false, "true"},
		{"page-found", 1280, 800, "light", "?q=taper", false, "true"},
		{"page-none", 1280, 800, "light", "lesson/none", false, "true"},
		{"page-keys", 1280, 800, "light", lesson, true, "document.querySelector('.js-keys-open').click()"},
		{"page-lesson", 1280, 800, "light", lesson, false, "true"},
		{"page-lesson-dark", 1280, 800, "dark", lesson, false, "true"},
		{"page-lesson-narrow", 360, 740, "light", lesson, false, "document.querySelectorAll('.steps').forEach((d) => d.open = true)"},
		{"page-editing", 1000, 800, "light", lesson, false, "document.querySelectorAll('.js-take, .lesson-tools details').forEach((d) => d.open = true), document.querySelector('.row .formula').click()"},
		{"page-first", 1000, 800, "light", lesson + "#first", true, "document.documentElement.classList.add('first')"},
		{"board", 1024, 768, "light", lesson + "/board#step-20", true, "true"},
		{"board-figure", 1024, 768, "light", lesson + "/board#calc-5-1", true, "true"},
		{"board-tall", 1024, 768, "light", "lesson/stepped-shaft/board#calc-2-1", true, "document.querySelector('.js-point').click()"},
		{"board-formula", 1024, 768, "light", "lesson/stepped-shaft/board#calc-6-1", true, "true"},
		{"board-derivation", 1920, 1080, "light", "lesson/spread-torque/board#derive-1-5", true, "true"},
		{"board-dark", 1920, 1080, "dark", lesson + "/board#calc-8-1", true, "document.querySelector('.js-point').click()"},
		{"board-narrow", 320, 640, "light", lesson + "/board#calc-5-1", true, "true"},
	} {
		if !only.MatchString(c.name) {
			continue
		}
		b := newTab(t, c.width, c.height)
		b.scheme(c.scheme)
		b.open(s.URL() + c.path)
		b.until("document.fonts.status === 'loaded' && !document.querySelector('.js-slider input:disabled')")
		eval[bool](b, "document.documentElement.classList.remove('first'), Promise.resolve("+c.look+").then(() => true)")
		shoot := chromedp.FullScreenshot(100)
		if c.window {
			shoot = chromedp.CaptureScreenshot()
		}
		time.Sleep(200 * time.Millisecond) // what was opened is drawn
		picture, err := chromedp.Run(b.ctx, shoot)
		if err != nil {
			t.Fatal(err)
		}
		write(t, c.name+".png", picture)
		b.clean()
	}
	for _, c := range []struct {
		name, scheme string
		width        int64
	}{{"states", "light", 1280}, {"states-dark", "dark", 1280}, {"states-narrow", "light", 360}, {"states-narrow-dark", "dark", 360}} {
		if !only.MatchString(c.name) {
			continue
		}
		b := openStates(t, c.scheme, c.width)
		picture, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
		if err != nil {
			t.Fatal(err)
		}
		write(t, c.name+".png", picture)
	}
	b := newTab(t, 1280, 800)
	b.open(s.URL() + lesson)
	b.until("document.fonts.status === 'loaded'")
	printed, err := chromedp.Call(b.ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
	if err != nil {
		t.Fatal(err)
	}
	write(t, "page-print.pdf", printed.Data)
}

// bracketed does what a reader may do: writes a check under the slider's
// cell, moves the slider, and scrolls to it.
const bracketed = `(async () => {
	const slider = document.querySelector(".js-slider input"), cell = slider.closest(".cell");
	cell.querySelector(".js-text").open = true;
	const area = cell.querySelector("textarea");
	while (area.readOnly) await new Promise((r) => setTimeout(r, 50));
	area.focus();
	area.setSelectionRange(1e9, 1e9);
	document.execCommand("insertText", false, "\nexpect θ_n between θ_stiff and θ_soft");
	while (!cell.querySelector(".holds")) await new Promise((r) => setTimeout(r, 50));
	cell.querySelector(".js-text").open = false;
	slider.value = 6;
	slider.dispatchEvent(new Event("input"));
	document.activeElement.blur();
	await new Promise((r) => setTimeout(r, 1000)); // the figure follows
	cell.previousElementSibling.scrollIntoView();
	scrollBy(0, -20);
})()`

func write(t testing.TB, name string, body []byte) {
	t.Helper()
	if err := os.MkdirAll(*shots, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(*shots, name), body, 0o644); err != nil {
		t.Fatal(err)
	}
}
