package web

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

func TestSheetPages(t *testing.T) {
	s := openSchool(t)
	s.admit(class.Person{ID: "S3", Name: "Student 03", SignIn: "s03", Password: "x"})
	s.enrol(class.Member{Class: "MILL", Person: "S3", Role: class.Student, Left: true})
	for _, c := range []struct {
		name, person, path string
		status             int
	}{
		{"sheets, its instructor", "I1", "/class/MILL/sheets/A1", 200},
		{"answers, its instructor", "I1", "/class/MILL/answers/A1", 200},
		{"one student’s", "I1", "/class/MILL/sheets/A1?student=S1", 200},
		{"one who has left", "I1", "/class/MILL/answers/A1?student=S3", 200},
		{"nobody in the class", "I1", "/class/MILL/sheets/A1?student=S9", 404},
		{"an instructor is no student", "I1", "/class/MILL/sheets/A1?student=I1", 404},
		{"no such assignment", "I1", "/class/MILL/sheets/A9", 404},
		{"sheets, a student", "S1", "/class/MILL/sheets/A1", 404},
		{"answers, a student", "S1", "/class/MILL/answers/A1?student=S1", 404},
		{"another instructor", "I2", "/class/MILL/answers/A1", 404},
		{"under the address of one’s own class", "I2", "/class/WEIR/answers/A1", 404},
		{"one’s own, a student", "S1", "/lesson/wheel~A1/sheet", 200},
		{"one’s own, of a lesson read freely", "S1", "/lesson/wheel/sheet", 200},
		{"one’s own, of another class", "I2", "/lesson/wheel~A1/sheet", 404},
		{"one’s own, after leaving", "S3", "/lesson/wheel~A1/sheet", 404},
		{"a lesson that is not there", "S1", "/lesson/none/sheet", 404},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := s.get(c.person, c.path)
			wantStatus(t, r, body, c.status)
		})
	}
}

// 420·1.3/(79·10⁹·π/32·0.048⁴) = 0.013262 rad = 0.7598°, by hand.
const (
	wheelTwist = "0.7598"
	wheelSlip  = "1.520" // by π/64 in place of π/32
)

func TestSheetsSayNoAnswer(t *testing.T) {
	s := openSchool(t)
	for _, path := range []string{"/class/MILL/sheets/A1", "/lesson/wheel~A1/sheet"} {
		person := "I1"
		if strings.HasPrefix(path, "/lesson") {
			person = "S1"
		}
		_, body := s.get(person, path)
		for _, secret := range []string{wheelTwist, wheelSlip, "bending for torsion", "paper-line", "Can it be right"} {
			if strings.Contains(body, secret) {
				t.Errorf("%s says %q", path, secret)
			}
		}
		for _, wanted := range []string{"Student 01", "The wheel shaft", "By how much does it turn?", "2 points", "paper-room", "due 30 November 2026, 22:59 UTC", "First twist", "qualified people"} {
			if !strings.Contains(body, wanted) {
				t.Errorf("%s does not say %q", path, wanted)
			}
		}
	}
	_, body := s.get("I1", "/class/MILL/answers/A1")
	for _, wanted := range []string{wheelTwist, wheelSlip, "bending for torsion", "Can it be right?"} {
		if !strings.Contains(body, wanted) {
			t.Errorf("the answers do not say %q", wanted)
		}
	}
}

// What is on a student's sheet is what the lesson sets that student.
func TestSheetHasTheNumbersOfTheLesson(t *testing.T) {
	s := openSchool(t)
	_, lesson := s.get("S1", "/lesson/wheel~A1")
	_, own := s.get("S1", "/lesson/wheel~A1/sheet")
	_, asStaff := s.get("I1", "/class/MILL/sheets/A1?student=S1")
	given := func(body string) []string {
		var lists []string
		for _, part := range strings.Split(body, `<ul class="given"`)[1:] {
			_, part, _ = strings.Cut(part, ">")
			part, _, _ = strings.Cut(part, "</ul>")
			lists = append(lists, part)
		}
		return lists
	}
	want := given(lesson)
	if len(want) < 2 {
		t.Fatalf("the lesson gives %d lists of numbers", len(want))
	}
	for name, body := range map[string]string{"one’s own": own, "for the staff": asStaff} {
		if got := given(body); strings.Join(got, "\n") != strings.Join(want, "\n") {
			t.Errorf("%s: %q\nthe lesson: %q", name, got, want)
		}
	}
	if _, other := s.get("I1", "/class/MILL/sheets/A1?student=S2"); strings.Join(given(other), "") == strings.Join(want, "") {
		t.Error("two students have the same sheet")
	}
}

func TestSheetTerms(t *testing.T) {
	s := openSchool(t)
	later := time.Date(2026, 12, 4, 12, 0, 0, 0, time.UTC)
	s.must(s.store.SetExtension(context.Background(), class.Extension{Assignment: "A1", Person: "S1", Due: later, Reason: "ill", By: "I1", At: schoolTime}, class.Entry{}))
	_, body := s.get("I1", "/class/MILL/sheets/A1")
	first, second := strings.Index(body, "due 30 November 2026"), strings.Index(body, "due 4 December 2026, 12:00 UTC")
	if first < 0 || second < 0 {
		t.Errorf("due of the class at %d, of Student 01 at %d", first, second)
	}
	if _, body := s.get("S1", "/lesson/wheel~A1/sheet"); !strings.Contains(body, "due 4 December 2026") {
		t.Error("one’s own sheet does not have one’s own time")
	}
	one := givenIn("MILL", "A2")
	one.Exercises = []string{"exercise-drawn"}
	s.assign(one)
	for _, path := range []string{"/class/MILL/sheets/A2?student=S1", "/class/MILL/answers/A2?student=S1"} {
		if _, body := s.get("I1", path); strings.Contains(body, "By how much does it turn?") || !strings.Contains(body, "1. A shaft of one’s own") {
			t.Errorf("%s does not keep to the exercises that count", path)
		}
	}
	early := givenIn("MILL", "A3")
	early.Opens = schoolTime.Add(time.Minute)
	s.assign(early)
	r, body := s.get("S1", "/lesson/wheel~A3/sheet")
	wantStatus(t, r, body, http.StatusForbidden)
}

// A broken exercise leaves the rest of the sheet as it is.
func TestSheetWithAnExerciseThatCannotBeSet(t *testing.T) {
	s := openSchool(t)
	text := strings.Replace(askedText, "answer: π/32·d^4", "answer: π/32·d^4 +", 1)
	a := givenIn("MILL", "A2")
	a.Text = class.HashText(text)
	s.must(s.store.AddAssignment(context.Background(), a, class.Frozen{Hash: a.Text, Name: "wheel.md", Text: text}, class.Entry{}))
	r, body := s.get("I1", "/class/MILL/sheets/A2")
	wantStatus(t, r, body, 200)
	for _, wanted := range []string{"This exercise cannot be set", "shaftbook check", "A shaft of one’s own"} {
		if !strings.Contains(body, wanted) {
			t.Errorf("the sheet does not say %q", wanted)
		}
	}
	if strings.Contains(body, "cannot be set: this exercise cannot be set") {
		t.Error("it is said twice")
	}
}

func TestLinksToSheets(t *testing.T) {
	s := openSchool(t)
	for _, c := range []struct{ name, person, path, link string }{
		{"lesson", "S1", "/lesson/wheel", `href="/lesson/wheel/sheet"`},
		{"assigned lesson", "S1", "/lesson/wheel~A1", `href="/lesson/wheel~A1/sheet"`},
		{"assignment", "I1", "/class/MILL/assignment/A1", `href="/class/MILL/sheets/A1"`},
		{"assignment, answers", "I1", "/class/MILL/assignment/A1", `href="/class/MILL/answers/A1"`},
		{"room", "I1", "/class/MILL/room/A1", `href="/class/MILL/sheets/A1"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, body := s.get(c.person, c.path); !strings.Contains(body, c.link) {
				t.Errorf("%s has no %s", c.path, c.link)
			}
		})
	}
}
