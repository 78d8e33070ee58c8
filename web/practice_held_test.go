package web

import (
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
)

const heldText = `---
title: The wheel shaft
order: 1
summary: One shaft.
minutes: 5
---

` + "```exercise formula" + `
title: A formula
given: {d: {one of: [40 mm, 50 mm]}}
ask: The second moment of area
kind: formula
answer: π/32·d^4
why: It is the area of the rings.
` + "```" + `

` + "```exercise line" + `
title: A line
given: {d: {one of: [40 mm, 50 mm]}}
derivation: |
  given a: length > 0 m, b: length > 0 m
  p = (a + b)·(a − b)
    = ?                    because the mixed terms cancel
ask: {kind: line, text: Multiply out, line: "a^2 − b^2"}
` + "```" + `

` + "```exercise number" + `
title: A number that does not hang on the diameter
given: {d: {one of: [40 mm, 50 mm]}}
ask: How much stiffer is a bar of twice the diameter?
answer: (2·d)^4/d^4
` + "```\n"

// Practice does not give an answer away that the marked exercise still asks for: a line,
// a formula, or a number that is the same with all numbers. It says so, and gives it when
// the marked tries are used.
func TestPracticeHoldsWhatIsTheSameWithAllNumbers(t *testing.T) {
	shelf, found := lessons.Load(fstest.MapFS{"wheel.md": {Data: []byte(heldText)}})
	for _, f := range found {
		if f.List.HasErrors() {
			t.Fatalf("%s: %v", f.Name, f.List)
		}
	}
	s := &Server{Catalog: shelf, Attempts: newDesk(t), Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	if err := s.Open("127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close(t.Context()) })
	for exercise, wrong := range map[string][]string{
		"exercise-formula": {"d^4", "2·d^4", "3·d^4"},
		"exercise-line":    {"a^2 + b^2", "a^2", "b^2"},
		"exercise-number":  {"7", "9", "11"},
	} {
		t.Run(exercise, func(t *testing.T) {
			v := visit(t, s)
			to := "/lesson/wheel/exercise/" + exercise + "/practise?set=3"
			v.page("")
			_, body := v.do("GET", to, byForm, nil)
			form := url.Values{"sheet": {hidden.FindStringSubmatch(body)[2]}, "solution": {"yes"}}
			practise := func() string {
				r, body := v.do("POST", to, byForm, form)
				if r.StatusCode != 200 {
					t.Fatalf("status %d", r.StatusCode)
				}
				return body
			}
			for i := 0; i <= len(wrong); i++ {
				body := practise()
				gives := strings.Contains(body, `class="solution"`) || strings.Contains(body, `class="worked"`)
				if done := i == len(wrong); gives != done || strings.Contains(body, "same answer with every set of numbers") == done {
					t.Fatalf("after %d of %d tries: given away %t\n%s", i, len(wrong), gives, body)
				}
				if i < len(wrong) && strings.Contains(body, `name="solution"`) {
					t.Error("the button for the solution is there")
				}
				if i < len(wrong) {
					f := v.form(exercise, "part-1")
					f.Set("answer", wrong[i])
					if r, body := v.do("POST", "/lesson/wheel/exercise/"+exercise, byScript, f); r.StatusCode != 200 {
						t.Fatal(r.StatusCode, body)
					}
				}
			}
		})
	}
}

// An exercise of a test that has not closed offers its students no practice anywhere.
func TestNoPracticeOnTheShelfDuringATest(t *testing.T) {
	s := openSchool(t)
	now := s.runClock()
	for _, who := range []string{"S1", "I1"} {
		s.stay(who)
	}
	s.assign(givenIn("MILL", "A9")) // the same lesson, no test
	const shelf, other = "/lesson/wheel/exercise/exercise-twist/practise?set=1", "/lesson/wheel~A9/exercise/exercise-twist/practise?set=1"
	at := func(who, path string, refused bool) {
		t.Helper()
		r, body := s.get(who, path)
		if got := r.StatusCode == http.StatusConflict && holds(body, "test with this exercise that has not closed"); got != refused {
			t.Errorf("%s at %s: status %d, refused because of a test %t, want %t", who, path, r.StatusCode, got, refused)
		}
	}
	at("S1", shelf, false)
	at("S1", other, false)
	s.retime(func(a *class.Assignment) { a.Test = true })
	at("S1", shelf, true)
	at("S1", other, true)
	at("I1", shelf, false)
	s.retime(func(a *class.Assignment) { a.Exercises = []string{"exercise-another"} })
	at("S1", shelf, false)
	s.retime(func(a *class.Assignment) { a.Exercises = nil })
	*now = givenIn("MILL", "A1").Closes.Add(time.Hour)
	at("S1", shelf, false)
}
