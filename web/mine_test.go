package web

import (
	"strings"
	"testing"

	"shaftbook/exercises/class"
)

func TestMine(t *testing.T) {
	s := openMarked(t)
	answerMarked(s)
	s.keep("S2", "exercise-twist", "twist", "0.123 deg of Student 02", "off", 0, markedDue)
	later, gone := givenIn("MILL", "C1"), givenIn("MILL", "D1")
	later.Title, later.Opens = "Not open", schoolTime.AddDate(0, 0, 1)
	gone.Title, gone.Withdrawn = "Withdrawn", true
	s.assign(later)
	s.assign(gone)
	s.must(s.store.Override(t.Context(), class.Override{Assignment: "B1", Person: "S1", Exercise: "exercise-drawn", Points: 0.5, Reason: "A <sketch> on paper.", By: "I1", At: schoolTime}, class.Entry{}))
	s.must(s.store.Override(t.Context(), class.Override{Assignment: "B1", Person: "S2", Exercise: "exercise-drawn", Points: 0.75, Reason: "Not for Student 01.", By: "I1", At: schoolTime}, class.Entry{}))
	r, body := s.get("S1", "/mine")
	wantStatus(t, r, body, 200)
	// 2.6 of answerMarked and 0.5 by hand are 3.1 of 4.
	wantWords(t, body, "Mill &lt;b&gt;A&lt;/b&gt;", "<strong>77.5\u00a0%</strong>", `<a href="/lesson/wheel~B1"><bdi>Was due</bdi></a>`, "3.1 of 4",
		"24 November 2026, 22:59 UTC", "20 %", `<a href="/lesson/wheel~B1#exercise-twist">`, `2.6 of 3 <span class="sign">late</span>`,
		"A &lt;sketch&gt; on paper.", `data-marking="0"`, "10 %",
		"30 November 2026, 22:59 UTC.", "not due", "not answered", "26 November 2026, 09:00 UTC.", "Weir")
	for _, not := range []string{"Student 02", "Not for Student 01", "Withdrawn", `href="/lesson/wheel~C1"`, "/class/"} {
		if strings.Contains(body, not) {
			t.Errorf("the page says %q", not)
		}
	}
	s.must(s.store.SetExtension(t.Context(), class.Extension{Assignment: "B1", Person: "S1", Due: schoolTime.AddDate(0, 0, 1), Reason: "Was ill.", By: "I1", At: schoolTime}, class.Entry{}))
	_, body = s.get("S1", "/mine")
	wantWords(t, body, "26 November 2026, 09:00 UTC", "Was ill.", "2.8 of 3")
	if strings.Contains(body, "data-total") {
		t.Error("a total of nothing that is due")
	}
	for _, path := range []string{"/classes", "/account", "/lesson/wheel~B1", "/"} {
		if _, body := s.get("S1", path); !strings.Contains(body, `href="/mine`) {
			t.Errorf("%s does not lead to the own work", path)
		}
	}
	s.enrol(class.Member{Class: "MILL", Person: "S1", Role: class.Student, Left: true})
	if _, body = s.get("S1", "/mine"); strings.Contains(body, "Mill") {
		t.Error("who has left still sees the class")
	}
	_, body = s.get("I1", "/mine")
	wantWords(t, body, `id="no-class"`, `<a href="/classes">`)
}

// What the address says of a person or a class changes nothing: the work is
// that of the session.
func TestMineIsOfTheSession(t *testing.T) {
	s := openMarked(t)
	answerMarked(s)
	for _, query := range []string{"", "?person=S1", "?learner=S1", "?assignment=B1"} {
		if _, body := s.get("S2", "/mine"+query); strings.Contains(body, "2.6") || !strings.Contains(body, "not answered") {
			t.Errorf("/mine%s shows Student 02 what Student 01 has", query)
		}
	}
}
