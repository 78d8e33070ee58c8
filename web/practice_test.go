package web

import (
	"io"
	"log/slog"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
)

const practisedText = `---
title: The wheel shaft
order: 1
summary: One shaft.
minutes: 5
---

` + "```exercise two" + `
title: Two shafts
given:
  d: {one of: [40 mm, 50 mm]}
ask: The second moment of area
answer: π/32·d^4
unit: mm^4
hints: [Round., Fourth power.]
solution: [J = π/32·d^4 because it is round]
` + "```" + `

` + "```exercise one" + `
title: One shaft
given: {d: 40 mm}
ask: The second moment of area
answer: π/32·d^4
unit: mm^4
` + "```\n"

// π/32·40⁴ = 251327 mm⁴ and π/32·50⁴ = 613592 mm⁴, by hand.
var otherDiameter = map[string]string{"40": "613592 mm^4", "50": "251327 mm^4"}

const practise = "/lesson/wheel/exercise/exercise-two/practise"

func openPractised(t *testing.T) *client {
	t.Helper()
	shelf, found := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(practisedText)}})
	for _, f := range found {
		t.Fatalf("%s: %v", f.Name, f.List)
	}
	s := &Server{Catalog: shelf, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	return visit(t, s)
}

var givenDiameter = regexp.MustCompile(`<mn>(40|50)</mn>`)

// TestPractice practises as a browser without scripts does: other numbers than the
// marked ones, hints and solution free, any number of tries, and nothing kept.
func TestPractice(t *testing.T) {
	for range 8 { // learners: whichever of the two is theirs
		v := openPractised(t)
		marked := givenDiameter.FindStringSubmatch(v.page(""))[1]
		if !strings.Contains(v.page(""), `href="`+practise+`">Practise with other numbers</a>`) {
			t.Fatal("the exercise does not offer practice")
		}
		r, _ := v.do("GET", practise, byForm, nil)
		to := r.Header.Get("Location")
		if r.StatusCode != 303 || !strings.HasPrefix(to, practise+"?set=") {
			t.Fatalf("status %d to %q", r.StatusCode, to)
		}
		_, body := v.do("GET", to, byForm, nil)
		if got := givenDiameter.FindStringSubmatch(body)[1]; got == marked {
			t.Fatalf("practice has the marked diameter %s", got)
		}
		for _, want := range []string{"Round.", "Fourth power.", "nothing here is kept"} {
			if !strings.Contains(body, want) {
				t.Errorf("the page lacks %q", want)
			}
		}
		form := url.Values{"sheet": {hidden.FindStringSubmatch(body)[2]}}
		for range 5 { // more than there are tries
			form.Set("answer-part-1", "1 mm^4")
			if _, body = v.do("POST", to, byForm, form); !strings.Contains(body, `class="said"`) || strings.Contains(body, `class="worked"`) {
				t.Fatal("a wrong answer gets no verdict, or the solution")
			}
		}
		form.Set("answer-part-1", otherDiameter[marked])
		if _, body = v.do("POST", to, byForm, form); !strings.Contains(body, `data-verdict="right"`) || !strings.Contains(body, `class="worked"`) {
			t.Error("the right answer is not right, or brings no solution")
		}
		form.Del("answer-part-1")
		form.Set("solution", "yes")
		if _, body = v.do("POST", to, byForm, form); !strings.Contains(body, `<details class="worked" open>`) || strings.Contains(body, `<mn>`+marked+`</mn>`) {
			t.Error("the solution is not shown when it is asked for, or has the marked numbers")
		}
		// Nothing of all this is kept.
		if body = v.page(""); !strings.Contains(body, "3 of 3 tries left") || strings.Contains(body, `class="said"`) {
			t.Error("practice counts")
		}
	}
}

func TestPracticeRefuses(t *testing.T) {
	v := openPractised(t)
	r, body := v.do("GET", "/lesson/wheel/exercise/exercise-one/practise?set=1", byForm, nil)
	if r.StatusCode != 200 || !strings.Contains(body, "only one set of numbers") || strings.Contains(body, "Check my answer") {
		t.Errorf("one set of numbers: status %d", r.StatusCode)
	}
	if r, _ := v.do("GET", "/lesson/wheel/exercise/exercise-one/practise", byForm, nil); r.StatusCode != 303 {
		t.Errorf("one set of numbers, without saying which: status %d", r.StatusCode)
	}
	if !strings.Contains(v.page(""), "There is one set of numbers here") {
		t.Error("the exercise does not say that there are no other numbers")
	}
	for _, c := range []struct {
		query, sheet string
		status       int
	}{
		{"?set=0", "", 422}, {"?set=-3", "", 422}, {"?set=99999999999999999999", "", 422}, {"?set=x", "", 422},
		{"?set=5", "another", 409},
	} {
		form := url.Values{"sheet": {c.sheet}, "answer-part-1": {"1 mm^4"}}
		if r, _ := v.do("POST", practise+c.query, byForm, form); r.StatusCode != c.status {
			t.Errorf("%s: status %d, want %d", c.query, r.StatusCode, c.status)
		}
	}
	last := 0
	for range 60 {
		r, _ := v.do("GET", practise+"?set=7", byForm, nil)
		last = r.StatusCode
		if last == 429 {
			break
		}
	}
	if last != 429 {
		t.Error("60 pages in a row are all made")
	}
}
