package browsertest

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

var shots = flag.String("shots", "", "folder to write pictures of the pages to, for looking at")

// TestShots makes pictures of pages for a person to look at; without -shots it
// has nothing to do.
func TestShots(t *testing.T) {
	if *shots == "" {
		t.Skip("pictures are made with -shots DIR")
	}
	s := serve(t, 0)
	for _, c := range []struct {
		name          string
		width, height int64
		scheme, path  string
	}{
		{"shelf-light", 1280, 800, "light", ""},
		{"lesson-light", 1280, 800, "light", "lesson/quill"},
		{"lesson-dark", 1280, 800, "dark", "lesson/quill"},
		{"lesson-narrow", 360, 740, "light", "lesson/quill"},
		{"lesson-narrow-dark", 320, 740, "dark", "lesson/quill"},
	} {
		b := newTab(t, c.width, c.height)
		b.scheme(c.scheme)
		b.open(s.URL() + c.path)
		b.until("document.fonts.status === 'loaded'")
		if c.path != "" {
			eval[bool](b, "(document.querySelector('#calc-2 .steps').open = true)")
			eval[bool](b, "(document.querySelector('#calc-2-3 .steps').open = true)")
			b.until("document.querySelector('#calc-3 .formula').click() || true")
		}
		picture, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
		if err != nil {
			t.Fatal(err)
		}
		write(t, c.name+".png", picture)
		b.clean()
	}
	b := newTab(t, 1280, 800)
	b.open(s.URL() + "lesson/quill")
	b.until("document.fonts.status === 'loaded'")
	printed, err := chromedp.Call(b.ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
	if err != nil {
		t.Fatal(err)
	}
	write(t, "lesson-print.pdf", printed.Data)
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
