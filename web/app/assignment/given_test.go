package assignment

import (
	"context"
	"errors"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

// A fakeStore has one assignment of a class with some members.
type fakeStore struct {
	assignment class.Assignment
	members    map[string]class.Member
	fault      error // of every read, or nil
}

func (s *fakeStore) Assignment(_ context.Context, id string) (class.Assignment, error) {
	if s.fault != nil {
		return class.Assignment{}, s.fault
	}
	if id != s.assignment.ID {
		return class.Assignment{}, class.ErrNone
	}
	return s.assignment, nil
}

func (s *fakeStore) Member(_ context.Context, in, person string) (class.Member, error) {
	m, ok := s.members[person]
	if !ok || in != s.assignment.Class {
		return m, class.ErrNone
	}
	return m, nil
}

// An assigned lesson is for its class, from the time it opens.
func TestAdmit(t *testing.T) {
	opens := time.Date(2026, 9, 1, 9, 0, 0, 0, time.UTC)
	before := opens.Add(-time.Hour)
	broken := errors.New("the disk is gone")
	var early *NotOpen
	for _, c := range []struct {
		name, person, key string
		now               time.Time
		withdrawn         bool
		fault             error
		want              error // nil for the lesson; early for a *NotOpen
	}{
		{"staff before it opens", "teacher", "wheel~A1", before, false, nil, nil},
		{"a student before it opens", "student", "wheel~A1", before, false, nil, early},
		{"a student as it opens", "student", "wheel~A1", opens, false, nil, nil},
		{"a student who has left", "gone", "wheel~A1", opens, false, nil, ErrNoLesson},
		{"a stranger", "stranger", "wheel~A1", opens, false, nil, ErrNoLesson},
		{"nobody", "", "wheel~A1", opens, false, nil, ErrNoLesson},
		{"another lesson’s name before its identifier", "student", "quill~A1", opens, false, nil, ErrNoLesson},
		{"an identifier that is not there", "student", "wheel~A2", opens, false, nil, ErrNoLesson},
		{"no identifier", "student", "wheel~", opens, false, nil, ErrNoLesson},
		{"withdrawn, for a student", "student", "wheel~A1", opens, true, nil, ErrWithdrawn},
		{"withdrawn, for staff", "teacher", "wheel~A1", opens, true, nil, nil},
		{"a fault of the store", "student", "wheel~A1", opens, false, broken, broken},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &fakeStore{
				assignment: class.Assignment{ID: "A1", Class: "MILL", Lesson: "wheel", Opens: opens, Due: opens.Add(time.Hour), Closes: opens.Add(time.Hour), Zone: "UTC", Withdrawn: c.withdrawn},
				members: map[string]class.Member{
					"teacher": {Role: class.Staff}, "student": {Role: class.Student}, "gone": {Role: class.Student, Left: true},
				},
				fault: c.fault,
			}
			a, err := Admit(t.Context(), s, c.person, c.key, c.now)
			if c.want == error(early) {
				var got *NotOpen
				if !errors.As(err, &got) || !got.Opens.Equal(opens) {
					t.Fatalf("error %v, want one with the time it opens", err)
				}
			} else if !errors.Is(err, c.want) {
				t.Fatalf("error %v, want %v", err, c.want)
			}
			if err == nil && a.ID != "A1" {
				t.Errorf("assignment %q", a.ID)
			}
			if refused := err != nil && c.fault == nil; IsRefused(err) != refused {
				t.Errorf("refused: %v, want %v", IsRefused(err), refused)
			}
		})
	}
}
