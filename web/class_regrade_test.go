package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"shaftbook/exercises/class"
	"shaftbook/web/app/attempt"
)

var shownPrint = regexp.MustCompile(`name="shown" value="([0-9a-f]+)"`)

// printOf is the fingerprint that the page of a remarking carries.
func printOf(t *testing.T, body string) string {
	t.Helper()
	m := shownPrint.FindStringSubmatch(body)
	if m == nil {
		t.Fatalf("no fingerprint on the page\n%s", body)
	}
	return m[1]
}

const remarkPath = "/class/MILL/assignment/A1/recompute"

// The author meant 5 %; with 0.5 % an answer of 0.78 deg to 0.7598 deg was off.
func TestMarkAgainAfterAMend(t *testing.T) {
	s := openSchool(t)
	s.rewrite(askedText)
	s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.78 deg")
	s.hand("S1", "wheel~A1", "exercise-twist", "section", "521153 mm⁴")
	s.rewrite(strings.Replace(askedText, "tolerance: 0.5 %", "tolerance: 5 %", 1))
	_, body := s.get("I1", "/class/MILL/assignment/A1")
	wantWords(t, body, `href="`+remarkPath+`"`)
	before := s.contents()
	r, body := s.get("I1", remarkPath)
	wantStatus(t, r, body, http.StatusOK)
	wantWords(t, body, `Student 01</bdi></th><td>The wheel shaft</td><td class="n">1 of 3</td><td class="n"><strong>3 of 3</strong>`,
		`data-answers="2" data-changed="1"`, "tolerance: 5 %")
	if changed := s.changedSince(before); changed != nil {
		t.Fatalf("looking changed %v", changed)
	}
	r, body = s.post("I1", remarkPath, "shown", printOf(t, body))
	wantStatus(t, r, body, http.StatusSeeOther)
	_, body = s.get("I1", r.Header.Get("Location"))
	wantWords(t, body, `role="status"`, `data-file="same"`)

	_, body = s.get("S1", "/lesson/wheel~A1")
	if text := exerciseText(t, body, "exercise-twist"); !strings.Contains(text, "3 of 3 points") || strings.Contains(text, "Not yet") {
		t.Errorf("the student reads: %s", text)
	}
	old, err := s.store.Regraded(t.Context(), "wheel~A1")
	if err != nil || len(old) != 1 || old[0].Verdict != "off" {
		t.Errorf("what stood before: %+v, %v", old, err)
	}
	log, err := s.store.Log(t.Context(), "MILL", "S1", 0, 10)
	if err != nil || len(log) == 0 || !holds(log[0].Detail, "First twist", "The wheel shaft", "1 of 3 to 3 of 3") || log[0].Assignment != "A1" {
		t.Errorf("logged about the student: %+v, %v", log, err)
	}
	log, err = s.store.Log(t.Context(), "MILL", "", 0, 2)
	if err != nil || len(log) != 2 || !holds(log[1].Detail, "2 answers", "1 student") || strings.Contains(log[1].Detail, "Student") {
		t.Errorf("logged about the class: %+v, %v", log, err)
	}
}

func TestNothingIsMarkedAgainThatWasNotShown(t *testing.T) {
	s := openSchool(t)
	mended := strings.Replace(askedText, "tolerance: 0.5 %", "tolerance: 5 %", 1)
	s.rewrite(mended)
	s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.78 deg")
	for _, c := range []struct {
		name   string
		change func()
	}{
		{"another answer", func() { s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.77 deg") }},
		{"another text of the file", func() { s.rewrite(strings.Replace(mended, "By how much", "How far", 1)) }},
		{"other terms", func() { s.retime(func(a *class.Assignment) { a.LateOff = 10 }) }},
		{"a mark set by hand", func() {
			s.must(s.store.Override(t.Context(), class.Override{Assignment: "A1", Person: "S1", Exercise: "exercise-twist", Points: 1, Reason: "so", By: "I1", At: schoolTime}, class.Entry{}))
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, body := s.get("I1", remarkPath)
			c.change()
			before := s.contents()
			r, body := s.post("I1", remarkPath, "shown", printOf(t, body))
			wantStatus(t, r, body, http.StatusConflict)
			wantWords(t, body, `id="stale"`)
			if changed := s.changedSince(before); changed != nil {
				t.Errorf("changed %v", changed)
			}
		})
	}
	if r, body := s.post("I1", remarkPath); r.StatusCode != http.StatusConflict {
		t.Errorf("without a page: %d\n%s", r.StatusCode, body)
	}
}

func TestWhatCannotBeJudgedAgainStays(t *testing.T) {
	s := openSchool(t)
	s.hand("S1", "wheel~A1", "exercise-twist", "twist", "0.7598 deg")
	s.hand("S1", "wheel~A1", "exercise-twist", "section", "521153 mm⁴")
	s.hand("S1", "wheel~A1", "exercise-drawn", "", "1 MPa")
	for _, c := range []struct{ name, text, words string }{
		{"other numbers", strings.Replace(askedText, "L: 1.3 m", "L: 1.4 m", 1), "The wheel shaft</td><td class=\"n\">2</td><td>" + attempt.OtherNumbers},
		{"a part that is gone", strings.Replace(askedText, "- name: section", "- name: inertia", 1), "The wheel shaft</td><td class=\"n\">1</td><td>" + attempt.NoPart},
		{"an exercise that is gone", askedText[:strings.Index(askedText, "```exercise drawn")], "A shaft of one’s own</td><td class=\"n\">1</td><td>the exercise is no longer in the lesson"},
		{"an exercise that is new", askedText + strings.Replace(askedText[strings.Index(askedText, "```exercise drawn"):], "exercise drawn", "exercise another", 1), "A shaft of one’s own is new. It counts"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s.rewrite(c.text)
			r, body := s.get("I1", remarkPath)
			wantStatus(t, r, body, http.StatusOK)
			wantWords(t, body, c.words)
		})
	}
	s.rewrite(strings.Replace(askedText, "L: 1.3 m", "L: 1.4 m", 1))
	_, body := s.get("I1", remarkPath)
	kept, err := s.store.AttemptsIn(t.Context(), "wheel~A1")
	s.must(err)
	r, body := s.post("I1", remarkPath, "shown", printOf(t, body))
	wantStatus(t, r, body, http.StatusSeeOther)
	after, err := s.store.AttemptsIn(t.Context(), "wheel~A1")
	s.must(err)
	for i := range kept {
		if kept[i].Verdict != after[i].Verdict || kept[i].Points != after[i].Points {
			t.Errorf("an answer to other numbers changed from %+v to %+v", kept[i], after[i])
		}
	}
	s.rewrite(strings.Replace(askedText, "tolerance: 0.5 %", "tolerance: wide", 1))
	r, body = s.get("I1", remarkPath)
	wantStatus(t, r, body, http.StatusConflict)
	wantWords(t, body, `id="remark-refused"`, "wheel.md, line 22")
}
