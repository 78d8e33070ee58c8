package web

import (
	"fmt"
	"strings"
	"testing"

	"shaftbook/exercises/class"
)

func TestLogPage(t *testing.T) {
	s := openMarked(t)
	note := func(e class.Entry) {
		e.Class, e.At = "MILL", schoolTime
		s.must(s.store.Note(t.Context(), e))
	}
	for i := range 60 {
		note(class.Entry{By: "I1", Action: "roster", Detail: fmt.Sprintf("line %02d of the log", i+1)})
	}
	note(class.Entry{By: "I1", Action: "override", About: "S1", Assignment: "B1", Exercise: "exercise-twist", Detail: "set “The wheel shaft” by hand: 0 to 2 of 3 points: on paper"})
	note(class.Entry{By: "gone", Action: "assign", Assignment: "B1", Detail: "assigned <b>it</b>"})
	r, body := s.get("I1", "/class/MILL/log")
	wantStatus(t, r, body, 200)
	wantWords(t, body, "25 Nov 2026, 09:00 UTC", "Instructor 1", "set “The wheel shaft” by hand", `<a href="/class/MILL/student/S1"><bdi>Student 01</bdi></a>`,
		`<a href="/class/MILL/marks/B1/S1#exercise-twist"><bdi>Was due</bdi></a>`, `<a href="/class/MILL/assignment/B1"><bdi>Was due</bdi></a>`,
		"deleted account", "assigned &lt;b&gt;it&lt;/b&gt;", "line 60", "line 13", "Older")
	if strings.Contains(body, "line 12 ") || strings.Contains(body, "Newest") {
		t.Error("more lines than a page holds, or a way back from the first")
	}
	_, older, _ := strings.Cut(body, `<a href="/class/MILL/log?before=`)
	id, _, _ := strings.Cut(older, `"`)
	_, body = s.get("I1", "/class/MILL/log?before="+id)
	wantWords(t, body, "line 12 ", "line 01 ", "Newest")
	if strings.Contains(body, "line 13 ") || strings.Contains(body, "Older") {
		t.Error("the second page holds what the first did, or leads on")
	}
	_, body = s.get("I1", "/class/MILL/log?about=S1")
	wantWords(t, body, "set “The wheel shaft” by hand", `<option value="S1" selected>`)
	if strings.Contains(body, "line 60") {
		t.Error("about one student it tells of others")
	}
	_, body = s.get("I1", "/class/MILL/log?about=S2")
	wantWords(t, body, `id="log-none"`)
	for _, about := range []string{"S9", "I2"} {
		if r, _ := s.get("I1", "/class/MILL/log?about="+about); r.StatusCode != 404 {
			t.Errorf("about %s, who is in another class or none: status %d", about, r.StatusCode)
		}
	}
	_, body = s.get("I2", "/class/WEIR/log")
	wantWords(t, body, `id="log-none"`)
}
