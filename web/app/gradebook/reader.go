package gradebook

import (
	"context"
	"errors"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
)

// A Store is what a marks sheet reads of a class; contract.School has it.
type Store interface {
	Members(ctx context.Context, class string) ([]class.Person, []class.Member, error)
	Extensions(ctx context.Context, assignment string) ([]class.Extension, error)
	Overrides(ctx context.Context, assignment string) ([]class.Override, error)
	AttemptsIn(ctx context.Context, lesson string) ([]store.Attempt, error)
	PredictionsIn(ctx context.Context, lesson string) ([]store.Prediction, error)
	HintsIn(ctx context.Context, lesson string) ([]store.Hint, error)
}

// Exercises returns what a student was set; *attempt.Service does it.
type Exercises interface {
	Exercise(cell lessons.Cell) (*exercises.Exercise, error)
	Structure(ctx context.Context, p attempt.Place) (*exercises.Structure, error)
	Store() attempt.Store
}

// Lessons finds the lesson of an assignment as it was given; its slug is the
// assignment's key.
type Lessons func(ctx context.Context, a class.Assignment) (*lessons.Lesson, error)

// A Reader reads marks from one store. It is safe for concurrent use.
type Reader struct {
	store   Store
	service Exercises
	lessons Lessons
}

// New returns a reader.
func New(store Store, service Exercises, assigned Lessons) *Reader {
	return &Reader{store, service, assigned}
}

// An Exercise is one that counts in an assignment.
type Exercise struct {
	Cell  lessons.Cell
	Title string
	Set   *exercises.Exercise // nil if it cannot be set
	Fault string              // why it cannot be set, or empty
}

// Asks returns the part of a name in each way in which the exercise is set, of
// those that have it.
func (e *Exercise) Asks(part string) []*exercises.Part {
	var list []*exercises.Part
	if e.Set == nil {
		return nil
	}
	for _, s := range e.Set.Structures {
		if a := askOf(s, part); a != nil {
			list = append(list, a)
		}
	}
	return list
}

func askOf(s *exercises.Structure, part string) *exercises.Part {
	for _, a := range s.Parts {
		if a.Name == part {
			return a
		}
	}
	return nil
}

// Work is one assignment with the exercises that count in it, in the order of
// the lesson.
type Work struct {
	Assignment class.Assignment
	Exercises  []Exercise

	lesson *lessons.Lesson
}

// Work returns what counts in an assignment.
func (r *Reader) Work(ctx context.Context, a class.Assignment) (*Work, error) {
	lesson, err := r.lessons(ctx, a)
	if err != nil {
		return nil, err
	}
	w := &Work{Assignment: a, lesson: lesson}
	for _, cell := range lesson.CellsOf(lessons.Exercise) {
		if !a.Counts(cell.ID) {
			continue
		}
		e := Exercise{Cell: cell, Title: cell.Name}
		if set, err := r.service.Exercise(cell); err != nil {
			e.Fault = err.Error()
		} else {
			e.Set, e.Title = set, set.Title
		}
		w.Exercises = append(w.Exercises, e)
	}
	return w, nil
}

// worth returns what the exercises give a student, and in which way each is set.
// One that cannot be set gives nothing; its way is nil. The error is ctx's.
func (r *Reader) worth(ctx context.Context, w *Work, person string) ([]class.Worth, []*exercises.Structure, error) {
	list, ways := make([]class.Worth, len(w.Exercises)), make([]*exercises.Structure, len(w.Exercises))
	for i, e := range w.Exercises {
		list[i] = class.Worth{Exercise: e.Cell.ID, Title: e.Title}
		s, err := r.service.Structure(ctx, attempt.Place{Learner: person, Lesson: w.lesson, Cell: e.Cell})
		var unset *attempt.Unset
		if errors.As(err, &unset) {
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		ways[i] = s
		for _, a := range s.Parts {
			list[i].Parts = append(list[i].Parts, class.PartWorth{Part: a.Name, Points: a.Points})
		}
	}
	return list, ways, nil
}
