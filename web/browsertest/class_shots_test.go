package browsertest

import (
	"crypto/sha256"
	"encoding/hex"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"shaftbook/exercises/class"
	"shaftbook/web"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/demo"
)

// serveDemo serves the invented class with people at work in it. People who
// cookie holds a sign-in name is that person.
func serveDemo(t *testing.T, students int) (*web.Server, *demo.School) {
	t.Helper()
	store := storeIn(t, t.TempDir())
	shelf, err := demo.Shelf()
	if err != nil {
		t.Fatal(err)
	}
	school, err := demo.Fill(t.Context(), store, shelf, demo.Options{Seed: 1, Students: students, Password: "none"})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(school.Close)
	now := time.Now()
	for _, p := range append([]class.Person{school.Instructor}, school.Students...) {
		sum := sha256.Sum256([]byte(p.SignIn))
		session := class.Session{Hash: hex.EncodeToString(sum[:]), Person: p.ID, MadeAt: now, SeenAt: now, EndsAt: now.Add(time.Hour)}
		if err := store.OpenSession(t.Context(), session); err != nil {
			t.Fatal(err)
		}
	}
	desk, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	s := &web.Server{Catalog: shelf, Attempts: desk, Classes: store}
	open(t, s, 0)
	return s, school
}

// A classPage is a page of the invented class, as it is looked at.
type classPage struct {
	name, person  string
	width, height int64
	media, path   string // light, dark or print
	window        bool   // only what the window shows, after look
	look          string
}

// classPages are the pages of a class, most of them in two windows.
func classPages(school *demo.School) []classPage {
	in, student := "class/"+school.Class.ID, school.Students[3].ID
	return []classPage{
		{"class", "instructor", 1100, 880, "light", in, true, "true"},
		{"room", "instructor", 1100, 800, "light", in + "/room/" + school.Open.ID, true, "true"},
		{"marks", "instructor", 1280, 800, "light", in + "/marks", true, "true"},
		{"board", "instructor", 1100, 800, "light", "lesson/taper-in-segments/board#step-32", true, "true"},
		{"page-room-exercise", "instructor", 1280, 900, "light", in + "/room/" + school.Open.ID + "?at=exercise-wall-quill", false, "true"},
		{"page-roster", "instructor", 1280, 900, "light", in + "/roster", false, "true"},
		{"page-assign", "instructor", 1280, 900, "light", in + "/assign", false, "true"},
		{"page-assign-lesson", "instructor", 1280, 900, "light", in + "/assign?lesson=drive-line", false, "true"},
		{"page-assignment", "instructor", 1280, 900, "light", in + "/assignment/" + school.Closed.ID, false, "true"},
		{"page-recompute", "instructor", 1280, 900, "light", in + "/assignment/" + school.Closed.ID + "/recompute", false, "true"},
		{"page-marks-one", "instructor", 1280, 900, "light", in + "/marks?assignment=" + school.Open.ID, false, "true"},
		{"page-marks-narrow", "instructor", 360, 740, "dark", in + "/marks", false, "true"},
		{"page-mark", "instructor", 1280, 900, "light", in + "/marks/" + school.Closed.ID + "/" + student, false, "true"},
		{"page-items", "instructor", 1280, 900, "light", in + "/items?assignment=" + school.Open.ID, false, "true"},
		{"page-copy", "instructor", 1280, 900, "light", in + "/copy", false, "true"},
		{"page-classes", "instructor", 1280, 900, "light", "classes", false, "true"},
		{"page-log", "instructor", 1280, 900, "light", in + "/log", false, "true"},
		{"page-student", "instructor", 1280, 900, "light", in + "/student/" + student, false, "true"},
		{"page-shown", "instructor", 1280, 900, "light", in + "/student/" + school.Students[1].ID + "/page/BRACKETSOFTHEPLAINSPINDLEA", false, "true"},
		{"page-share", school.Students[1].SignIn, 1280, 900, "light", "page/BRACKETSOFTHEPLAINSPINDLEA/share", false, "true"},
		{"page-sheets", "instructor", 1280, 900, "light", in + "/sheets/" + school.Open.ID + "?student=" + student, false, "true"},
		{"page-answers-read", "instructor", 1280, 900, "light", in + "/answers/" + school.Open.ID + "?student=" + student, false, "true"},
		{"page-answers", "instructor", 794, 1123, "print", in + "/answers/" + school.Open.ID + "?student=" + student, false, "true"},
		{"page-sign-in", "nobody", 1280, 900, "light", "sign-in?said=out", false, "true"},
		{"page-join", "nobody", 1280, 900, "light", "join", false, "true"},
		{"page-link", "nobody", 1280, 900, "light", "link/" + student, false, "true"}, // that does not work
		{"page-shelf", "student02", 1280, 900, "light", "", false, "true"},
		{"page-mine", "student02", 1280, 900, "light", "mine", false, "true"},
		{"page-mine-narrow", "student02", 360, 740, "light", "mine", false, "true"},
		{"page-account", "student02", 1280, 900, "light", "account", false, "true"},
		{"page-lesson", "student01", 1280, 900, "light", "lesson/" + school.Open.Key(), false, "true"},
		{"page-lesson-narrow", "student02", 360, 740, "dark", "lesson/" + school.Closed.Key(), false, "true"},
	}
}

// TestClassShots makes pictures of the pages of a class for a person to look at,
// and those of the README (class.png, room.png, marks.png, board.png, and
// sheet.pdf, of which pdftoppm makes sheet.png); without -shots it has nothing to
// do.
func TestClassShots(t *testing.T) {
	if *shots == "" {
		t.Skip("pictures are made with -shots DIR")
	}
	s, school := serveDemo(t, 30)
	only := regexp.MustCompile(*shot)
	tabs := map[string]*tab{}
	for _, c := range classPages(school) {
		if !only.MatchString(c.name) {
			continue
		}
		if tabs[c.person] == nil {
			tabs[c.person] = signedIn(t, s, c.person)
		}
		b := tabs[c.person]
		b.media(c.media)
		b.do(chromedp.EmulateViewport(c.width, c.height))
		b.open(s.URL() + c.path)
		b.until("document.fonts.status === 'loaded'")
		eval[bool](b, "Promise.resolve("+c.look+").then(() => true)")
		shoot := chromedp.FullScreenshot(100)
		if c.window {
			shoot = chromedp.CaptureScreenshot()
		}
		time.Sleep(300 * time.Millisecond) // what comes over a socket is drawn
		picture, err := chromedp.Run(b.ctx, shoot)
		if err != nil {
			t.Fatal(err)
		}
		write(t, c.name+".png", picture)
		b.clean()
	}
	if b := tabs["instructor"]; only.MatchString("sheet") && b != nil {
		b.media("light")
		b.open(s.URL() + "class/" + school.Class.ID + "/sheets/" + school.Open.ID + "?student=" + school.Students[3].ID)
		b.until("document.fonts.status === 'loaded'")
		printed, err := chromedp.Call(b.ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
		if err != nil {
			t.Fatal(err)
		}
		write(t, "sheet.pdf", printed.Data)
	}
}

// media makes the device prefer light or dark, or the page be laid out as for
// print.
func (b *tab) media(name string) {
	b.t.Helper()
	p := emulation.SetEmulatedMediaParams{Media: "print"}
	if name != "print" {
		p = emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}}}
	}
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, p); err != nil {
		b.t.Fatal(err)
	}
}

// Every page of a class can be used with a screen reader, in a window of 320 px
// and in the dark.
func TestClassPagesHaveNoBarriers(t *testing.T) {
	t.Parallel()
	s, school := serveDemo(t, 10)
	seen := map[string]bool{}
	for _, c := range classPages(school) {
		if c.media == "print" || seen[c.person+c.path] || strings.HasPrefix(c.path, "lesson/taper") { // lessons are tested by themselves
			continue
		}
		seen[c.person+c.path] = true
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			b := signedIn(t, s, c.person)
			b.media("light")
			b.do(chromedp.EmulateViewport(1280, 900))
			b.open(s.URL() + c.path)
			b.until("document.fonts.status === 'loaded'")
			eval[bool](b, "(document.querySelectorAll('main details').forEach((d) => d.open = true), true)")
			for _, found := range b.barriers() {
				t.Errorf("wide: %s", found)
			}
			b.media("dark")
			b.do(chromedp.EmulateViewport(320, 640))
			for _, found := range b.barriers() {
				t.Errorf("narrow and dark: %s", found)
			}
			if wide := eval[int](b, "document.documentElement.scrollWidth"); wide > 320 {
				t.Errorf("it is %d px wide in a window of 320: %s", wide, eval[string](b, `[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > innerWidth + 1).map((e) => e.localName + "." + e.className + " in " + e.closest("[id]")?.id + " to " + Math.round(e.getBoundingClientRect().right)).slice(0, 12).join("; ")`))
			}
			// Only the marks keep their columns on a narrow window.
			if aside := eval[[]string](b, `[...document.querySelectorAll("main .scroll:not(.marks-box):has(> table)")].filter((e) => e.scrollWidth > e.clientWidth + 1).map((e) => (e.getAttribute("aria-label") ?? e.className) + " (" + e.scrollWidth + " in " + e.clientWidth + ": " + [...e.querySelectorAll("tr")].map((r) => [...r.cells].map((c) => Math.round(c.getBoundingClientRect().width)).join("+")).slice(0, 3).join("; ") + ")")`); len(aside) > 0 && !strings.HasPrefix(c.name, "page-lesson") {
				t.Errorf("in a window of 320 px these scroll sideways: %s", strings.Join(aside, ", "))
			}
			// On paper nothing scrolls: a box that is too small for what is in it (A4
			// between margins of 1 cm, at 96 px to the inch) must not cut it off.
			b.media("print")
			b.do(chromedp.EmulateViewport(718, 1000))
			if cut := eval[int](b, `[...document.querySelectorAll("main .scroll")].filter((e) => getComputedStyle(e).overflowX !== "visible" && e.scrollWidth > e.clientWidth).length`); cut > 0 {
				t.Errorf("on paper %d boxes cut off what is in them", cut)
			}
			b.clean()
		})
	}
	// What is at the fields, and a list that cannot be taken as it is.
	for _, c := range []struct {
		name, path, form, shown string
		fields                  []string
	}{
		{"assign, with mistakes", "/assign?lesson=drive-line", "/assign", ".assign-look", []string{"zone", "Mill", "lateoff", "ten", "tries", "0"}},
		{"what a list would change", "/roster", "/roster/preview", "#import-errors", []string{"text", "name,username,id\nStudent 40,student40,M-40\n,nobody,\n"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			b := signedIn(t, s, "instructor")
			b.open(s.URL() + "class/" + school.Class.ID + c.path)
			b.send(c.form, c.fields...)
			b.until(`document.querySelector("` + c.shown + `")`)
			for _, found := range b.barriers() {
				t.Errorf("wide: %s", found)
			}
			b.clean()
		})
	}
}
