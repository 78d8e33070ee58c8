package assignment

import (
	"context"
	"slices"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
)

// An AssignedStore is read for what is assigned to a person; contract.School has it.
type AssignedStore interface {
	TermsStore
	ClassesOf(ctx context.Context, person string) ([]class.Class, []class.Member, error)
	Assignments(ctx context.Context, class string) ([]class.Assignment, error)
}

// AssignedTo returns the terms of everything in the classes that a person has not
// left and for which in returns true, withdrawn assignments included, class by
// class.
func AssignedTo(ctx context.Context, store AssignedStore, person string, in func(class.Member) bool) ([]*Terms, error) {
	classes, members, err := store.ClassesOf(ctx, person)
	if err != nil {
		return nil, err
	}
	var list []*Terms
	for i, c := range classes {
		if members[i].Left || !in(members[i]) {
			continue
		}
		assigned, err := store.Assignments(ctx, c.ID)
		if err != nil {
			return nil, err
		}
		for _, a := range assigned {
			t, err := TermsFor(ctx, store, a, person)
			if err != nil {
				return nil, err
			}
			list = append(list, t)
		}
	}
	return list, nil
}

// ForStudent returns what is assigned to a person as a student, in the order of the
// person's own due times. What was withdrawn is left out.
func ForStudent(ctx context.Context, store AssignedStore, person string) ([]*Terms, error) {
	list, err := AssignedTo(ctx, store, person, func(m class.Member) bool { return m.Role == class.Student })
	list = slices.DeleteFunc(list, func(t *Terms) bool { return t.Assignment.Withdrawn })
	slices.SortStableFunc(list, func(a, b *Terms) int { return a.Due.Compare(b.Due) })
	return list, err
}

// An Answers knows what a student was set and has answered; *attempt.Service does.
type Answers interface {
	Structure(ctx context.Context, p attempt.Place) (*exercises.Structure, error)
	Store() attempt.Store
}

// Answered returns at how many of the parts that count a student has an answer
// (class.IsAnswer), and how many there are. The lesson is that of the assignment as it was
// given.
func Answered(ctx context.Context, answers Answers, lesson *lessons.Lesson, a *class.Assignment, person string) (done, parts int, err error) {
	for _, cell := range lesson.CellsOf(lessons.Exercise) {
		if !a.Counts(cell.ID) {
			continue
		}
		set, err := answers.Structure(ctx, attempt.Place{Learner: person, Lesson: lesson, Cell: cell})
		if err != nil {
			return 0, 0, err
		}
		attempts, err := answers.Store().Attempts(ctx, person, lesson.Slug, cell.ID)
		if err != nil {
			return 0, 0, err
		}
		parts += len(set.Parts)
		answered := map[string]bool{}
		for _, t := range attempts {
			if t.Series == 0 && class.IsAnswer(t) {
				answered[t.Part] = true
			}
		}
		for _, ask := range set.Parts { // not those that a mended text has no more
			if answered[ask.Name] {
				done++
			}
		}
	}
	return done, parts, nil
}
