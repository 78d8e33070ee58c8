package web

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/assignment"
	"shaftbook/web/page"
)

// rewrite puts another text into the file of the school's lesson.
func (s *school) rewrite(text string) {
	s.Catalog.Files.(fstest.MapFS)["wheel.md"] = &fstest.MapFile{Data: []byte(text)}
}

// assignedIn returns the assignments of MILL but for A1.
func (s *school) assignedIn() []class.Assignment {
	s.t.Helper()
	list, err := s.store.Assignments(context.Background(), "MILL")
	s.must(err)
	return slices.DeleteFunc(list, func(a class.Assignment) bool { return a.ID == "A1" })
}

// terms are fields of the form of terms that can be taken, with others in their
// place.
func terms(others ...string) []string {
	fields := []string{
		"title", "Wheel shaft, week 2", "opens", "2026-11-25T08:00", "due", "2026-12-02T23:59", "closes", "2026-12-04T23:59", "zone", "Europe/Oslo",
		"lateoff", "10", "tries", "", "tryoff", "5", "weight", "1.5", "exercise", "exercise-twist",
	}
	for i := 0; i < len(others); i += 2 {
		at := slices.Index(fields, others[i])
		if at < 0 {
			fields = append(fields, others[i:i+2]...)
			continue
		}
		fields[at+1] = others[i+1]
	}
	return fields
}

func TestAssignALesson(t *testing.T) {
	s := openSchool(t)
	s.rewrite(askedText)
	_, body := s.get("I1", "/class/MILL/assign")
	wantWords(t, body, "First twist", `href="/lesson/wheel~A1"`, "Times in UTC", ">Mon\u00a030\u00a0Nov\u00a022:59<", ">open<", `href="/class/MILL/assign?lesson=wheel"`)
	_, body = s.get("I1", "/class/MILL/assign?lesson=wheel")
	wantWords(t, body, `value="The wheel shaft"`, `value="2026-12-02T23:59"`, `value="exercise-drawn" checked`, "1 try")
	r, body := s.post("I1", "/class/MILL/assign", terms("lesson", "wheel")...)
	wantStatus(t, r, body, http.StatusSeeOther)
	_, body = s.get("I1", r.Header.Get("Location"))
	wantWords(t, body, "Assigned.", "Wheel shaft, week 2", "Wed\u00a02\u00a0Dec\u00a023:59\u00a0CET")
	list := s.assignedIn()
	if len(list) != 1 {
		t.Fatalf("assigned %+v", list)
	}
	a := list[0]
	want := class.Assignment{
		ID: a.ID, Class: "MILL", Title: "Wheel shaft, week 2", Lesson: "wheel", Text: givenText.Hash, Exercises: []string{"exercise-twist"},
		// Oslo is an hour ahead of UTC in winter.
		Opens: time.Date(2026, 11, 25, 7, 0, 0, 0, time.UTC), Due: time.Date(2026, 12, 2, 22, 59, 0, 0, time.UTC), Closes: time.Date(2026, 12, 4, 22, 59, 0, 0, time.UTC),
		Zone: "Europe/Oslo", LateOff: 10, TryOff: 5, Weight: 1.5, MadeAt: schoolTime, ChangedAt: schoolTime,
	}
	if !slices.Equal(a.Exercises, want.Exercises) || assignment.TermsWords(&a, nil) != assignment.TermsWords(&want, nil) || a.Text != want.Text || a.Zone != want.Zone || !a.MadeAt.Equal(want.MadeAt) {
		t.Errorf("kept %+v\nwant %+v", a, want)
	}
	if _, body = s.get("S1", "/lesson/"+a.Key()); !strings.Contains(body, "The wheel shaft") {
		t.Error("a student does not find the lesson")
	}
	if got := s.logged(); !holds(got, "Wheel shaft, week 2", "wheel", "25 November 2026, 08:00 CET", "2 December 2026, 23:59 CET", "The wheel shaft") {
		t.Errorf("logged %q", got)
	}
}

func TestAssignSaysWhatIsWrongAtTheField(t *testing.T) {
	s := openSchool(t)
	s.rewrite(askedText)
	for _, c := range []struct {
		name   string
		fields []string
		words  []string
	}{
		{"no title", []string{"title", ""}, []string{`data-wrong="title"`, `value="2026-12-02T23:59"`}},
		{"no due time", []string{"due", ""}, []string{`data-wrong="due"`}},
		{"due before it opens", []string{"due", "2026-11-24T08:00", "closes", ""}, []string{`data-wrong="due"`}},
		{"due before now, opening at once", []string{"opens", "", "due", "2026-11-24T08:00", "closes", ""}, []string{`data-wrong="due"`}},
		{"closing before it is due", []string{"closes", "2026-12-01T08:00"}, []string{`data-wrong="closes"`}},
		{"no date", []string{"due", "soon"}, []string{`data-wrong="due"`, `value="soon"`}},
		// On 28 March 2027 the clocks of Oslo go from 02:00 to 03:00.
		{"a time that does not exist", []string{"due", "2027-03-28T02:30", "closes", ""}, []string{`data-wrong="due"`}},
		{"no such zone", []string{"zone", "Local"}, []string{`data-wrong="zone"`, `value="Local"`}},
		{"more than everything off", []string{"lateoff", "101"}, []string{`data-wrong="lateoff"`}},
		{"no number", []string{"tryoff", "NaN"}, []string{`data-wrong="tryoff"`}},
		{"a negative weight", []string{"weight", "-1"}, []string{`data-wrong="weight"`}},
		{"too many tries", []string{"tries", "21"}, []string{`data-wrong="tries"`}},
		{"no exercise", []string{"exercise", "exercise-none"}, []string{`data-wrong="exercise"`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := s.post("I1", "/class/MILL/assign", append(terms(c.fields...), "lesson", "wheel")...)
			wantStatus(t, r, body, http.StatusUnprocessableEntity)
			wantWords(t, body, append(c.words, `class="assign-look"`)...)
		})
	}
	if list := s.assignedIn(); len(list) != 0 {
		t.Errorf("assigned %+v", list)
	}
}

// On 31 October 2027 the clocks of Oslo go from 03:00 back to 02:00, so 02:30
// comes twice; the later one, 01:30 UTC, is meant (RFC 5545 has no rule for
// this; that the student gains by the choice is ours).
func TestATimeThatComesTwiceIsTold(t *testing.T) {
	s := openSchool(t)
	s.rewrite(askedText)
	form := append(terms("due", "2027-10-31T02:30", "closes", ""), "lesson", "wheel")
	r, body := s.post("I1", "/class/MILL/assign", form...)
	wantStatus(t, r, body, http.StatusOK)
	wantWords(t, body, `class="assign-look"`, `id="h-due"`, `name="heard" value="due 2027-10-31T02:30 "`)
	if list := s.assignedIn(); len(list) != 0 {
		t.Fatal("assigned before it was told")
	}
	r, body = s.post("I1", "/class/MILL/assign", append(form, "heard", "due 2027-10-31T02:30 ")...)
	wantStatus(t, r, body, http.StatusSeeOther)
	if a := s.assignedIn()[0]; !a.Due.Equal(time.Date(2027, 10, 31, 1, 30, 0, 0, time.UTC)) {
		t.Errorf("due at %v", a.Due)
	}
}

func TestWhatCannotBeSetIsNotAssigned(t *testing.T) {
	s := openSchool(t)
	for _, c := range []struct{ name, old, new, words string }{
		{"an exercise that cannot be read", "tolerance: 0.5 %", "tolerance: wide", "wheel.md, line"},
		{"an answer outside its own bounds", "high: 3 deg", "high: 0.2 deg", "outside"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s.rewrite(strings.Replace(askedText, c.old, c.new, 1))
			r, body := s.get("I1", "/class/MILL/assign?lesson=wheel")
			wantStatus(t, r, body, http.StatusUnprocessableEntity)
			wantWords(t, body, `id="assign-refused"`, c.words)
			r, body = s.post("I1", "/class/MILL/assign", append(terms(), "lesson", "wheel")...)
			wantStatus(t, r, body, http.StatusUnprocessableEntity)
		})
	}
	if r, body := s.get("I1", "/class/MILL/assign?lesson=quill"); r.StatusCode != http.StatusNotFound {
		t.Errorf("no such lesson: %d\n%s", r.StatusCode, body)
	}
	if list := s.assignedIn(); len(list) != 0 {
		t.Errorf("assigned %+v", list)
	}
}

func TestChangeTerms(t *testing.T) {
	s := openSchool(t)
	const path = "/class/MILL/assignment/A1"
	_, body := s.get("I1", path)
	wantWords(t, body, `value="First twist"`, `value="2026-11-30T22:59"`, `id="extensions-none"`, `value="exercise-twist" checked`)
	r, body := s.post("I1", path, terms("title", "")...)
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	wantWords(t, body, `data-wrong="title"`, `value="Europe/Oslo"`)
	r, body = s.post("I1", path, terms()...)
	wantStatus(t, r, body, http.StatusSeeOther)
	a, err := s.store.Assignment(t.Context(), "A1")
	s.must(err)
	if a.Title != "Wheel shaft, week 2" || a.LateOff != 10 || !slices.Equal(a.Exercises, []string{"exercise-twist"}) || a.Revision != 1 || a.Text != givenText.Hash {
		t.Errorf("kept %+v", a)
	}
	if got := s.logged(); !holds(got, "from “First twist” to “Wheel shaft, week 2”") {
		t.Errorf("logged %q", got)
	}
	s.post("I1", path, terms()...)
	if a, _ := s.store.Assignment(t.Context(), "A1"); a.Revision != 1 {
		t.Error("the same terms are kept as a change")
	}
	s.post("I1", path+"/withdraw", "do", "withdraw")
	_, body = s.get("I1", path)
	wantWords(t, body, `data-withdrawn="true"`, `value="give"`)
	if r, _ := s.get("S1", "/lesson/wheel~A1"); r.StatusCode != http.StatusGone {
		t.Errorf("a student at a withdrawn lesson: %d", r.StatusCode)
	}
	_, body = s.get("I1", "/class/MILL/assign")
	wantWords(t, body, "withdrawn")
	s.post("I1", path+"/withdraw", "do", "give")
	if r, _ := s.get("S1", "/lesson/wheel~A1"); r.StatusCode != http.StatusOK || !holds(s.logged(), "Wheel shaft, week 2") {
		t.Errorf("given again: %d, %s", r.StatusCode, s.logged())
	}
}

func TestOtherTimesForAStudent(t *testing.T) {
	s := openSchool(t)
	const path = "/class/MILL/assignment/A1"
	for _, c := range []struct {
		name   string
		fields []string
		words  string
	}{
		{"nobody", []string{"xdue", "2026-12-05T12:00", "xreason", "ill"}, `data-wrong="person"`},
		{"somebody of another class", []string{"person", "I2", "xdue", "2026-12-05T12:00", "xreason", "ill"}, `data-wrong="person"`},
		{"no time", []string{"person", "S1", "xreason", "ill"}, `data-wrong="xdue"`},
		{"no reason", []string{"person", "S1", "xdue", "2026-12-05T12:00"}, `data-wrong="xreason"`},
		{"before it opens", []string{"person", "S1", "xdue", "2026-11-05T12:00", "xreason", "ill"}, `data-wrong="xdue"`},
		{"not later than the class", []string{"person", "S1", "xdue", "2026-11-29T12:00", "xreason", "ill"}, `data-wrong="xdue"`},
		{"the same as the class", []string{"person", "S1", "xdue", "2026-11-30T22:59", "xreason", "ill"}, `data-wrong="xdue"`},
		{"closing before it is due", []string{"person", "S1", "xdue", "2026-12-05T12:00", "xcloses", "2026-12-04T12:00", "xreason", "ill"}, `data-wrong="xcloses"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, body := s.post("I1", path+"/times", c.fields...)
			wantStatus(t, r, body, http.StatusUnprocessableEntity)
			wantWords(t, body, c.words)
		})
	}
	r, body := s.post("I1", path+"/times", "person", "S1", "xdue", "2026-12-05T12:00", "xreason", "ill for a week")
	wantStatus(t, r, body, http.StatusSeeOther)
	_, body = s.get("I1", r.Header.Get("Location"))
	wantWords(t, body, `role="status"`, `Student 01</bdi></th><td class="when">5 December 2026, 12:00 UTC</td><td class="when">5 December 2026, 12:00 UTC`, "ill for a week", "Instructor 1")
	if got := s.logged(); !holds(got, "First twist", "Student 01", "5 December 2026, 12:00 UTC", "ill for a week") {
		t.Errorf("logged %q", got)
	}
	r, body = s.post("I1", path+"/times/S1/end")
	wantStatus(t, r, body, http.StatusSeeOther)
	if list, err := s.store.Extensions(t.Context(), "A1"); err != nil || len(list) != 0 {
		t.Errorf("ended: %+v, %v", list, err)
	}
}

func TestTheFileHasChangedSince(t *testing.T) {
	s := openSchool(t)
	const path = "/class/MILL/assignment/A1"
	s.rewrite(askedText)
	_, body := s.get("I1", path)
	for _, list := range []string{"/class/MILL", "/class/MILL/assign"} {
		if _, body := s.get("I1", list); strings.Contains(body, `data-file="changed"`) {
			t.Errorf("%s says of a file that is the same that it has changed", list)
		}
	}
	wantWords(t, body, `data-file="same"`, givenText.Hash[:12], "25 November 2026, 09:00 UTC")
	s.rewrite(strings.Replace(askedText, "tolerance: 0.5 %", "tolerance: 2 %", 1))
	for _, list := range []string{"/class/MILL", "/class/MILL/assign"} {
		_, body = s.get("I1", list)
		wantWords(t, body, `data-file="changed"`)
	}
	_, body = s.get("I1", path)
	wantWords(t, body, `data-file="changed"`, `class="out"`, "tolerance: <mark>0.5</mark> %", `class="in"`, "tolerance: <mark>2</mark> %")
	delete(s.Catalog.Files.(fstest.MapFS), "wheel.md")
	_, body = s.get("I1", path)
	wantWords(t, body, `data-file="gone"`)
}

func TestTheLinksOfAnAssignment(t *testing.T) {
	s := openSchool(t)
	a, err := s.store.Assignment(t.Context(), "A1")
	s.must(err)
	_, body := s.get("I1", page.AssignmentPath(&a))
	for _, path := range []string{
		"/lesson/wheel~A1", "/lesson/wheel~A1/board", "/class/MILL/room/A1", "/class/MILL/marks?assignment=A1", "/class/MILL/items?assignment=A1",
		"/class/MILL/sheets/A1", "/class/MILL/answers/A1",
	} {
		wantWords(t, body, `href="`+path+`"`)
		r, to := s.get("I1", path)
		wantStatus(t, r, to, http.StatusOK)
		if !strings.Contains(to, "<h1") {
			t.Errorf("%s is no page", path)
		}
	}
}

func TestChangeAClass(t *testing.T) {
	s := openSchool(t)
	_, body := s.get("I1", "/class/MILL")
	wantWords(t, body, `value="Mill &lt;b&gt;A&lt;/b&gt;"`, `value="Autumn"`, `<details id="class-details">`)
	r, body := s.post("I1", "/class/MILL", "name", "", "term", "Spring", "zone", "Local")
	wantStatus(t, r, body, http.StatusUnprocessableEntity)
	wantWords(t, body, `<details id="class-details" open>`, `data-wrong="name"`, `data-wrong="zone"`, `value="Spring"`)
	r, body = s.post("I1", "/class/MILL", "name", "Drive line", "term", "Spring", "zone", "Europe/Oslo")
	wantStatus(t, r, body, http.StatusSeeOther)
	c, err := s.store.Class(t.Context(), "MILL")
	if err != nil || c.Name != "Drive line" || c.Term != "Spring" || c.Zone != "Europe/Oslo" || c.JoinCode != "ABCD-EFGH" {
		t.Errorf("%+v, %v", c, err)
	}
	if got := s.logged(); !holds(got, "Mill <b>A</b>", "Autumn", "UTC", "Drive line", "Spring", "Europe/Oslo") {
		t.Errorf("logged %q", got)
	}
	_, body = s.get("I1", "/class/MILL")
	wantWords(t, body, "Mon\u00a030\u00a0Nov\u00a022:59\u00a0UTC") // as it was said when it was given
}
