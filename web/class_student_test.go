package web

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

func TestStudentPage(t *testing.T) {
	s := openSchool(t)
	r, body := s.post("I1", "/class/MILL/student/S1/link")
	wantStatus(t, r, body, 200)
	wantWords(t, body, "/link/", "9 December 2026, 09:00 UTC")
	if _, again := s.get("I1", "/class/MILL/student/S1"); strings.Contains(again, "/link/") {
		t.Error("a link is shown twice")
	}
	s.post("I1", "/class/MILL/student/S1/sessions")
	if r, _ := s.get("S1", "/classes"); r.StatusCode != 303 {
		t.Errorf("not signed out: %d", r.StatusCode)
	}
	s.post("I1", "/class/MILL/student/S1/leave")
	_, body = s.get("I1", "/class/MILL/student/S1")
	wantWords(t, body, `action="/class/MILL/student/S1/rejoin"`)
	for _, path := range []string{"", "/link", "/sessions"} {
		if r, _ := s.post("I1", "/class/MILL/student/S1"+path, "name", "X", "signin", "x"); r.StatusCode != 409 {
			t.Errorf("%s of who has left: status %d", path, r.StatusCode)
		}
	}
	s.post("I1", "/class/MILL/student/S1/rejoin")
	if m := s.member("MILL", "S1"); m.Left || m.Section != "A" {
		t.Errorf("came back as %+v", m)
	}
	r, body = s.get("I1", "/class/MILL/student/S1/data")
	var d class.Dossier
	if err := json.Unmarshal([]byte(body), &d); err != nil || d.Person.ID != "S1" {
		t.Errorf("data: %v %s", err, body)
	}
	if strings.Contains(body, "hash-of-s01") || strings.Contains(body, "secret-feed") || r.Header.Get("Content-Type") != "application/json" {
		t.Error("the data hold what opens the account")
	}
	if strings.Contains(body, "null") {
		t.Errorf("what there is nothing of is null: %s", body)
	}
}

func TestDeleteForGood(t *testing.T) {
	s := openSchool(t)
	if r, _ := s.post("I1", "/class/MILL/student/S1/erase", "name", "Student 01"); r.StatusCode != 403 {
		t.Errorf("a student of somebody else’s class too: %d", r.StatusCode)
	}
	r, body := s.post("I1", "/class/MILL/student/S2/erase", "name", "somebody")
	wantStatus(t, r, body, 422)
	wantWords(t, body, `data-wrong="erase"`)
	r, body = s.post("I1", "/class/MILL/student/S2/erase", "name", hostile)
	wantStatus(t, r, body, 303)
	if _, err := s.store.Person(t.Context(), "S2"); err != class.ErrNone || strings.Contains(s.logged(), "script") {
		t.Error("not deleted, or the log has the name")
	}
}

// Every route under a student takes only students of the class of the address.
func TestStudentsOfOtherClasses(t *testing.T) {
	s := openSchool(t)
	for _, rt := range s.routes() {
		method, pattern, _ := strings.Cut(rt.Pattern, " ")
		if !strings.Contains(pattern, "/student/{person}") {
			continue
		}
		for _, c := range []struct{ who, in, person string }{
			{"I2", "MILL", "S1"}, // not an instructor of the class
			{"I2", "WEIR", "S2"}, // a student, but of another class
			{"I1", "MILL", "I1"}, // no student
			{"S1", "MILL", "S2"}, // a student asks
		} {
			path := strings.NewReplacer("{class}", c.in, "{person}", c.person).Replace(pattern)
			if r, _ := s.do(c.who, method, path, "application/x-www-form-urlencoded", strings.NewReader("name=x&signin=y")); r.StatusCode != 404 {
				t.Errorf("%s as %s: status %d", method+" "+path, c.who, r.StatusCode)
			}
		}
	}
}

func TestColleagues(t *testing.T) {
	s := openSchool(t)
	if r, _ := s.post("I1", "/class/MILL/staff/I1/out"); r.StatusCode != 409 {
		t.Errorf("the last instructor leaves: %d", r.StatusCode)
	}
	_, body := s.post("I1", "/class/MILL/staff")
	wantWords(t, body, "/link/", `id="invitation"`)
	if l := s.linkIn(body); l.Purpose != class.ForColleague || l.Class != "MILL" || l.MadeBy != "I1" {
		t.Errorf("link %+v", l)
	}
	s.enrol(class.Member{Class: "MILL", Person: "I2", Role: class.Staff})
	_, body = s.get("I1", "/class/MILL")
	wantWords(t, body, `data-out="/class/MILL/staff/I1/out"`, `data-out="/class/MILL/staff/I2/out"`)
	r, _ := s.post("I1", "/class/MILL/staff/I2/out")
	if r.StatusCode != 303 || !strings.Contains(s.logged(), "Instructor 2") {
		t.Errorf("%d, logged %q", r.StatusCode, s.logged())
	}
}

func TestCopyAClass(t *testing.T) {
	s := openSchool(t)
	r, body := s.post("I1", "/class/MILL/copy", "name", "Mill", "term", "", "weeks", "x", "do", "show")
	wantStatus(t, r, body, 422)
	wantWords(t, body, `data-wrong="term"`, `data-wrong="weeks"`)
	form := []string{"name", "Mill", "term", "Spring", "first", "2027-02-01", "do", "make"}
	r, body = s.post("I1", "/class/MILL/copy", form...)
	wantStatus(t, r, body, 200)
	wantWords(t, body, "1 February 2027, 22:59 UTC", "Moved by 63 days")
	if classes, _, err := s.store.ClassesOf(t.Context(), "I1"); err != nil || len(classes) != 1 {
		t.Fatalf("a class was made of dates that were not shown: %+v, %v", classes, err)
	}
	r, body = s.post("I1", "/class/MILL/copy", append(form, "shown", "63")...)
	wantStatus(t, r, body, 303)
	id := strings.TrimPrefix(strings.SplitN(r.Header.Get("Location"), "?", 2)[0], "/class/")
	_, members, _ := s.store.Members(t.Context(), id)
	assigned, _ := s.store.Assignments(t.Context(), id)
	if len(members) != 1 || members[0].Person != "I1" || len(assigned) != 1 || assigned[0].ID == "A1" || !assigned[0].Due.Equal(time.Date(2027, 2, 1, 22, 59, 0, 0, time.UTC)) {
		t.Errorf("copied %+v with %+v", members, assigned)
	}
}

// Student 01 was in MILL before WEIR, so that the account is MILL's to look
// after: an instructor who brings someone in by a list has not their account.
func TestAccountsAreLookedAfterByTheFirstClass(t *testing.T) {
	s := openSchool(t)
	const weir = "/class/WEIR/student/S1"
	before := s.person("S1")
	_, body := s.get("I2", weir)
	wantWords(t, body, `id="elsewhere"`, `/sessions"`, `name="section"`)
	for _, gone := range []string{weir + "/link", weir + "/data", `name="signin"`, "Mill"} {
		if strings.Contains(body, gone) {
			t.Errorf("the page of another class’s account has %q", gone)
		}
	}
	for _, c := range []struct{ method, path string }{{"POST", weir + "/link"}, {"GET", weir + "/data"}} {
		r, body := s.do("I2", c.method, c.path, formType(c.method), nil)
		wantStatus(t, r, body, 409)
		wantWords(t, body, "<h1>")
	}
	r, body := s.post("I2", weir, "name", "Taken over", "signin", "mine", "section", "B")
	wantStatus(t, r, body, 303)
	if p := s.person("S1"); p != before || s.member("WEIR", "S1").Section != "B" {
		t.Errorf("changed to %+v, %+v", p, s.member("WEIR", "S1"))
	}
	r, page := s.previewAs("I2", "WEIR", "name,username,id,email\nTaken over,s01,u01,mine@weir.example\n")
	wantStatus(t, r, page, 200)
	wantWords(t, page, `id="elsewhere"`, "<bdi>Student 01</bdi>", `id="no-changes"`)
	r, page = s.previewAs("I1", "MILL", "name,username\nStudent One,s01\n")
	wantStatus(t, r, page, 200)
	wantWords(t, page, "Changed (1)")

	// Taking the student out of the first class passes the account on.
	s.post("I1", "/class/MILL/student/S1/leave")
	r, body = s.post("I2", weir+"/link")
	wantStatus(t, r, body, 200)
	if l := s.linkIn(body); l.Person != "S1" || l.MadeBy != "I2" {
		t.Errorf("link %+v", l)
	}
	if _, body = s.get("I1", "/class/MILL/student/S1"); strings.Contains(body, "/data") {
		t.Error("the data of another’s student are offered")
	}
}
