package browsertest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/web"
	"shaftbook/web/app/attempt"
)

// Sizes of the largest class that pages are held to.
const (
	extremeStudents = 300
	extremeWorks    = 40
	extremeSections = 60
	longName        = 200 // characters, as many as a field takes
)

// nameOf is a name of 200 characters: in words, without a space, or written from right
// to left, in turn.
func nameOf(i int) string {
	unit := []string{"Perpetua Quillwright ", "Wheelwrightstone", "أحمد بن يوسف الطحان "}[i%3]
	name := fmt.Sprintf("%03d ", i) + strings.Repeat(unit, longName)
	return strings.TrimSpace(string([]rune(name)[:longName]))
}

// extremeText is the lesson mill.md with many more sections after it.
func extremeText(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("testdata/exercises/mill.md")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.Write(text)
	for i := range extremeSections {
		fmt.Fprintf(&b, "\n## Section %d\n\nOne line.\n", i+1)
	}
	return b.String()
}

// fillExtreme makes the class BIG of the instructor I1.
func fillExtreme(ctx context.Context, s contract.Store, text string) error {
	now, none := time.Now(), class.Entry{}
	var members []class.Member
	var people []class.Person
	for i := range extremeStudents {
		id := fmt.Sprintf("X%03d", i)
		people = append(people, class.Person{ID: id, Name: nameOf(i), SignIn: "x" + id, Password: "x", MadeAt: now})
		members = append(members, class.Member{Class: "BIG", Person: id, Role: class.Student, Section: nameOf(i + 1), Since: now})
	}
	err := errors.Join(
		s.AddClass(ctx, class.Class{ID: "BIG", Name: nameOf(1), Term: nameOf(2), Zone: "UTC", MadeAt: now}, []string{"I1"}, nil, none),
		s.Enrol(ctx, people, nil, members, none),
	)
	frozen := class.Frozen{Hash: class.HashText(text), Name: "mill.md", Text: text}
	for i := range extremeWorks {
		a := class.Assignment{
			ID: fmt.Sprintf("B%02d", i), Class: "BIG", Title: nameOf(i), Lesson: "mill", Zone: "UTC", Weight: 1, Text: frozen.Hash,
			Opens: now.Add(-2 * time.Hour), Due: now.Add(time.Duration(i-20) * time.Minute), Closes: now.Add(time.Hour), MadeAt: now, ChangedAt: now,
		}
		err = errors.Join(err, s.AddAssignment(ctx, a, frozen, none))
	}
	for i := range extremeStudents {
		place := "the-question"
		if i%4 == 0 {
			place = fmt.Sprintf("section-%d", i%extremeSections+1)
		}
		err = errors.Join(err, s.Here(ctx, class.Presence{Person: people[i].ID, Lesson: "mill~B00", Place: place, At: now}))
		_, _, kept := s.Submit(ctx, store.Attempt{
			Submission: fmt.Sprintf("extreme-%016d", i), Place: store.Place{Learner: people[i].ID, Lesson: "mill~B00", Exercise: "exercise-quill", Part: "twist"},
			Answer: "11 deg", Verdict: "off", Points: 0, Variant: []byte(`{}`), Program: "test", At: now,
		}, 0)
		err = errors.Join(err, kept)
	}
	return err
}

func serveExtreme(t *testing.T) *web.Server {
	t.Helper()
	shelf := shelfOf(t, os.DirFS("testdata/exercises"))
	store := storeIn(t, t.TempDir())
	if err := errors.Join(fillMill(t.Context(), store), fillExtreme(t.Context(), store, extremeText(t))); err != nil {
		t.Fatal(err)
	}
	desk, err := attempt.NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	s := &web.Server{Catalog: shelf, Attempts: desk, Classes: store}
	open(t, s, 0)
	return s
}

const (
	// sideways lists what scrolls sideways and cannot be reached by a key, or does not
	// say what it is.
	sideways = `[...document.querySelectorAll("main, main *")].filter((e) => {
		if (e.scrollWidth <= e.clientWidth + 1 || !/auto|scroll/.test(getComputedStyle(e).overflowX) || e.matches("input, textarea, select")) return false;
		const named = e.closest("[aria-label], [aria-labelledby]");
		return !named || !(e.tabIndex === 0 || e.querySelector("a, button"));
	}).map((e) => e.tagName + "." + e.className)`

	// outside lists words of table cells that stand outside their cells.
	outside = `[...document.querySelectorAll("main tr > *")].flatMap((cell) => {
		const box = cell.getBoundingClientRect(), range = document.createRange(), found = [];
		const texts = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
		while (texts.nextNode()) {
			const text = texts.currentNode, clip = text.parentElement.closest(".work > a, .work > bdi, .long > *");
			if (!text.data.trim() || text.parentElement.closest(".sr, svg, .scroll .scroll")) continue;
			range.selectNodeContents(text);
			const r = clip ? clip.getBoundingClientRect() : range.getBoundingClientRect();
			if (r.width && (r.left < box.left - 1 || r.right > box.right + 1)) found.push(cell.className + ": " + text.data.slice(0, 30));
		}
		return found;
	}).slice(0, 5)`
)

// Pages of a class of 300 with 40 assignments, 60 sections, names of 200 characters and
// names from right to left, in a wide window, on a telephone and at 400 % (a window of
// 1280 × 1024 then has 320 × 256), also with forced colours: no page scrolls sideways,
// and nothing on it that cannot be reached with a key.
func TestPagesOfALargeClass(t *testing.T) {
	t.Parallel()
	s := serveExtreme(t)
	b := signedIn(t, s, "I1")
	for _, c := range []struct{ name, path string }{
		{"overview", ""}, {"roster", "/roster"}, {"assignments", "/assign"}, {"marks", "/marks"}, {"marks of one", "/marks?assignment=B00"},
		{"questions", "/items?assignment=B00"}, {"room", "/room/B00"}, {"exercise of the room", "/room/B00?at=exercise-quill"},
		{"assignment", "/assignment/B00"}, {"student", "/student/X001"}, {"mark", "/marks/B00/X002"}, {"log", "/log"},
	} {
		b.do(chromedp.EmulateViewport(1280, 900))
		b.open(s.URL() + "class/BIG" + c.path)
		for _, size := range [][2]int64{{1280, 900}, {360, 740}, {320, 256}} {
			b.do(chromedp.EmulateViewport(size[0], size[1]))
			b.until(fmt.Sprintf("innerWidth === %d", size[0]))
			// What watches sizes has seen the new one when two frames are done.
			b.until("(window.settled = false, requestAnimationFrame(() => requestAnimationFrame(() => { window.settled = true; })), true)")
			b.until("window.settled")
			where := fmt.Sprintf("%s, %d × %d", c.name, size[0], size[1])
			if wide := eval[int](b, "document.documentElement.scrollWidth"); wide > int(size[0]) {
				t.Errorf("%s: the page is %d px wide", where, wide)
			}
			for _, found := range eval[[]string](b, sideways) {
				t.Errorf("%s: %s scrolls sideways, and no key reaches it or it has no name", where, found)
			}
			for _, found := range eval[[]string](b, outside) {
				t.Errorf("%s: outside its cell: %s", where, found)
			}
		}
	}
	b.do(chromedp.EmulateViewport(1280, 900))
	b.open(s.URL() + "class/BIG/marks")
	b.until(`document.querySelector(".marks-box")?.dataset.fits === "no"`)
	if !eval[bool](b, `(() => {
		const box = document.querySelector(".marks-box");
		box.scrollTo(2000, 3000);
		const [head, name] = [box.querySelector("thead th:last-child"), [...box.querySelectorAll("tbody th")].at(150)];
		return box.scrollLeft > 0 && box.tabIndex === 0 && Math.abs(head.getBoundingClientRect().top - box.getBoundingClientRect().top) < 3
			&& Math.abs(name.getBoundingClientRect().left - box.getBoundingClientRect().left) < 3;
	})()`) {
		t.Error("in a large sheet of marks headings and names do not stay")
	}
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "forced-colors", Value: "active"}}}); err != nil {
		t.Fatal(err)
	}
	b.open(s.URL() + "class/BIG/room/B00")
	if fill := eval[string](b, `getComputedStyle(document.querySelector(".room-full")).fill`); fill != eval[string](b, `getComputedStyle(document.body).color`) {
		t.Errorf("with forced colours a bar is %s", fill)
	}
	b.clean()
}

// The marks of 29 students in 5 assignments are seen whole in a window of 1280 px, in one
// decimal column each, and their headings stay in the window.
func TestMarksAreSeenWhole(t *testing.T) {
	t.Parallel()
	s, school := serveDemo(t, 30)
	b := signedIn(t, s, "instructor")
	b.open(s.URL() + "class/" + school.Class.ID + "/assignment/" + school.Withdrawn.ID)
	b.send("/withdraw") // gives it back: five stand
	b.open(s.URL() + "class/" + school.Class.ID + "/marks")
	b.until(`document.querySelector(".marks-box")?.dataset.fits === "yes"`)
	if n := eval[int](b, `document.querySelectorAll(".marks-table .work").length`); n != 5 {
		t.Fatalf("%d assignments", n)
	}
	if got := eval[[]int](b, `(() => {
		const box = document.querySelector(".marks-box"), table = box.querySelector("table");
		return [table.scrollWidth - box.clientWidth, box.scrollHeight - box.clientHeight, document.documentElement.scrollWidth];
	})()`); got[0] > 0 || got[1] > 0 || got[2] > 1280 {
		t.Errorf("%d px are cut off at the right, %d at the foot; the page is %d px wide", got[0], got[1], got[2])
	}
	// By the right edge of the digits before the decimal sign.
	if edges := eval[int](b, `(() => {
		const column = (i) => new Set([...document.querySelectorAll(".marks-table tbody tr")].flatMap((row) => {
			const text = row.children[i]?.querySelector("a")?.firstChild;
			if (!text) return [];
			const range = document.createRange();
			range.setStart(text, 0);
			range.setEnd(text, text.data.split(".")[0].length);
			return [Math.round(range.getBoundingClientRect().right)];
		}));
		return Math.max(...[2, 3, 4].map((i) => column(i).size));
	})()`); edges != 1 {
		t.Errorf("the decimal signs of a column stand at %d places", edges)
	}
	eval[bool](b, `(scrollTo(0, 700), true)`)
	if top := eval[float64](b, `document.querySelector(".marks-table thead th").getBoundingClientRect().top`); top != 0 {
		t.Errorf("after 700 px the headings are at %.0f px", top)
	}
	b.do(chromedp.EmulateViewport(360, 740))
	eval[bool](b, `(scrollTo(0, 0), true)`)
	if top := eval[float64](b, `document.querySelector(".marks-table").getBoundingClientRect().top`); top > 740/3 {
		t.Errorf("on a telephone the table begins at %.0f px of 740", top)
	}
	if row := eval[[]float64](b, `(() => { const row = document.querySelector(".class-ways"); return [row.getBoundingClientRect().height, row.querySelector("a").getBoundingClientRect().height]; })()`); row[0] > 56 || row[1] < 44 {
		t.Errorf("the links of a class are %.0f px high, each %.0f", row[0], row[1])
	}
	b.clean()
}
