package browsertest

import (
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"shaftbook/lessons"
	"shaftbook/lessons/folder"
	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

// A desk is a folder of lessons that is served while it is written.
type desk struct {
	t      *testing.T
	folder string
	server *web.Server
}

const writtenHead = "---\ntitle: The brush shaft\norder: 1\nsummary: One shaft.\nminutes: 5\n---\n\n"

// writtenText is a lesson long enough to scroll; last is its last paragraph.
func writtenText(last string) string {
	var b strings.Builder
	b.WriteString(writtenHead + "The shaft of the brush.\n\n```calc\nvary L from 1 m to 3 m\nd = 2·L\n```\n\n")
	for i := range 60 {
		fmt.Fprintf(&b, "Paragraph %d of the brush shaft.\n\n", i)
	}
	b.WriteString("```exercise twist\ntitle: The stress\ngiven:\n  T: {from: 300 N·m, to: 500 N·m, by: 10 N·m}\n  d: {from: 40 mm, to: 60 mm, by: 1 mm}\nask: The greatest shear stress\nanswer: 16·T/(π·d^3)\nunit: MPa\nbounds: {low: 1 MPa, high: 100 MPa}\nslips: [bending-for-torsion]\n```\n\n")
	return b.String() + last + "\n"
}

func openDesk(t *testing.T) *desk {
	t.Helper()
	d := &desk{t: t, folder: t.TempDir()}
	d.save("brush.md", writtenText("The end."))
	files := os.DirFS(d.folder)
	catalog, _ := lessons.Load(files)
	store := storeIn(t, t.TempDir())
	service, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	d.server = &web.Server{Catalog: catalog, Attempts: service, Writes: func(*lessons.Lesson) bool { return true }}
	d.server.Log = slog.New(slog.NewTextHandler(t.Output(), nil))
	if err := d.server.Open("127.0.0.1:0"); err != nil { // lessons are written under an address of this machine only
		t.Fatal(err)
	}
	t.Cleanup(func() { stop(d.server) })
	w := &folder.Watcher{Path: d.folder, Files: files, Log: d.server.Log}
	w.Changed = func() {
		next, _ := lessons.LoadAgain(catalog, files)
		d.server.Replace(next)
		catalog = next
	}
	done := make(chan struct{})
	go func() { w.Run(t.Context()); close(done) }()
	t.Cleanup(func() { <-done })
	return d
}

// save writes a file as an editor does that saves by renaming.
func (d *desk) save(name, text string) {
	d.t.Helper()
	file := filepath.Join(d.folder, name)
	if err := os.WriteFile(file+"~", []byte(text), 0o600); err != nil {
		d.t.Fatal(err)
	}
	if err := os.Rename(file+"~", file); err != nil {
		d.t.Fatal(err)
	}
}

// TestPageFollowsItsFile: the page of a lesson loads itself again at the place that has
// changed, keeps its slider and what was in view, and shows what is to be mended.
func TestPageFollowsItsFile(t *testing.T) {
	t.Parallel()
	d := openDesk(t)
	b := newTab(t, 900, 700)
	b.open(d.server.URL() + "write/brush")
	ready := `document.readyState === "complete" && !document.querySelector(".js-slider input:disabled")`
	b.until(ready + ` && document.querySelector(".js-writing-findings").textContent.includes("to fix") || document.querySelector(".writing-note")`)
	eval[bool](b, `(() => { const s = document.querySelector(".js-slider input[type=range]"); s.value = s.max; s.dispatchEvent(new Event("input", {bubbles: true})); s.dispatchEvent(new Event("change", {bubbles: true})); return true; })()`)
	b.until(`document.querySelector("#calc-1-1, .js-cell").textContent.includes("6")`)

	// The end changes, far below: the page goes there.
	var took []time.Duration
	for i := range 5 {
		last := fmt.Sprintf("The end, %d.", i)
		saved := time.Now()
		d.save("brush.md", writtenText(last))
		b.until(fmt.Sprintf(`document.readyState === "complete" && document.querySelector(".is-changed")?.nextElementSibling?.textContent.includes(%q)`, last))
		// The page notes when it was painted.
		b.until(`performance.getEntriesByName("first-contentful-paint").length === 1`)
		shown := time.UnixMilli(int64(eval[float64](b, `performance.timeOrigin + performance.getEntriesByName("first-contentful-paint")[0].startTime`)))
		took = append(took, shown.Sub(saved).Round(time.Millisecond))
	}
	t.Logf("from saving to the changed page painted: %v", took)
	inView := `(() => { const r = document.querySelector(".is-changed").nextElementSibling.getBoundingClientRect(); return r.top < innerHeight && r.bottom > 0; })()`
	b.until(inView)
	b.until(ready + ` && document.querySelector(".js-cell")?.textContent.includes("6")`) // the slider is where it was

	// A paragraph above changes while another one is looked at: that one stays.
	eval[bool](b, `(() => { const p = [...document.querySelectorAll("p")].find((p) => p.textContent.startsWith("Paragraph 30 ")); p.scrollIntoView({block: "center"}); window.before = true; return true; })()`)
	place := `Math.round([...document.querySelectorAll("p")].find((p) => p.textContent.startsWith("Paragraph 26 ")).getBoundingClientRect().top)`
	was := eval[int](b, place)
	d.save("brush.md", strings.Replace(writtenText("The end, 4."), "Paragraph 29 of", "Two lines of Paragraph 29, one more.\n\nParagraph 29 of", 1))
	b.until(`!window.before && document.readyState === "complete" && document.querySelector("main")?.textContent.includes("Two lines of Paragraph 29")`)
	b.until(fmt.Sprintf("Math.abs(%s - %d) <= 2", place, was))

	// A fault stands at its place and in the list, and goes when it is mended.
	d.save("brush.md", writtenText("See [another](none.md)."))
	b.until(`document.querySelector(".js-writing-findings")?.textContent.includes("there is no lesson none.md")`)
	b.until(`[...document.querySelectorAll(".writing-note")].some((n) => n.textContent.includes("there is no lesson none.md") && n.parentElement.nextElementSibling.textContent.includes("See another"))`)
	d.save("brush.md", strings.Replace(writtenText("The end."), "d = 2·L", "d = 2·L + 3 kg", 1))
	b.until(`[...document.querySelectorAll(".writing-note")].some((n) => n.textContent.includes("cannot add") && n.parentElement.nextElementSibling.matches(".js-cell"))`)
	d.save("brush.md", writtenText("The end."))
	b.until(`document.querySelector("main")?.textContent.includes("The end.") && !document.querySelector(".js-writing-findings")?.textContent.includes("cannot add")`)
	b.clean()
}

// TestWrittenAsOthersSeeIt: the lesson with a student's numbers, on the board, on paper and
// in the window of a phone, and the numbers of all students.
func TestWrittenAsOthersSeeIt(t *testing.T) {
	t.Parallel()
	d := openDesk(t)
	b := newTab(t, 1000, 800)
	b.open(d.server.URL() + "write")
	b.until(`document.querySelector(".writing-list a").textContent === "The brush shaft"`)
	b.open(d.server.URL() + "write/brush?student=7")
	b.until(`document.querySelector(".writing").textContent.includes("as student 7") && document.querySelector("#exercise-twist")`)
	if eval[bool](b, `document.querySelector("#exercise-twist form") !== null`) {
		t.Error("an answer can be given in the place of a student")
	}
	const values = `[...%s.querySelectorAll("math")].map((m) => m.textContent).join(" ")`
	given := eval[string](b, fmt.Sprintf(values, `document.querySelector("#exercise-twist .given")`))
	b.open(d.server.URL() + "write/brush/numbers/exercise-twist")
	b.until(`document.querySelectorAll("tbody tr").length === 30`)
	if row := eval[string](b, fmt.Sprintf(values, `document.querySelectorAll("tbody tr")[6].cells[1]`)); given == "" || row != given {
		t.Errorf("student 7 is given %q, and the table has %q", given, row)
	}
	b.open(d.server.URL() + "write/brush?as=phone")
	b.until(`document.querySelector("iframe").contentDocument?.querySelector(".js-lesson") && document.querySelector("iframe").contentWindow.innerWidth <= 360`)
	b.open(d.server.URL() + "write/brush?as=paper")
	b.until(`getComputedStyle(document.querySelector(".lesson-tools")).display === "none"`)
	b.open(d.server.URL() + "write/brush/board")
	b.until(`document.querySelector(".js-board")`)
	d.save("brush.md", strings.Replace(writtenText("The end."), "The shaft of the brush.", "The shaft of the broom.", 1))
	b.until(`document.querySelector(".js-board")?.textContent.includes("The shaft of the broom.")`)
	b.clean()
}
