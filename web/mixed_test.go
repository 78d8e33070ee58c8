package web

import (
	"io"
	"log/slog"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
)

// mixedText is a lesson of two exercises, each with several numbers.
func mixedText(title, order string) string {
	text := "---\ntitle: " + title + "\norder: " + order + "\nsummary: One shaft.\nminutes: 5\n---\n\n"
	for _, name := range []string{"one", "two"} {
		text += "```exercise " + name + "\ntitle: The shaft " + name + "\ngiven:\n  d: {one of: [40 mm, 50 mm]}\nask: The second moment of area\nanswer: π/32·d^4\nunit: mm^4\n```\n\n"
	}
	return text
}

var exerciseOf = regexp.MustCompile(`^/practice/([a-z-]+)/([a-z-]+)\?`)

// openMixed opens two such lessons, the second of which needs the first, for a visitor.
func openMixed(t *testing.T, clock func() time.Time) (*Server, *client) {
	t.Helper()
	if clock == nil {
		clock = time.Now
	}
	shelf, found := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(mixedText("The wheel", "1"))}, "spindle.md": {Data: []byte(mixedText("The spindle", "2\nneeds: [wheel]"))},
		"paths.yaml": {Data: []byte("- {title: Both, for: You., steps: [{title: A day, lessons: [wheel.md, spindle.md]}]}")}})
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	desk, err := attempt.NewServiceAt(t.Context(), newDesk(t).Store(), "test", clock)
	if err != nil {
		t.Fatal(err)
	}
	s := &Server{Catalog: shelf, Attempts: desk, Log: slog.New(slog.NewTextHandler(io.Discard, nil)), clock: clock}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	return s, visit(t, s)
}

// TestMixedPractice practises on some days as a browser without scripts does: what is
// wrong comes again before what is new, what is right after its days.
func TestMixedPractice(t *testing.T) {
	now := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	clock := func() time.Time { return now }
	_, v := openMixed(t, clock)

	overview := func(want string) {
		t.Helper()
		if _, body := v.do("GET", "/practice", byForm, nil); !strings.Contains(body, want) {
			t.Errorf("the page of practice lacks %q:\n%s", want, body)
		}
	}
	last := ""
	next := func() (to, exercise string) {
		t.Helper()
		now = now.Add(5 * time.Second)
		r, _ := v.do("GET", "/practice/next?n=1&after="+url.QueryEscape(last), byForm, nil)
		to = r.Header.Get("Location")
		m := exerciseOf.FindStringSubmatch(to)
		if r.StatusCode != 303 || m == nil {
			t.Fatalf("status %d to %q", r.StatusCode, to)
		}
		last = m[1] + "/" + m[2]
		return to, last
	}
	answer := func(to string, right bool) string {
		t.Helper()
		_, body := v.do("GET", to, byForm, nil)
		form := url.Values{"sheet": {hidden.FindStringSubmatch(body)[2]}, "answer-part-1": {"1 mm^4"}}
		if right { // the other of the two is the other one's, see otherDiameter
			form.Set("answer-part-1", map[string]string{"40": otherDiameter["50"], "50": otherDiameter["40"]}[givenDiameter.FindStringSubmatch(body)[1]])
		}
		_, body = v.do("POST", to, byForm, form)
		return body
	}

	overview("these come from the first lessons")
	v.do("GET", "/lesson/wheel", byForm, nil)
	seen := map[string]bool{}
	to, first := next()
	if body := answer(to, false); !strings.Contains(body, "comes again soon") {
		t.Fatal("a wrong answer does not say that it comes again soon")
	}
	if body := answer(to, true); !strings.Contains(body, "comes again soon") {
		t.Error("a later answer with the same numbers changes when it comes again")
	}
	to, second := next()
	if second == first {
		t.Fatal("what was wrong comes again at once")
	}
	if body := answer(to, true); !strings.Contains(body, "comes again in 2 days") {
		t.Fatal("a right answer does not come again in 2 days")
	}
	to, third := next()
	if third != first {
		t.Fatalf("after %s and %s comes %s, not what was wrong", first, second, third)
	}
	answer(to, true)
	seen[first], seen[second] = true, true
	for range 2 {
		to, new := next()
		if seen[new] {
			t.Fatalf("%s comes before it is due", new)
		}
		seen[new] = true
		answer(to, true)
	}
	overview("Nothing is due yet; the next one is due in 2 days")
	now = now.AddDate(0, 0, 2)
	overview("Due: 4.")
	to, _ = next()
	if body := answer(to, true); !strings.Contains(body, "comes again in 5 days") {
		t.Error("right again two days later does not come again in 5 days")
	}
	overview("They hold: 1.")
	// Nothing of it is in the marked numbers.
	if body := v.page(""); !strings.Contains(body, "3 of 3 tries left") || strings.Contains(body, `class="said"`) {
		t.Error("practice counts")
	}
	for _, path := range []string{"/practice/none/exercise-one?set=1", "/practice/wheel/none?set=1"} {
		if r, _ := v.do("GET", path, byForm, nil); r.StatusCode != 404 {
			t.Errorf("%s: status %d", path, r.StatusCode)
		}
	}
	if r, _ := v.do("GET", "/practice/wheel/exercise-one?set=0", byForm, nil); r.StatusCode != 400 && r.StatusCode != 422 {
		t.Errorf("no set: status %d", r.StatusCode)
	}
}
