package browsertest

import (
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"shaftbook/lessons/text"
)

var shots = flag.String("shots", "", "folder to write pictures of the pages to, for looking at")

// TestShots makes pictures of pages for a person to look at, and those of the
// README (lesson.png and shelf.png); without -shots it has nothing to do.
func TestShots(t *testing.T) {
	if *shots == "" {
		t.Skip("pictures are made with -shots DIR")
	}
	s := serveFiles(t, 0, text.Files)
	const lesson = "lesson/taper-in-segments"
	for _, c := range []struct {
		name          string
		width, height int64
		scheme, path  string
		window        bool // only what the window shows, after look
		look          string
	}{
		{"shelf", 1280, 900, "light", "", true, "true"},
		{"lesson", 1280, 940, "light", lesson, true, "document.querySelector('#cutting ~ p:nth-of-type(4)')?.scrollIntoView() || document.querySelector('[data-kind=vary]').closest('.cell').previousElementSibling.scrollIntoView()"},
		{"page-shelf-dark", 1280, 800, "dark", "", false, "true"},
		{"page-shelf-narrow", 360, 740, "light", "", false, "true"},
		{"page-found", 1280, 800, "light", "?q=taper", false, "true"},
		{"page-none", 1280, 800, "light", "lesson/none", false, "true"},
		{"page-keys", 1280, 800, "light", lesson, true, "document.querySelector('.js-keys-open').click()"},
		{"page-lesson", 1280, 800, "light", lesson, false, "true"},
		{"page-lesson-dark", 1280, 800, "dark", lesson, false, "true"},
		{"page-lesson-narrow", 360, 740, "light", lesson, false, "document.querySelectorAll('.steps').forEach((d) => d.open = true)"},
		{"page-editing", 1000, 800, "light", lesson, false, "document.querySelectorAll('.js-take, .lesson-tools details').forEach((d) => d.open = true); document.querySelector('.formula').click()"},
		{"page-first", 1000, 800, "light", lesson + "#first", true, "document.documentElement.classList.add('first')"},
	} {
		b := newTab(t, c.width, c.height)
		b.scheme(c.scheme)
		b.open(s.URL() + c.path)
		b.until("document.fonts.status === 'loaded' && !document.querySelector('.js-slider input:disabled')")
		eval[bool](b, "document.documentElement.classList.remove('first'); "+c.look+"; true")
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
	b := newTab(t, 1280, 800)
	b.open(s.URL() + lesson)
	b.until("document.fonts.status === 'loaded'")
	printed, err := chromedp.Call(b.ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
	if err != nil {
		t.Fatal(err)
	}
	write(t, "page-print.pdf", printed.Data)
}

func write(t *testing.T, name string, body []byte) {
	t.Helper()
	if err := os.MkdirAll(*shots, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(*shots, name), body, 0o644); err != nil {
		t.Fatal(err)
	}
}
