package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/token"
)

// runClock lets the server and its desk go by a clock that the test sets.
func (s *school) runClock() *time.Time {
	s.t.Helper()
	at := schoolTime
	s.site.Clock = func() time.Time { return at }
	desk, err := attempt.NewServiceAt(s.t.Context(), s.store, "test", s.site.Clock)
	s.must(err)
	s.Attempts, s.reader.Attempts, s.classroom.Attempts = desk, desk, desk
	return &at
}

// stay keeps a person signed in for longer than schools are open.
func (s *school) stay(person string) {
	s.t.Helper()
	s.must(s.store.TouchSession(s.t.Context(), token.Hash(person), schoolTime, schoolTime.AddDate(1, 0, 0)))
}

// retime gives A1 other terms.
func (s *school) retime(change func(a *class.Assignment)) {
	s.t.Helper()
	a, err := s.store.Assignment(s.t.Context(), "A1")
	s.must(err)
	change(&a)
	s.must(s.store.UpdateAssignment(s.t.Context(), a, class.Entry{}))
}

var tags = regexp.MustCompile(`<[^>]*>`)

// exerciseText is what the page says in one exercise, without markup.
func exerciseText(t *testing.T, body, id string) string {
	t.Helper()
	return strings.Join(strings.Fields(tags.ReplaceAllString(exerciseMarkup(t, body, id), " ")), " ")
}

// exerciseMarkup is the HTML of one exercise of a lesson's page.
func exerciseMarkup(t *testing.T, body, id string) string {
	t.Helper()
	_, rest, found := strings.Cut(body, `id="`+id+`" aria-labelledby`)
	text, _, closed := strings.Cut(rest, "</section>")
	if !found || !closed {
		t.Fatalf("no exercise %s on the page\n%s", id, body)
	}
	return text
}

func TestTheTermsOfAnAssignment(t *testing.T) {
	s := openSchool(t)
	now := s.runClock()
	s.stay("S1")
	s.stay("I1")
	due := time.Date(2026, 11, 30, 22, 59, 0, 0, time.UTC)
	s.retime(func(a *class.Assignment) {
		a.Closes, a.LateOff, a.TryOff, a.Tries, a.Exercises = due.AddDate(0, 0, 2), 10, 5, 4, []string{"exercise-twist"}
	})
	const lesson, twist = "/lesson/wheel~A1", "exercise-twist"
	read := func(exercise string) string {
		t.Helper()
		r, body := s.get("S1", lesson)
		wantStatus(t, r, body, http.StatusOK)
		return exerciseText(t, body, exercise)
	}
	says := func(text string, words ...string) {
		t.Helper()
		for _, w := range words {
			if !strings.Contains(text, w) {
				t.Errorf("not said: %q\nin %s", w, text)
			}
		}
	}

	_, body := s.get("S1", lesson)
	wantWords(t, body, "<bdi>First twist</bdi></strong> · <bdi>Mill &lt;b&gt;A&lt;/b&gt;</bdi> · <a href=\"/mine#class-MILL\">", "30 November 2026, 22:59 UTC.")
	says(read(twist), "30 November 2026, 22:59 UTC", "2 December 2026, 22:59 UTC", "10 %", "5 %", "4 of 4 tries")
	says(read("exercise-drawn"), "One try")

	// A wrong try before it is due; the right answer is 0.7598 deg.
	s.hand("S1", "wheel~A1", twist, "twist", "0.5 deg")
	says(read(twist), "3 of 4 tries")

	// Late by a day and an hour, which counts as two days.
	*now = due.Add(25 * time.Hour)
	says(read(twist), "2 days late", "20 %", "2 December 2026, 22:59 UTC")
	s.hand("S1", "wheel~A1", twist, "twist", "0.7598 deg")
	// 2 points less 5 % less 20 % = 2 × 0.95 × 0.8 = 1.52, of 2 + 1 points.
	says(read(twist), "1.52 of 3 points", "2 of 2 points", "5 %", "20 %", ": 1.52")

	// At the closing time itself an answer is taken; after it nothing is.
	*now = due.AddDate(0, 0, 2)
	s.hand("S1", "wheel~A1", twist, "section", "1 mm⁴")
	*now = now.Add(time.Second)
	form := []string{"sheet", s.Attempts.FormToken("S1"), "series", "0", "part", "section", "submission", "0123456789abcdef", "answer", "521153 mm⁴"}
	r, body := s.post("S1", lesson+"/exercise/"+twist, form...)
	wantStatus(t, r, body, http.StatusConflict)
	says(exerciseText(t, body, twist), "2 December 2026, 22:59 UTC", "521153 mm⁴")
	kept, err := s.store.Attempts(t.Context(), "S1", "wheel~A1", twist)
	if err != nil || len(kept) != 3 {
		t.Errorf("%d attempts are kept, want 3: %v", len(kept), err)
	}
	says(read(twist), "30 November 2026, 22:59 UTC", "2 December 2026, 22:59 UTC", "Closed")
	_, body = s.get("S1", lesson)
	wantWords(t, body, `class="solution"`)
	if open := exerciseMarkup(t, body, twist); strings.Contains(open, `data-kind="answer"`) || strings.Contains(open, `data-kind="guess"`) {
		t.Errorf("there is still something to hand in: %s", open)
	}
	r, body = s.post("S1", lesson+"/exercise/"+twist+"/hint", "sheet", s.Attempts.FormToken("S1"), "series", "0", "part", "section", "level", "1")
	wantStatus(t, r, body, http.StatusConflict)

	// The exercise that does not count is free of the terms.
	s.hand("S1", "wheel~A1", "exercise-drawn", "", "1 MPa")

	// A student with other times goes on.
	s.post("I1", "/class/MILL/assignment/A1/times", "person", "S1", "xdue", "2026-12-05T12:00", "xreason", "ill for a week")
	says(read(twist), "5 December 2026, 12:00 UTC", "ill for a week.", "1.9 of 3 points")
	s.hand("S1", "wheel~A1", twist, "section", "521153 mm⁴")
	// Both are in time now: 2 × 0.95 + 1 × 0.95 = 2.85.
	says(read(twist), "2.85 of 3 points")

	s.must(s.store.Override(t.Context(), class.Override{Assignment: "A1", Person: "S1", Exercise: twist, Points: 2.5, Reason: "the wrong try was a slip of the key", By: "I1", At: *now}, class.Entry{}))
	says(read(twist), "2.5 of 3", "the wrong try was a slip of the key.", "2.85 of 3 points")
	_, body = s.get("I1", lesson)
	if strings.Contains(body, "slip of the key") || strings.Contains(body, "ill for a week") {
		t.Error("what is a student’s own is said to somebody else")
	}
	wantWords(t, body, `href="/class/MILL/assignment/A1"`)
}

// Before it opens a student sees when; staff look at it, and may answer to
// try it.
func TestBeforeAnAssignmentOpens(t *testing.T) {
	s := openSchool(t)
	now := s.runClock()
	*now = schoolTime.Add(-time.Minute)
	const path = "/lesson/wheel~A1/exercise/exercise-twist"
	r, body := s.post("S1", path, "sheet", s.Attempts.FormToken("S1"), "series", "0", "part", "twist", "submission", "0123456789abcdef", "answer", "1 deg")
	wantStatus(t, r, body, http.StatusForbidden)
	wantWords(t, body, "25 November 2026, 09:00 UTC")
	s.hand("I1", "wheel~A1", "exercise-twist", "twist", "1 deg")
}

// A lesson on the shelf has no terms, whatever is assigned of it.
func TestAFreeLessonHasNoTerms(t *testing.T) {
	s := openSchool(t)
	s.runClock()
	_, body := s.get("S1", "/lesson/wheel")
	if strings.Contains(body, "assigned-head") || strings.Contains(body, `class="terms`) {
		t.Error("a lesson of the shelf shows terms")
	}
}
