package storetest

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

// entry is a line of the log about student 1.
func entry(action string) class.Entry {
	return class.Entry{Class: "C", By: person(0).ID, At: micro, Action: action, About: person(1).ID, Assignment: "A",
		Exercise: "exercise-1", Detail: "Student 01: 1 to 2"}
}

// Work keeps something of student 1 of class C in every table.
func Work(t *testing.T, s contract.Store) (student string) {
	t.Helper()
	school(t, s)
	student = person(1).ID
	for _, submission := range []string{"s1", "s2"} {
		a := attempt(submission)
		a.Learner, a.Lesson = student, "the-quill~A"
		submit(t, s, a, 0)
	}
	p := prediction("p1")
	p.Learner, p.Lesson = student, "the-quill~A"
	_, _, err := s.AddPrediction(t.Context(), p)
	mustSucceed(t, err)
	mustSucceed(t, s.Reveal(t.Context(), store.Hint{Place: p.Place, Level: 1, At: noon}))
	_, err = s.Save(t.Context(), student, "the-quill~A", 0, []store.Edit{text("calc-1", "MARKER-OF-STUDENT-ONE")}, noon)
	mustSucceed(t, err)
	mustSucceed(t, s.Practise(t.Context(), store.Practice{Learner: student, Lesson: "the-quill", Exercise: "exercise-1", Box: 1, Due: micro, At: micro}, 10))
	own := ownPage("PAGE-1", "MARKER-OF-STUDENT-ONE")
	mustSucceed(t, s.AddPage(t.Context(), student, own, 10))
	own.Text = "# θ\n\nMARKER-OF-STUDENT-ONE, again"
	_, err = s.WritePage(t.Context(), student, own, 1, store.Earlier)
	mustSucceed(t, err)
	shared := share("L")
	shared.Learner, shared.Page, shared.By = student, own.ID, "MARKER-OF-STUDENT-ONE"
	mustSucceed(t, s.AddShare(t.Context(), shared, 10))
	mustSucceed(t, s.ShowPage(t.Context(), class.ShownPage{Class: "C", Person: student, Page: own.ID, At: micro}, 10, class.Entry{}))
	answer := pageNote("N")
	answer.Text = "MARKER-OF-STUDENT-ONE"
	mustSucceed(t, s.AddNote(t.Context(), answer, 10, class.Entry{}))
	// Nobody is erased who may write lessons; were it otherwise, nothing of it must stay.
	d, err := s.WriteDraft(t.Context(), draft(student, "MARKER-OF-STUDENT-ONE"), 0, false, 10)
	mustSucceed(t, err)
	_, err = s.WriteDraft(t.Context(), draft(student, "MARKER-OF-STUDENT-ONE, again"), d.Revision, true, 10)
	mustSucceed(t, err)
	mustSucceed(t, s.Published(t.Context(), []class.LessonVersion{lessonVersion(class.VersionPublished, student, "of the class")}, "", 0))
	x := class.Extension{Assignment: "A", Person: student, Due: micro, Closes: micro, At: micro}
	mustSucceed(t, s.SetExtension(t.Context(), x, entry("extension")))
	o := class.Override{Assignment: "A", Person: student, Exercise: "exercise-1", Points: 2, Reason: "MARKER-OF-STUDENT-ONE", By: person(0).ID, At: micro}
	mustSucceed(t, s.Override(t.Context(), o, entry("override")))
	r := class.Regrade{Person: student, Exercise: "exercise-1", Submission: "s1", Verdict: "right", Points: 1, Program: "next"}
	mustSucceed(t, s.Regrade(t.Context(), "A", quillText, []class.Regrade{r}, entry("recompute")))
	mustSucceed(t, s.Here(t.Context(), class.Presence{Person: student, Lesson: "the-quill~A", Place: "calc-1", At: micro}))
	mustSucceed(t, s.OpenSession(t.Context(), class.Session{Hash: "h1", Person: student, EndsAt: micro.Add(time.Hour)}))
	mustSucceed(t, s.PutLink(t.Context(), link("l1", class.ForEntry, student)))
	return student
}

var markCases = []ClassCase{
	{"all overrides are kept", "an audit needs what stood before", func(t *testing.T, s contract.Store) {
		school(t, s)
		first := class.Override{Assignment: "A", Person: person(1).ID, Exercise: "exercise-1", Points: 2, Reason: "a slip of the lesson", By: person(0).ID, At: micro}
		second := first
		second.Withdrawn, second.Points = true, 0
		mustSucceed(t, s.Override(t.Context(), first, class.Entry{}))
		mustSucceed(t, s.Override(t.Context(), second, class.Entry{}))
		got, err := s.Overrides(t.Context(), "A")
		mustSucceed(t, err)
		same(t, "overrides", got, []class.Override{first, second})
		first.Points = math.NaN()
		wantError(t, "NaN", s.Override(t.Context(), first, class.Entry{}), store.ErrInvalid)
		first.Points, first.Reason = 1, "\x00"
		wantError(t, "NUL", s.Override(t.Context(), first, class.Entry{}), store.ErrInvalid)
	}},
	{"marking again keeps what stood before", "a student may ask why the mark changed", func(t *testing.T, s contract.Store) {
		school(t, s)
		a := attempt("s1")
		a.Learner, a.Lesson = person(1).ID, "the-quill~A"
		before := submit(t, s, a, 0)
		mended := class.Frozen{Hash: class.HashText("mended"), Name: "the-quill.md", Text: "mended"}
		r := class.Regrade{Person: a.Learner, Exercise: a.Exercise, Submission: "s1", Verdict: "right", Message: "Right.", Points: 2, Program: "next"}
		wrong := r
		wrong.Submission = "none"
		wantError(t, "an attempt that is not there", s.Regrade(t.Context(), "A", mended, []class.Regrade{r, wrong}, entry("recompute")), class.ErrNone)
		mustSucceed(t, s.Regrade(t.Context(), "A", mended, []class.Regrade{r}, entry("recompute"), entry("recompute"), class.Entry{}))
		after := before
		after.Verdict, after.Slip, after.Message, after.Points, after.Program = "right", "", "Right.", 2, "next"
		all, err := s.AttemptsIn(t.Context(), "the-quill~A")
		mustSucceed(t, err)
		same(t, "attempts", all, []store.Attempt{after})
		old, err := s.Regraded(t.Context(), "the-quill~A")
		mustSucceed(t, err)
		same(t, "remarked", old, []store.Attempt{before})
		got, err := s.Assignment(t.Context(), "A")
		if err != nil || got.Revision != 1 || got.Text != mended.Hash {
			t.Errorf("%+v, %v", got, err)
		}
		log, err := s.Log(t.Context(), "C", "", 0, 10)
		if err != nil || len(log) != 2 {
			t.Errorf("%d lines in the log, %v; want that of the class and that about the student", len(log), err)
		}
	}},
	{"a lesson's work is found across learners", "a marks sheet is one look", func(t *testing.T, s contract.Store) {
		student := Work(t, s)
		a, err := s.AttemptsIn(t.Context(), "the-quill~A")
		mustSucceed(t, err)
		p, err := s.PredictionsIn(t.Context(), "the-quill~A")
		mustSucceed(t, err)
		h, err := s.HintsIn(t.Context(), "the-quill~A")
		mustSucceed(t, err)
		if len(a) != 2 || a[0].Submission != "s1" || len(p) != 1 || len(h) != 1 || h[0].Learner != student {
			t.Errorf("%+v\n%+v\n%+v", a, p, h)
		}
	}},
	{"the log is read page by page", "a log grows for years", func(t *testing.T, s contract.Store) {
		school(t, s)
		for _, action := range []string{"1", "2", "", "3"} { // without an action nothing is written
			mustSucceed(t, s.Note(t.Context(), entry(action)))
		}
		first, err := s.Log(t.Context(), "C", "", 0, 2)
		mustSucceed(t, err)
		if len(first) != 2 || first[0].Action != "3" || first[1].Action != "2" {
			t.Fatalf("%+v", first)
		}
		second, err := s.Log(t.Context(), "C", "", first[1].ID, 2)
		mustSucceed(t, err)
		want := entry("1")
		if len(second) == 1 {
			want.ID = second[0].ID
		}
		same(t, "second page", second, []class.Entry{want})
	}},
	{"the log is read for one person", "a student asks what was changed", func(t *testing.T, s contract.Store) {
		school(t, s)
		other, nobody, elsewhere := entry("2"), entry("3"), entry("4")
		other.About, nobody.About, elsewhere.Class = person(2).ID, "", "D"
		for _, e := range []class.Entry{entry("1"), other, nobody, elsewhere, entry("5")} {
			mustSucceed(t, s.Note(t.Context(), e))
		}
		newest, err := s.Log(t.Context(), "C", person(1).ID, 0, 1)
		mustSucceed(t, err)
		if len(newest) != 1 || newest[0].Action != "5" {
			t.Fatalf("%+v", newest)
		}
		older, err := s.Log(t.Context(), "C", person(1).ID, newest[0].ID, 10)
		mustSucceed(t, err)
		if len(older) != 1 || older[0].Action != "1" {
			t.Errorf("%+v", older)
		}
	}},
	{"a dossier has everything", "the law gives a student a copy", func(t *testing.T, s contract.Store) {
		student := Work(t, s)
		d, err := s.Dossier(t.Context(), student)
		mustSucceed(t, err)
		for what, n := range map[string][2]int{"members": {len(d.Members), 1}, "extensions": {len(d.Extensions), 1},
			"overrides": {len(d.Overrides), 1}, "attempts": {len(d.Attempts), 2}, "remarked": {len(d.Regraded), 1},
			"predictions": {len(d.Predictions), 1}, "hints": {len(d.Hints), 1}, "practice": {len(d.Practice), 1}, "workings": {len(d.Workings), 1},
			"edits": {len(d.Workings["the-quill~A"].Edits), 1}, "entries": {len(d.Entries), 3},
			"pages": {len(d.Pages), 1}, "versions of pages": {len(d.PageVersions["PAGE-1"]), 1},
			"links": {len(d.Shares), 1}, "shown pages": {len(d.Shown), 1}, "answers": {len(d.PageNotes), 1},
			"drafts": {len(d.Drafts), 1}, "versions of lessons": {len(d.LessonVersions), 2}} {
			if n[0] != n[1] {
				t.Errorf("%s: %d, want %d", what, n[0], n[1])
			}
		}
		same(t, "person", d.Person, person(1))
		_, err = s.Dossier(t.Context(), "nobody")
		wantError(t, "nobody", err, class.ErrNone)
	}},
	{"staff are not erased", "marks would lose who gave them", func(t *testing.T, s contract.Store) {
		student := Work(t, s)
		wantError(t, "instructor", s.Erase(t.Context(), person(0).ID, class.Entry{}), class.ErrStaff)
		wantError(t, "nobody", s.Erase(t.Context(), "nobody", class.Entry{}), class.ErrNone)
		mustSucceed(t, s.Erase(t.Context(), student, entry("erase")))
		log, err := s.Log(t.Context(), "C", "", 0, 10)
		mustSucceed(t, err)
		for i, e := range log {
			if e.About != "" || i > 0 && e.Detail != "" {
				t.Errorf("%+v", e)
			}
		}
		if len(log) != 4 {
			t.Errorf("%d lines", len(log))
		}
		if all, err := s.AttemptsIn(t.Context(), "the-quill~A"); err != nil || len(all) != 0 {
			t.Errorf("%d attempts, %v", len(all), err)
		}
	}},
	{"what is on its way when a person is erased is not kept", "deleted for good means all of it", func(t *testing.T, s contract.Store) {
		student := Work(t, s)
		place := attempt("x").Place
		place.Learner, place.Lesson = student, "the-quill~A"
		free := place
		free.Lesson = "the-quill" // mustSucceed assignment, and the same person
		sends := map[string]func(n int) error{
			"Submit": func(n int) error {
				a := attempt(fmt.Sprint("late-", n))
				a.Place = place
				_, _, err := s.Submit(t.Context(), a, 0)
				return err
			},
			"Submit freely": func(n int) error {
				a := attempt(fmt.Sprint("free-", n))
				a.Place = free
				_, _, err := s.Submit(t.Context(), a, 0)
				return err
			},
			"Commit": func(n int) error {
				p := prediction(fmt.Sprint("late-", n))
				p.Place = place
				p.Part = fmt.Sprint(n)
				_, _, err := s.AddPrediction(t.Context(), p)
				return err
			},
			"Reveal": func(n int) error {
				return s.Reveal(t.Context(), store.Hint{Place: place, Level: 2 + n, At: noon})
			},
			"Save": func(n int) error {
				_, err := s.Save(t.Context(), student, free.Lesson, 0, []store.Edit{text("calc-1", fmt.Sprint("MARKER-OF-STUDENT-ONE ", n))}, noon)
				return err
			},
			"AddPage": func(n int) error {
				return s.AddPage(t.Context(), student, ownPage(fmt.Sprint("late-", n), "MARKER-OF-STUDENT-ONE"), 1<<30)
			},
			"WriteDraft": func(n int) error {
				d := draft(student, "MARKER-OF-STUDENT-ONE")
				d.Lesson = fmt.Sprint("late-", n)
				_, err := s.WriteDraft(t.Context(), d, 0, false, 1<<30)
				return err
			},
			"Here": func(n int) error {
				return s.Here(t.Context(), class.Presence{Person: student, Lesson: place.Lesson, Place: "calc-2", At: micro})
			},
		}
		var all sync.WaitGroup
		begun := make(chan struct{}, len(sends))
		for what, send := range sends {
			all.Go(func() {
				for n := 0; ; n++ {
					err := send(n)
					if n == 0 {
						begun <- struct{}{}
					}
					if err != nil {
						wantError(t, what, err, store.ErrErased)
						return
					}
				}
			})
		}
		for range sends {
			<-begun
		}
		mustSucceed(t, s.Erase(t.Context(), student, entry("erase")))
		all.Wait()
		for what, send := range sends {
			wantError(t, what+", later", send(1<<20), store.ErrErased)
		}
		a, err := s.AttemptsIn(t.Context(), place.Lesson)
		mustSucceed(t, err)
		b, err := s.AttemptsIn(t.Context(), free.Lesson)
		mustSucceed(t, err)
		p, err := s.PredictionsIn(t.Context(), place.Lesson)
		mustSucceed(t, err)
		h, err := s.HintsIn(t.Context(), place.Lesson)
		mustSucceed(t, err)
		here, err := s.Present(t.Context(), place.Lesson, micro)
		mustSucceed(t, err)
		w, err := s.Working(t.Context(), student, free.Lesson)
		mustSucceed(t, err)
		own, err := s.Pages(t.Context(), student)
		mustSucceed(t, err)
		drafts, err := s.Drafts(t.Context(), student)
		mustSucceed(t, err)
		if n := len(a) + len(b) + len(p) + len(h) + len(here) + len(w.Edits) + len(own) + len(drafts); n != 0 || w.Revision != 0 {
			t.Errorf("%d things are kept, and revision %d", n, w.Revision)
		}
	}},
}

var roomCases = []ClassCase{
	{"who is where", "the room shows who is there now", func(t *testing.T, s contract.Store) {
		for i, at := range []time.Time{micro, micro.Add(time.Minute), micro.Add(-time.Hour)} {
			p := class.Presence{Person: person(3 - i).ID, Lesson: "the-quill~A", Place: "calc-1", At: at}
			mustSucceed(t, s.Here(t.Context(), p))
			p.Place = "calc-2"
			mustSucceed(t, s.Here(t.Context(), p))
		}
		got, err := s.Present(t.Context(), "the-quill~A", micro)
		mustSucceed(t, err)
		same(t, "present", got, []class.Presence{
			{Person: person(2).ID, Lesson: "the-quill~A", Place: "calc-2", At: micro.Add(time.Minute)},
			{Person: person(3).ID, Lesson: "the-quill~A", Place: "calc-2", At: micro}})
	}},
	{"watchers are told", "the room follows without loading again", func(t *testing.T, s contract.Store) {
		WatchTells(t, s, s)
	}},
	{"watching ends", "a closed room must not be kept for ever", func(t *testing.T, s contract.Store) {
		ctx, cancel := context.WithCancel(t.Context())
		one, err := s.Watch(ctx)
		mustSucceed(t, err)
		two, err := s.Watch(t.Context())
		mustSucceed(t, err)
		cancel()
		for range one {
		}
		mustSucceed(t, s.Close())
		for range two {
		}
		_, err = s.Watch(t.Context())
		wantError(t, "after", err, store.ErrClosed)
		_, err = s.Person(t.Context(), "x")
		wantError(t, "Person", err, store.ErrClosed)
		wantError(t, "AddPerson", s.AddPerson(t.Context(), person(1)), store.ErrClosed)
	}},
	{"a caller that has gone leaves the store sound", "a browser closes on the way", func(t *testing.T, s contract.Store) {
		gone, cancel := context.WithCancel(t.Context())
		cancel()
		wantError(t, "AddPerson", s.AddPerson(gone, person(1)), context.Canceled)
		if err := s.AddPerson(t.Context(), person(1)); err != nil && !errors.Is(err, class.ErrTaken) {
			t.Error(err)
		}
	}},
}

// WatchTells wants a watcher at one store to be told of everything that is kept
// at another of the same database.
func WatchTells(t *testing.T, watched, writing contract.Store) {
	school(t, writing)
	names, err := watched.Watch(t.Context())
	mustSucceed(t, err)
	a := attempt("s1")
	a.Learner, a.Lesson = person(1).ID, "the-quill~A"
	p := prediction("p1")
	p.Learner, p.Lesson = person(1).ID, "the-quill~A"
	heard := func(what string) {
		t.Helper()
		t.Logf("waiting to be told of %s", what)
		for name := range names {
			if name == "the-quill~A" {
				return
			}
		}
		t.Fatalf("%s: the watcher ended", what)
	}
	// A watcher of a database that notifies may still be connecting: what it missed it
	// gets as an empty name.
	mustSucceed(t, writing.Here(t.Context(), class.Presence{Person: "x", Lesson: "the-quill~A", At: micro}))
	<-names
	for _, c := range []struct {
		name string
		keep func() error
	}{
		{"attempt", func() error { _, _, err := writing.Submit(t.Context(), a, 0); return err }},
		{"prediction", func() error { _, _, err := writing.AddPrediction(t.Context(), p); return err }},
		{"hint", func() error { return writing.Reveal(t.Context(), store.Hint{Place: p.Place, Level: 1, At: noon}) }},
		{"override", func() error {
			return writing.Override(t.Context(), class.Override{Assignment: "A", Person: a.Learner, At: micro}, class.Entry{})
		}},
		{"remark", func() error { return writing.Regrade(t.Context(), "A", quillText, nil, entry("recompute")) }},
		{"a name", func() error { return writing.Tell(t.Context(), "the-quill~A") }},
		{"presence", func() error {
			return writing.Here(t.Context(), class.Presence{Person: a.Learner, Lesson: a.Lesson, At: micro})
		}},
	} {
		mustSucceed(t, c.keep())
		heard(c.name)
	}
}
