package browsertest

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// papers are A4 and Letter, in inches.
var papers = []struct {
	name          string
	width, height float64
}{{"A4", 8.27, 11.69}, {"Letter", 8.5, 11}}

// A lesson on paper looks like a chapter: each page has its number, the running title
// from the second on, and the caution; no heading ends a page.
func TestLessonOnPaper(t *testing.T) {
	t.Parallel()
	s := serveBuiltIn(t)
	b := newTab(t, 1280, 800)
	for _, slug := range []string{"taper-in-segments", "stepped-shaft", "spread-torque"} {
		b.open(s.URL() + "lesson/" + slug)
		b.until("document.fonts.status === 'loaded' && !document.querySelector('.js-slider input:disabled')")
		title := eval[string](b, "document.querySelector('h1').textContent")
		headings := eval[[]string](b, "[...document.querySelectorAll('main :is(h2, h3)')].map((h) => h.textContent.trim())")
		for _, paper := range papers {
			t.Run(slug+" on "+paper.name, func(t *testing.T) {
				pages := b.printed(paper.width, paper.height)
				for i, text := range pages {
					lines := linesOf(text)
					if first := lines[0]; !strings.HasSuffix(first, fmt.Sprint(i+1)) || i > 0 && !strings.HasPrefix(first, title) {
						t.Errorf("page %d begins with %q", i+1, first)
					}
					foot := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "For learning only.") })
					if foot < 2 || foot < len(lines)-3 {
						t.Errorf("page %d does not end with the caution", i+1)
						continue
					}
					if last := lines[foot-1]; slices.Contains(headings, last) {
						t.Errorf("page %d ends with the heading %q", i+1, last)
					}
				}
				if n := strings.Count(strings.Join(pages, ""), "For learning only."); n != len(pages) {
					t.Errorf("%d pages have the caution %d times", len(pages), n)
				}
			})
		}
	}
	b.clean()
}

// linesOf returns the lines of a page that are not empty, without the blanks around.
func linesOf(text string) (lines []string) {
	for _, l := range strings.Split(text, "\n") {
		if l = strings.TrimSpace(l); l != "" {
			lines = append(lines, l)
		}
	}
	return lines
}

// On paper a line of text has about 65 characters (Bringhurst, The Elements of
// Typographic Style, 2.1.2: 45 to 75 are satisfactory, 66 is ideal; from memory), the
// working is beside its formula, a figure's lettering has 0.75 to 1.0 of the size of the
// text, and a slider is its value.
func TestMeasureOnPaper(t *testing.T) {
	t.Parallel()
	s := serveBuiltIn(t)
	b := newTab(t, 640, 900) // the width of A4 without its margins
	b.open(s.URL() + "lesson/taper-in-segments")
	b.until("document.fonts.status === 'loaded' && !document.querySelector('.js-slider input:disabled')")
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
		t.Fatal(err)
	}
	per := eval[[]float64](b, `[...document.querySelectorAll(".passage-text > p")].filter((p) => !p.querySelector("math")).map((p) => {
		return [p.textContent.length, p.getBoundingClientRect().height / parseFloat(getComputedStyle(p).lineHeight)];
	}).filter(([, lines]) => lines > 2.5).map(([length, lines]) => length / (Math.round(lines) - 0.4))`)
	if len(per) == 0 {
		t.Fatal("no paragraph was measured")
	}
	for _, n := range per {
		if n < 55 || n > 75 {
			t.Errorf("a paragraph has %.0f characters in a line", n)
		}
	}
	if ratios := eval[[]float64](b, `[...document.querySelectorAll(".picture svg")].filter((e) => e.checkVisibility()).map((e) =>
		e.getAttribute("font-size") * e.getBoundingClientRect().width / e.viewBox.baseVal.width / parseFloat(getComputedStyle(document.body).fontSize))`); len(ratios) == 0 || slices.Min(ratios) < 0.75 || slices.Max(ratios) > 1 {
		t.Errorf("lettering has %.2f of the size of the text", ratios)
	}
	if apart := eval[[]string](b, `[...document.querySelectorAll(".row:not(.wide)")].filter((row) => {
		const f = row.querySelector(".formula").getBoundingClientRect(), chain = row.querySelector(".chain");
		if (!chain) return false;
		const c = chain.getBoundingClientRect();
		return c.left < f.right || c.top > f.bottom;
	}).map((row) => row.id)`); len(apart) > 0 {
		t.Errorf("the working is not beside its formula: %q", apart)
	}
	if got := eval[string](b, `[...document.querySelectorAll('.row[data-kind="vary"] input')].filter((e) => e.checkVisibility()).map((e) => e.type + " " + e.value).join()`); got != "number 4" {
		t.Errorf("of the slider paper shows %q", got)
	}
}
