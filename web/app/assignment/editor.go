package assignment

import (
	"context"
	"errors"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/page"
)

// An EditStore keeps assignments; contract.School has it.
type EditStore interface {
	Assignment(ctx context.Context, id string) (class.Assignment, error)
	AddAssignment(ctx context.Context, a class.Assignment, text class.Frozen, e class.Entry) error
	UpdateAssignment(ctx context.Context, a class.Assignment, e class.Entry) error
	SetExtension(ctx context.Context, x class.Extension, e class.Entry) error
	Member(ctx context.Context, class, person string) (class.Member, error)
	Person(ctx context.Context, id string) (class.Person, error)
}

// An Editor changes the assignments of one class as one of its instructors. Each
// change writes its line of the log.
type Editor struct {
	Store EditStore
	Class string
	By    string // the instructor
	Now   time.Time
}

func (e *Editor) entry(a *class.Assignment, action, about, detail string) class.Entry {
	return class.Entry{Class: e.Class, By: e.By, At: e.Now, Action: action, About: about, Assignment: a.ID, Detail: detail}
}

// Find returns an assignment of the class; one of another class is class.ErrNone.
func (e *Editor) Find(ctx context.Context, id string) (class.Assignment, error) {
	a, err := e.Store.Assignment(ctx, id)
	if err == nil && a.Class != e.Class {
		err = class.ErrNone
	}
	return a, err
}

// Assign assigns a lesson, which must have no faults, under the terms of a.
func (e *Editor) Assign(ctx context.Context, c *Candidate, a class.Assignment) error {
	text := c.Frozen()
	a.ID, a.Class, a.Lesson, a.Text, a.MadeAt, a.ChangedAt = class.NewID(), e.Class, c.Lesson.Slug, text.Hash, e.Now, e.Now
	words := TermsWords(&a, TitlesOf(c.Cells, c.Exercises))
	return e.Store.AddAssignment(ctx, a, text, e.entry(&a, "assign", "", AssignedWords(a.Title, c.Lesson.Title)+words))
}

// ChangeTerms gives an assignment the terms of to, if they are others.
func (e *Editor) ChangeTerms(ctx context.Context, was, to class.Assignment, t Titles) error {
	a := was
	a.Title, a.Opens, a.Due, a.Closes, a.Zone, a.Exercises = to.Title, to.Opens, to.Due, to.Closes, to.Zone, to.Exercises
	a.LateOff, a.Tries, a.TryOff, a.Weight, a.Test, a.ChangedAt = to.LateOff, to.Tries, to.TryOff, to.Weight, to.Test, e.Now
	words := ChangedTerms(&was, &a, t)
	if words == "" {
		return nil
	}
	return e.Store.UpdateAssignment(ctx, a, e.entry(&a, "terms", "", "“"+was.Title+"”: "+words))
}

// Withdraw takes an assignment back; the work is kept.
func (e *Editor) Withdraw(ctx context.Context, a class.Assignment) error {
	a.Withdrawn, a.ChangedAt = true, e.Now
	return e.Store.UpdateAssignment(ctx, a, e.entry(&a, "withdraw", "", "withdrew “"+a.Title+"”"))
}

// GiveAgain gives an assignment again that was withdrawn.
func (e *Editor) GiveAgain(ctx context.Context, a class.Assignment) error {
	a.Withdrawn, a.ChangedAt = false, e.Now
	return e.Store.UpdateAssignment(ctx, a, e.entry(&a, "withdraw", "", "restored “"+a.Title+"”"))
}

// Student returns a student of the class who may get an extension: one who has not
// left. class.ErrNone otherwise.
func (e *Editor) Student(ctx context.Context, id string) (class.Person, error) {
	m, err := e.Store.Member(ctx, e.Class, id)
	if errors.Is(err, class.ErrNone) || err == nil && (m.Role != class.Student || m.Left) {
		return class.Person{}, class.ErrNone
	}
	if err != nil {
		return class.Person{}, err
	}
	return e.Store.Person(ctx, id)
}

// Extend gives a student the due time and the closing time of x, with its reason.
func (e *Editor) Extend(ctx context.Context, a *class.Assignment, who class.Person, x class.Extension) error {
	x.Assignment, x.Person, x.By, x.At = a.ID, who.ID, e.By, e.Now
	t := a.TermsFor(&x)
	return e.Store.SetExtension(ctx, x, e.entry(a, "extension", who.ID, "“"+a.Title+"”: "+
		"extension for "+who.Name+": due "+page.Zoned(t.Due, a.Zone)+", closes "+page.Zoned(t.Closes, a.Zone)+", reason: "+x.Reason))
}

// EndExtension lets the class's times hold for a student again.
func (e *Editor) EndExtension(ctx context.Context, a *class.Assignment, who class.Person) error {
	x := class.Extension{Assignment: a.ID, Person: who.ID, By: e.By, At: e.Now}
	return e.Store.SetExtension(ctx, x, e.entry(a, "extension", who.ID, "“"+a.Title+"”: ended the extension for "+who.Name))
}

// Copies returns assignments as those of another class, with their times moved by
// days. The order is kept.
func Copies(assigned []class.Assignment, to string, days int, now time.Time) ([]class.Assignment, error) {
	copied := make([]class.Assignment, len(assigned))
	for i, a := range assigned {
		var err error
		if copied[i], err = a.MovedTo(to, days, class.NewID(), now); err != nil {
			return nil, err
		}
	}
	return copied, nil
}
