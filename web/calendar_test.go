package web

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

func TestCalendarOfAStudent(t *testing.T) {
	s := openSchool(t)
	other := givenIn("MILL", "A3")
	other.Title, other.Withdrawn = "Second twist", true
	s.assign(other)
	s.assign(givenIn("WEIR", "A4"))
	s.must(s.store.SetExtension(t.Context(), class.Extension{Assignment: "A1", Person: "S1", Due: time.Date(2026, 12, 5, 12, 0, 0, 0, time.UTC), Reason: "a broken arm", By: "I1", At: schoolTime}, class.Entry{}))
	r, body := s.get("", "/calendar/secret-feed")
	wantStatus(t, r, body, http.StatusOK)
	if got := r.Header.Get("Content-Type"); got != "text/calendar; charset=utf-8" {
		t.Errorf("type %q", got)
	}
	for _, line := range []string{
		"UID:A1@shaftbook", "DTSTART:20261205T120000Z", "SUMMARY:First twist is due", "URL:" + s.URL() + "lesson/wheel~A1",
		"UID:A3@shaftbook", "STATUS:CANCELLED", "UID:A4@shaftbook", "DTSTART:20261130T225900Z",
	} {
		if !strings.Contains(body, line+"\r\n") {
			t.Errorf("no line %q in\n%s", line, body)
		}
	}
	if strings.Contains(body, "broken arm") {
		t.Error("the calendar says why a student has other times")
	}

	// A program that asks again gets nothing twice, until something changes.
	again := func() *http.Response {
		q, err := http.NewRequest("GET", s.URL()+"calendar/secret-feed", nil)
		s.must(err)
		q.Header.Set("If-None-Match", r.Header.Get("ETag"))
		r, _ := s.answer(q)
		return r
	}
	if got := again().StatusCode; got != http.StatusNotModified {
		t.Errorf("asked again: %d", got)
	}
	s.retime(func(a *class.Assignment) { a.Title = "First turn" })
	if got := again().StatusCode; got != http.StatusOK {
		t.Errorf("after a change: %d", got)
	}

	s.enrol(class.Member{Class: "WEIR", Person: "S1", Role: class.Student, Left: true})
	if _, body = s.get("", "/calendar/secret-feed"); strings.Contains(body, "A4@") {
		t.Error("who has left a class hears of it")
	}
	// Student 02 has no calendar, so an empty secret must not find one.
	for _, feed := range []string{"other", "S1", "%20", "secret-feed%00"} {
		if r, body := s.get("", "/calendar/"+feed); r.StatusCode != http.StatusNotFound {
			t.Errorf("%q: %d\n%s", feed, r.StatusCode, body)
		}
	}
}

func TestTheShelfSaysWhatIsAssigned(t *testing.T) {
	s := openSchool(t)
	now := s.runClock()
	s.stay("S1")
	later := givenIn("WEIR", "A4")
	later.Title, later.Opens, later.Due, later.Closes = "Later", schoolTime.AddDate(0, 0, 7), schoolTime.AddDate(0, 0, 14), schoolTime.AddDate(0, 0, 14)
	s.assign(later)
	gone := givenIn("MILL", "A5")
	gone.Title, gone.Withdrawn = "Gone", true
	s.assign(gone)
	s.retime(func(a *class.Assignment) { a.Closes, a.LateOff = a.Due.AddDate(0, 0, 2), 10 })
	shelf := func() string {
		t.Helper()
		r, body := s.get("S1", "/")
		wantStatus(t, r, body, http.StatusOK)
		if r.Header.Get("Cache-Control") != "no-store" {
			t.Error("one student’s shelf may be kept for another")
		}
		return body
	}
	body := shelf()
	wantWords(t, body, `<a href="/lesson/wheel~A1"><bdi>First twist</bdi></a>`, "Mill &lt;b&gt;A&lt;/b&gt;, Autumn", "30 November 2026, 22:59 UTC", "0 of 3",
		"<bdi>Later</bdi>", "9 December 2026, 09:00 UTC", "2 December 2026, 09:00 UTC", `href="/lesson/wheel"`)
	if strings.Contains(body, "Gone") || strings.Contains(body, "wheel~A4") {
		t.Error("the shelf shows what was withdrawn, or leads to what is not open")
	}
	s.hand("S1", "wheel~A1", "exercise-twist", "twist", "1/0") // cannot be read: no answer yet
	wantWords(t, shelf(), "0 of 3 parts")
	s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.5 deg")
	wantWords(t, shelf(), "1 of 3 parts")
	*now = time.Date(2026, 12, 1, 12, 0, 0, 0, time.UTC)
	wantWords(t, shelf(), "2 December 2026, 22:59 UTC")
	s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.5 deg")
	s.hand("S1", "wheel~A1", "exercise-drawn", "", "20 MPa")
	wantWords(t, shelf(), "2 of 3 parts")
	s.hand("S1", "wheel~A1", "exercise-twist", "section", "1 mm^4")
	if body := shelf(); !strings.Contains(body, "3 of 3 parts answered") || strings.Contains(body, "late now") {
		t.Error("who has answered all is told to be late")
	}
	*now = time.Date(2026, 12, 3, 12, 0, 0, 0, time.UTC)
	wantWords(t, shelf(), "Closed (1)")
	s.must(s.store.SetExtension(t.Context(), class.Extension{Assignment: "A1", Person: "S1", Due: time.Date(2026, 12, 5, 12, 0, 0, 0, time.UTC), Reason: "ill", By: "I1", At: *now}, class.Entry{}))
	body = shelf()
	wantWords(t, body, "Due 5 December 2026, 12:00 UTC · 3 of 3 parts answered")
	if strings.Contains(body, "Closed (") {
		t.Error("what is open by the student’s own time stands under what is closed")
	}
	s.stay("I1")
	if _, body := s.get("I1", "/"); strings.Contains(body, "Assigned to you") {
		t.Error("staff are told that their own assignment is given to them")
	}
}
