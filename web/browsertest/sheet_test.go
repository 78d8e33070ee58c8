package browsertest

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// printed prints the page on a paper, in inches, and returns the text of each
// of its pages (pdftotext, of poppler-utils).
func (b *tab) printed(width, height float64) []string {
	b.t.Helper()
	b.until("document.fonts.status === 'loaded'")
	r, err := chromedp.Call(b.ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: width, PaperHeight: height})
	if err != nil {
		b.t.Fatal(err)
	}
	file := filepath.Join(b.t.TempDir(), "printed.pdf")
	if err := os.WriteFile(file, r.Data, 0o600); err != nil {
		b.t.Fatal(err)
	}
	text, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		b.t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
}

var student = regexp.MustCompile(`Student \d\d`)

// On paper each student's sheet begins a page and there is nothing else: neither
// the frame of the page nor, among the problems, an answer.
func TestSheetsOnPaper(t *testing.T) {
	t.Parallel()
	s, _ := serveMill(t, 0, t.TempDir())
	b := signedIn(t, s, "I1")
	for _, paper := range []struct {
		name          string
		width, height float64
	}{{"A4", 8.27, 11.69}, {"Letter", 8.5, 11}} {
		for _, what := range []string{"sheets", "answers"} {
			t.Run(paper.name+" "+what, func(t *testing.T) {
				b.open(s.URL() + "class/MILL/" + what + "/A1")
				var starts []string
				for i, text := range b.printed(paper.width, paper.height) {
					first, _, _ := strings.Cut(strings.TrimSpace(text), "\n")
					if name := student.FindString(first); name != "" {
						starts = append(starts, name)
					} else if strings.Contains(text, "Student 0") || i == 0 {
						t.Errorf("page %d has a sheet that does not begin it:\n%s", i+1, text)
					}
					if !strings.Contains(text, "For learning only.") {
						t.Errorf("page %d has no caution", i+1)
					}
					for _, frame := range []string{"shaftbook", "Overview", "Roster"} {
						if strings.Contains(text, frame) {
							t.Errorf("page %d has the frame’s %q:\n%s", i+1, frame, text)
						}
					}
					if strings.Contains(text, "bending for torsion") && what == "sheets" {
						t.Errorf("page %d says what wrong turns give", i+1)
					}
				}
				if got := strings.Join(starts, ", "); got != "Student 01, Student 02" {
					t.Errorf("sheets of %s", got)
				}
			})
		}
	}
	b.clean()
}

func TestSheetOnTheScreen(t *testing.T) {
	t.Parallel()
	s, _ := serveMill(t, 0, t.TempDir())
	b := signedIn(t, s, "S1")
	b.open(s.URL() + "lesson/mill~A1")
	b.do(chromedp.Click(`.contents:has(a[href$="/sheet"]) summary`), chromedp.Click(`a[href$="/sheet"]`))
	b.until(`document.querySelector(".paper-name")?.textContent === "Student 01"`)
	// 760 units of 0.21 mm, at 96 CSS pixels to the inch.
	if got, want := eval[float64](b, `document.querySelector(".paper-figure svg").getBoundingClientRect().width`), 159.6/25.4*96; math.Abs(got-want) > 0.5 {
		t.Errorf("the drawing is %.1f pixels wide, and 159.6 mm are %.1f", got, want)
	}
	b.until("document.fonts.status === 'loaded'")
	for _, width := range []int64{1280, 320} {
		b.do(chromedp.EmulateViewport(width, 800))
		if wide := eval[float64](b, "document.documentElement.scrollWidth"); wide > float64(width) {
			t.Errorf("at %d pixels the page is %g wide", width, wide)
		}
		for _, found := range b.barriers() {
			t.Errorf("at %d pixels: %s", width, found)
		}
	}
	b.clean()
}
