package web

import (
	"bytes"
	"net/http"
	"os"
	"strings"
	"testing"
)

// What is too long for a field is refused with how long it is, at the field, and
// nothing is kept of it; at the limit it is taken whole.
func TestLongFieldsAreRefusedAndNeverCut(t *testing.T) {
	const limit = 200
	fits, long := strings.Repeat("θ", limit), strings.Repeat("θ", limit+1)
	for _, c := range []struct {
		name, path, field string
		with              []string // the other fields
	}{
		{name: "a class", path: "/classes", field: "name", with: []string{"term", "Spring", "zone", "UTC"}},
		{name: "a class’s term", path: "/classes", field: "term", with: []string{"name", "Mill", "zone", "UTC"}},
		{name: "a class renamed", path: "/class/MILL", field: "name", with: []string{"term", "Spring", "zone", "UTC"}},
		{name: "a copy of a class", path: "/class/MILL/copy", field: "name", with: []string{"term", "Spring", "weeks", "52", "do", "make", "shown", "364"}},
		{name: "a student", path: "/class/MILL/roster", field: "name", with: []string{"signin", "s77"}},
		{name: "a student’s username", path: "/class/MILL/roster", field: "signin", with: []string{"name", "Student 77"}},
		{name: "a student’s group", path: "/class/MILL/roster", field: "section", with: []string{"name", "Student 77", "signin", "s77"}},
		{name: "a student changed", path: "/class/MILL/student/S1", field: "name", with: []string{"signin", "s01"}},
		{name: "one’s own name", path: "/account", field: "name", with: []string{"signin", "teach1"}},
		{name: "one’s own username", path: "/account", field: "signin", with: []string{"name", "Instructor 1"}},
		{name: "an assignment", path: "/class/MILL/assign", field: "title", with: terms("lesson", "wheel")},
		{name: "the reason of points set by hand", path: "/class/MILL/marks/A1/S1", field: "reason-exercise-twist", with: []string{"exercise", "exercise-twist", "points-exercise-twist", "1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := openSchool(t)
			s.rewrite(askedText)
			fields := c.with
			before := s.contents()
			r, body := s.post("I1", c.path, append(fields, c.field, long)...)
			wantStatus(t, r, body, http.StatusUnprocessableEntity)
			if !strings.Contains(body, "201 characters; at most 200 are allowed") {
				t.Errorf("the page does not say what is too long:\n%.2000s", body)
			}
			if changed := s.changedSince(before); changed != nil {
				t.Errorf("it changed %v", changed)
			}
			r, body = s.post("I1", c.path, append(fields, c.field, fits)...)
			wantStatus(t, r, body, http.StatusSeeOther)
			content, err := os.ReadFile(s.file)
			s.must(err)
			log, err := os.ReadFile(s.file + "-wal")
			s.must(err)
			if !bytes.Contains(append(content, log...), []byte(fits)) {
				t.Error("what fits was not kept whole")
			}
		})
	}
	t.Run("a username to sign in with", func(t *testing.T) {
		s := openSchool(t)
		r, body := s.post("", "/sign-in", "name", long, "password", "x")
		wantStatus(t, r, body, http.StatusUnprocessableEntity)
		wantWords(t, body, "201 characters")
	})
}
