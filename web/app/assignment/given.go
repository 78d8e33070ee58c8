package assignment

import (
	"context"
	"errors"
	"fmt"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
)

// Reasons for which an assigned lesson is not shown.
var (
	ErrNoLesson  = errors.New("there is no such lesson")
	ErrWithdrawn = errors.New("the assignment was withdrawn")
)

// NotOpen is the error of an assignment that a student asks for before it opens.
type NotOpen struct {
	Opens time.Time
	Zone  string
}

func (e *NotOpen) Error() string { return "the assignment is not open yet" }

// IsRefused reports whether an error of Admit is a refusal, and not a fault of the
// store.
func IsRefused(err error) bool {
	var early *NotOpen
	return errors.Is(err, ErrNoLesson) || errors.Is(err, ErrWithdrawn) || errors.As(err, &early)
}

// An AdmitStore is read for who may see an assignment; contract.School has it.
type AdmitStore interface {
	Assignment(ctx context.Context, id string) (class.Assignment, error)
	Member(ctx context.Context, class, person string) (class.Member, error)
}

// Admit returns the assignment of a lesson's key for a person of its class: for
// staff always, for a student from the time it opens until it is withdrawn. To
// others it is not there. The errors are ErrNoLesson, ErrWithdrawn, *NotOpen and
// those of the store.
func Admit(ctx context.Context, store AdmitStore, person, key string, now time.Time) (class.Assignment, error) {
	lesson, id := class.SplitKey(key)
	if id == "" {
		return class.Assignment{}, ErrNoLesson
	}
	a, err := store.Assignment(ctx, id)
	if errors.Is(err, class.ErrNone) || err == nil && a.Lesson != lesson {
		return a, ErrNoLesson
	}
	if err != nil {
		return a, err
	}
	m, err := store.Member(ctx, a.Class, person)
	if errors.Is(err, class.ErrNone) || err == nil && m.Left {
		return a, ErrNoLesson
	}
	if err != nil {
		return a, err
	}
	if m.Role != class.Staff {
		switch terms := a.TermsFor(nil); { // an extension does not move the opening
		case a.Withdrawn:
			return a, ErrWithdrawn
		case !terms.Opened(now):
			return a, &NotOpen{terms.Opens, a.Zone}
		}
	}
	return a, nil
}

// A FrozenStore keeps the texts of assigned lessons; contract.School has it.
type FrozenStore interface {
	Frozen(ctx context.Context, hash string) (class.Frozen, error)
}

// Lesson reads the lesson of an assignment as it was given.
func Lesson(ctx context.Context, store FrozenStore, a *class.Assignment) (*lessons.Lesson, error) {
	frozen, err := store.Frozen(ctx, a.Text)
	if err != nil {
		return nil, fmt.Errorf("the text of assignment %s: %w", a.ID, err)
	}
	// What is wrong with it was told when it was assigned.
	l, _ := lessons.Parse(frozen.Name, []byte(frozen.Text))
	return l.WithKey(a.Key()), nil
}
