package assignment

import (
	"cmp"
	"context"
	"errors"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/app/handout"
	"shaftbook/web/page"
)

// A HandoutStore is read for the heads of handouts and for the students who get one;
// contract.School has it.
type HandoutStore interface {
	FrozenStore
	Class(ctx context.Context, id string) (class.Class, error)
	Members(ctx context.Context, class string) ([]class.Person, []class.Member, error)
	Extensions(ctx context.Context, assignment string) ([]class.Extension, error)
}

// Variants draws the numbers of learners; *attempt.Service does.
type Variants interface {
	With(ctx context.Context, p attempt.Place, f func(ctx context.Context, v *exercises.Variant) error) error
}

// HeadHandout writes what is at the head of a student's handout: title, class and due
// time.
func HeadHandout(ctx context.Context, store HandoutStore, h *handout.Handout, a *class.Assignment, person string) error {
	c, err := store.Class(ctx, a.Class)
	if err != nil {
		return err
	}
	given, err := store.Extensions(ctx, a.ID)
	if err != nil {
		return err
	}
	h.Title, h.Class = a.Title, c.FullName()
	h.Due = dueFor(a, given, person)
	return nil
}

func dueFor(a *class.Assignment, given []class.Extension, person string) string {
	return page.Zoned(a.TermsFor(class.ExtensionOf(given, person)).Due, a.Zone)
}

// Problems puts the exercises of a lesson that count on paper.
func Problems(ctx context.Context, variants Variants, l *lessons.Lesson, learner string, counts func(string) bool, answers bool) ([]handout.Problem, error) {
	var list []handout.Problem
	for _, cell := range l.CellsOf(lessons.Exercise) {
		if !counts(cell.ID) {
			continue
		}
		var p handout.Problem
		err := variants.With(ctx, attempt.Place{Learner: learner, Lesson: l, Cell: cell}, func(ctx context.Context, v *exercises.Variant) (err error) {
			p, err = handout.ForVariant(ctx, v, answers)
			return err
		})
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			var unset *attempt.Unset
			if errors.As(err, &unset) {
				err = unset.Err
			}
			p = handout.Unset(cmp.Or(p.Title, cell.Name), err)
		}
		list = append(list, p)
	}
	return list, nil
}

// Handouts draws the sheets of everybody in the class of an assignment,
// or what is expected on them. An exercise that cannot be set says so on the
// sheet; the error is the store's, or ctx's.
func Handouts(ctx context.Context, store HandoutStore, variants Variants, a *class.Assignment, answers bool) ([]handout.Handout, error) {
	l, err := Lesson(ctx, store, a)
	if err != nil {
		return nil, err
	}
	_, sheets, err := StudentHandouts(ctx, store, variants, l, a, "", answers)
	return sheets, err
}

// StudentHandouts draws the sheets of one student of the class of an assignment, also of
// one who has left, or of everybody.
func StudentHandouts(ctx context.Context, store HandoutStore, variants Variants, l *lessons.Lesson, a *class.Assignment, one string, answers bool) ([]class.Person, []handout.Handout, error) {
	c, err := store.Class(ctx, a.Class)
	if err != nil {
		return nil, nil, err
	}
	students, err := sheetStudents(ctx, store, a, one)
	if err != nil {
		return nil, nil, err
	}
	given, err := store.Extensions(ctx, a.ID)
	if err != nil {
		return nil, nil, err
	}
	var sheets []handout.Handout
	for _, person := range students {
		sheet := handout.Handout{Title: a.Title, Name: person.Name, Class: c.FullName(), Due: dueFor(a, given, person.ID), Answers: answers}
		if sheet.Problems, err = Problems(ctx, variants, l, person.ID, a.Counts, answers); err != nil {
			return nil, nil, err
		}
		sheets = append(sheets, sheet)
	}
	return students, sheets, nil
}

// sheetStudents are the students of a class, or the one that is asked for.
func sheetStudents(ctx context.Context, store HandoutStore, a *class.Assignment, one string) ([]class.Person, error) {
	people, members, err := store.Members(ctx, a.Class)
	if err != nil {
		return nil, err
	}
	var list []class.Person
	for i, m := range members {
		if m.Role == class.Student && (one == m.Person || one == "" && !m.Left) {
			list = append(list, people[i])
		}
	}
	if one != "" && len(list) == 0 {
		return nil, class.ErrNone
	}
	return list, nil
}
