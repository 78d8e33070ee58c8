package assignment

import (
	"context"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

// An editStore records what an editor keeps, beside a fakeStore.
type editStore struct {
	fakeStore
	kept     class.Assignment
	extended class.Extension
	log      []class.Entry
}

func (s *editStore) AddAssignment(_ context.Context, a class.Assignment, _ class.Frozen, e class.Entry) error {
	s.kept, s.log = a, append(s.log, e)
	return nil
}

func (s *editStore) UpdateAssignment(_ context.Context, a class.Assignment, e class.Entry) error {
	s.kept, s.log = a, append(s.log, e)
	return nil
}

func (s *editStore) SetExtension(_ context.Context, x class.Extension, e class.Entry) error {
	s.extended, s.log = x, append(s.log, e)
	return nil
}

func (s *editStore) Person(_ context.Context, id string) (class.Person, error) {
	return class.Person{ID: id, Name: "Student 01"}, nil
}

var editTime = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

func newEditor() (*Editor, *editStore) {
	due := editTime.AddDate(0, 0, 7)
	s := &editStore{fakeStore: fakeStore{
		assignment: class.Assignment{ID: "A1", Class: "MILL", Title: "First twist", Lesson: "wheel", Opens: editTime, Due: due, Closes: due, Zone: "UTC", Weight: 1},
		members: map[string]class.Member{
			"I1": {Role: class.Staff}, "S1": {Role: class.Student}, "S2": {Role: class.Student, Left: true},
		},
	}}
	return &Editor{Store: s, Class: "MILL", By: "I1", Now: editTime}, s
}

func TestEditorFindsItsOwnClassOnly(t *testing.T) {
	e, s := newEditor()
	if a, err := e.Find(t.Context(), "A1"); err != nil || a.ID != "A1" {
		t.Errorf("%+v, %v", a, err)
	}
	s.assignment.Class = "WEIR"
	if _, err := e.Find(t.Context(), "A1"); err != class.ErrNone {
		t.Errorf("an assignment of another class: %v", err)
	}
}

// Each change has its line in the log, with the assignment, the instructor and the
// time; what changes nothing has none.
func TestEditorWritesTheLog(t *testing.T) {
	for _, c := range []struct {
		name   string
		do     func(ctx context.Context, e *Editor, s *editStore) error
		action string // empty where nothing changes
		about  string
		holds  func(s *editStore) bool
	}{
		{"other terms", func(ctx context.Context, e *Editor, s *editStore) error {
			to := s.assignment
			to.Title, to.Weight = "Second twist", 2
			return e.ChangeTerms(ctx, s.assignment, to, nil)
		}, "terms", "", func(s *editStore) bool {
			return s.kept.Title == "Second twist" && s.kept.Weight == 2 && s.kept.ChangedAt.Equal(editTime)
		}},
		{"the same terms", func(ctx context.Context, e *Editor, s *editStore) error {
			return e.ChangeTerms(ctx, s.assignment, s.assignment, nil)
		}, "", "", func(s *editStore) bool { return s.kept.ID == "" }},
		{"withdrawn", func(ctx context.Context, e *Editor, s *editStore) error { return e.Withdraw(ctx, s.assignment) },
			"withdraw", "", func(s *editStore) bool { return s.kept.Withdrawn }},
		{"given again", func(ctx context.Context, e *Editor, s *editStore) error {
			s.assignment.Withdrawn = true
			return e.GiveAgain(ctx, s.assignment)
		}, "withdraw", "", func(s *editStore) bool { return s.kept.ID == "A1" && !s.kept.Withdrawn }},
		{"an extension", func(ctx context.Context, e *Editor, s *editStore) error {
			return e.Extend(ctx, &s.assignment, class.Person{ID: "S1", Name: "Student 01"}, class.Extension{Due: s.assignment.Due.AddDate(0, 0, 3), Reason: "ill"})
		}, "extension", "S1", func(s *editStore) bool {
			return s.extended.Person == "S1" && s.extended.By == "I1" && s.extended.Assignment == "A1" && s.extended.Reason == "ill"
		}},
		{"its end", func(ctx context.Context, e *Editor, s *editStore) error {
			return e.EndExtension(ctx, &s.assignment, class.Person{ID: "S1"})
		}, "extension", "S1", func(s *editStore) bool { return s.extended.Person == "S1" && s.extended.Due.IsZero() }},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, s := newEditor()
			if err := c.do(t.Context(), e, s); err != nil {
				t.Fatal(err)
			}
			if !c.holds(s) {
				t.Errorf("kept %+v, extension %+v", s.kept, s.extended)
			}
			if c.action == "" {
				if len(s.log) > 0 {
					t.Errorf("logged %+v", s.log)
				}
				return
			}
			if len(s.log) != 1 {
				t.Fatalf("logged %+v", s.log)
			}
			got := s.log[0]
			if got.Action != c.action || got.About != c.about || got.Class != "MILL" || got.By != "I1" || got.Assignment != "A1" || !got.At.Equal(editTime) || got.Detail == "" {
				t.Errorf("logged %+v", got)
			}
		})
	}
}

func TestWhoMayGetAnExtension(t *testing.T) {
	e, _ := newEditor()
	for person, want := range map[string]error{"S1": nil, "S2": class.ErrNone, "I1": class.ErrNone, "S9": class.ErrNone} {
		if _, err := e.Student(t.Context(), person); err != want {
			t.Errorf("%s: %v, want %v", person, err, want)
		}
	}
}
