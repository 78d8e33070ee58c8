package regrade

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
)

// wheelText has two exercises of one part, worth 2 points each.
const wheelText = `---
title: The wheel shaft
order: 1
summary: One shaft.
minutes: 5
---

` + "```exercise twist" + `
title: Twist
given: {T: 420 N·m, L: 1.3 m, G: 79 GPa, d: 48 mm}
ask:
  - name: turn
    text: By how much does it turn?
    answer: T·L/(G·π/32·d^4)
    unit: deg
    tolerance: 0.5 %
    points: 2
` + "```\n\n```exercise stress" + `
title: Stress
given: {T: 420 N·m, d: 48 mm}
ask:
  - name: turn
    text: The greatest shear stress
    answer: 16·T/(π·d^3)
    unit: MPa
    tolerance: 1 %
    points: 2
` + "```\n"

// A fakeStore holds the answers to one assignment.
type fakeStore struct {
	frozen    class.Frozen
	attempts  []store.Attempt
	overrides []class.Override

	text     class.Frozen // as Regrade was called
	regrades []class.Regrade
	log      []class.Entry
}

func (s *fakeStore) Members(context.Context, string) ([]class.Person, []class.Member, error) {
	return []class.Person{{ID: "I1", Name: "Instructor 1"}, {ID: "S1", Name: "Student 01"}, {ID: "S2", Name: "Student 02"}},
		[]class.Member{{Person: "I1", Role: class.Staff}, {Person: "S1", Role: class.Student}, {Person: "S2", Role: class.Student, Left: true}}, nil
}

func (s *fakeStore) Frozen(context.Context, string) (class.Frozen, error) { return s.frozen, nil }

func (s *fakeStore) Extensions(context.Context, string) ([]class.Extension, error) { return nil, nil }

func (s *fakeStore) Overrides(context.Context, string) ([]class.Override, error) {
	return s.overrides, nil
}

func (s *fakeStore) AttemptsIn(context.Context, string) ([]store.Attempt, error) {
	return append([]store.Attempt{}, s.attempts...), nil
}

func (s *fakeStore) Regrade(_ context.Context, _ string, text class.Frozen, regrades []class.Regrade, e class.Entry, about ...class.Entry) error {
	s.text, s.regrades, s.log = text, regrades, append([]class.Entry{e}, about...)
	return nil
}

// A fakeJudge gives the verdicts of its tables, by the submission; an answer that
// is in neither is judged as it was.
type fakeJudge struct {
	right  map[string]bool
	cannot map[string]string
}

func (j *fakeJudge) Structure(_ context.Context, p attempt.Place) (*exercises.Structure, error) {
	e, _ := exercises.Parse(p.Cell.Name, p.Cell.Text)
	return e.Structures[0], nil
}

func (j *fakeJudge) Regrade(_ context.Context, _ attempt.Place, e *exercises.Exercise, attempts []store.Attempt) (*exercises.Structure, []attempt.Regraded, error) {
	list := make([]attempt.Regraded, len(attempts))
	for i, a := range attempts {
		r := class.Regrade{Person: a.Learner, Exercise: a.Exercise, Submission: a.Submission, Verdict: a.Verdict, Points: a.Points}
		if j.right[a.Submission] {
			r.Verdict, r.Points = "right", 2
		}
		list[i] = attempt.Regraded{Regrade: r, Changed: r.Verdict != a.Verdict, Cannot: j.cannot[a.Submission]}
	}
	return e.Structures[0], list, nil
}

// A rig is an assignment of wheelText with three wrong answers, one of them to
// numbers for practice.
type rig struct {
	*Service
	store  *fakeStore
	judge  *fakeJudge
	folder fstest.MapFS
	a      class.Assignment
}

func newRig(t *testing.T) *rig {
	t.Helper()
	due := time.Date(2026, 11, 30, 22, 59, 0, 0, time.UTC)
	r := &rig{
		store:  &fakeStore{frozen: class.Frozen{Hash: class.HashText(wheelText), Name: "wheel.md", Text: wheelText}},
		judge:  &fakeJudge{},
		folder: fstest.MapFS{"wheel.md": {Data: []byte(wheelText)}},
		a: class.Assignment{
			ID: "A1", Class: "MILL", Title: "First twist", Lesson: "wheel", Text: class.HashText(wheelText), Opens: due.AddDate(0, 0, -7), Due: due, Closes: due, Zone: "UTC", Weight: 1,
		},
	}
	answer := func(id, who, exercise string, series int) store.Attempt {
		return store.Attempt{
			Submission: id, Number: 1, Answer: "1", Verdict: "off", At: due.AddDate(0, 0, -1),
			Place: store.Place{Learner: who, Lesson: r.a.Key(), Exercise: exercise, Part: "turn", Series: series},
		}
	}
	r.store.attempts = []store.Attempt{answer("one", "S1", "exercise-twist", 0), answer("two", "S2", "exercise-stress", 0), answer("practice", "S1", "exercise-twist", 1)}
	catalog, _ := lessons.Load(r.folder)
	r.Service = &Service{
		Store: r.store, Judge: r.judge, Files: assignment.NewFiles(lessons.NewCurrent(catalog)),
		Given: func(context.Context, class.Assignment) (*lessons.Lesson, error) {
			l, _ := lessons.Parse("wheel.md", []byte(wheelText))
			return l.WithKey(r.a.Key()), nil
		},
	}
	return r
}

func (r *rig) rewrite(old, fresh string) {
	r.folder["wheel.md"] = &fstest.MapFile{Data: []byte(strings.Replace(wheelText, old, fresh, 1))}
}

func (r *rig) compare(t *testing.T) *Difference {
	t.Helper()
	d, err := r.Compare(t.Context(), r.a)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		name          string
		old, fresh    string // of the text
		right, cannot string // a submission
		answers       int
		changed       int
		mark          string // "old → new" of the one that changes, or empty
		kept, notes   int
	}{
		{"the same text", "", "", "", "", 2, 0, "", 0, 0},
		{"an answer is right now", "0.5 %", "5 %", "one", "", 2, 1, "0 of 2 → 2 of 2", 0, 0},
		{"of a student who has left too", "0.5 %", "5 %", "two", "", 2, 1, "0 of 2 → 2 of 2", 0, 0},
		{"practice is not judged", "0.5 %", "5 %", "practice", "", 2, 0, "", 0, 0},
		{"an answer to other numbers", "1.3 m", "1.4 m", "", "one", 1, 0, "", 1, 0},
		{"an exercise that is gone", "```exercise twist", "```exercise turn", "", "", 1, 0, "0 of 2 → does not count", 1, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t)
			if c.old != "" {
				r.rewrite(c.old, c.fresh)
			}
			r.judge.right, r.judge.cannot = map[string]bool{c.right: true}, map[string]string{}
			if c.cannot != "" {
				r.judge.cannot[c.cannot] = attempt.OtherNumbers
			}
			d := r.compare(t)
			if d.Answers != c.answers || d.Changed() != c.changed || len(d.Kept) != c.kept || len(d.Notes) != c.notes {
				t.Errorf("%d answers, %d changed, kept %v, notes %v", d.Answers, d.Changed(), d.Kept, d.Notes)
			}
			mark := ""
			for _, m := range d.Marks {
				mark += m.Old + " → " + m.New
			}
			if mark != c.mark {
				t.Errorf("marks %q, want %q", mark, c.mark)
			}
		})
	}
}

// The version changes with everything that was shown, or that it came from.
func TestVersion(t *testing.T) {
	base := newRig(t).compare(t).Version()
	if base == "" || newRig(t).compare(t).Version() != base {
		t.Fatalf("the same difference has the versions %q and another", base)
	}
	for _, c := range []struct {
		name   string
		change func(r *rig)
	}{
		{"another text", func(r *rig) { r.rewrite("0.5 %", "5 %") }},
		{"another answer", func(r *rig) { r.store.attempts = append(r.store.attempts, r.store.attempts[0]) }},
		{"other verdicts", func(r *rig) { r.judge.right = map[string]bool{"one": true} }},
		{"another revision of the assignment", func(r *rig) { r.a.Revision++ }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t)
			c.change(r)
			if got := r.compare(t).Version(); got == base {
				t.Error("the version is the same")
			}
		})
	}
}

func TestApply(t *testing.T) {
	r := newRig(t)
	r.rewrite("0.5 %", "5 %")
	r.judge.right = map[string]bool{"one": true}
	now := time.Date(2026, 12, 1, 9, 0, 0, 0, time.UTC)
	shown := r.compare(t).Version()
	if _, err := r.Apply(t.Context(), r.a, shown, "I1", now); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(r.store.text.Text, "tolerance: 5 %") || len(r.store.regrades) != 1 || r.store.regrades[0].Submission != "one" || r.store.regrades[0].Points != 2 {
		t.Errorf("kept %+v", r.store.regrades)
	}
	if len(r.store.log) != 2 || r.store.log[0].About != "" || r.store.log[1].About != "S1" {
		t.Fatalf("logged %+v", r.store.log)
	}
	for _, e := range r.store.log {
		if e.Class != "MILL" || e.Assignment != "A1" || e.By != "I1" || !e.At.Equal(now) || e.Action != Action {
			t.Errorf("logged %+v", e)
		}
	}
}

// What was not shown is not done.
func TestApplyOnlyWhatWasShown(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(r *rig)
	}{
		{"the file changed", func(r *rig) { r.rewrite("0.5 %", "4 %") }},
		{"another answer came", func(r *rig) { r.store.attempts = append(r.store.attempts, r.store.attempts[1]) }},
		{"the terms changed", func(r *rig) { r.a.Revision++ }},
		{"the file has a fault", func(r *rig) { r.rewrite("0.5 %", "wide") }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t)
			r.rewrite("0.5 %", "5 %")
			shown := r.compare(t).Version()
			c.change(r)
			d, err := r.Apply(t.Context(), r.a, shown, "I1", time.Now())
			if !errors.Is(err, ErrChanged) || d == nil || r.store.log != nil {
				t.Errorf("error %v, logged %v", err, r.store.log)
			}
		})
	}
	r := newRig(t)
	r.rewrite("0.5 %", "wide")
	d := r.compare(t)
	if _, err := r.Apply(t.Context(), r.a, d.Version(), "I1", time.Now()); !errors.Is(err, ErrChanged) || r.store.log != nil {
		t.Errorf("a text with a fault is given: %v", err)
	}
}
