package practice

import (
	"context"
	"errors"
	"slices"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
)

const (
	// Sitting is how many exercises a practice of about ten minutes has, at about two
	// minutes each (an estimate, no source).
	Sitting = 5

	// MostKept bounds for how many exercises it is kept how a learner practises them.
	MostKept = 2000

	// firstLessons are practised from where no lesson was worked yet.
	firstLessons = 2
)

// A Service is the practice of all learners. It is safe for concurrent use.
type Service struct {
	Catalog  *lessons.Current
	Attempts *attempt.Service
	Classes  assignment.AssignedStore // nil on an open server
	Now      func() time.Time
}

// A Standing is how far a learner has come.
type Standing struct {
	catalog  *lessons.Catalog
	progress store.Progress
	barred   map[string]bool     // lessons with a test that is not closed
	tests    []*assignment.Terms // those tests
	now      time.Time
}

// Standing reads how far a learner is; learner is empty where nobody is known.
func (s *Service) Standing(ctx context.Context, learner string) (*Standing, error) {
	st := &Standing{catalog: s.Catalog.In(ctx), now: s.Now(), barred: map[string]bool{}}
	if learner == "" {
		return st, nil
	}
	var err error
	if st.progress, err = s.Attempts.Store().Progress(ctx, learner); err != nil || s.Classes == nil {
		return st, err
	}
	given, err := assignment.ForStudent(ctx, s.Classes, learner)
	for _, g := range given {
		if _, closed := g.Late(st.now); g.Test && !closed {
			st.barred[g.Assignment.Lesson] = true
			st.tests = append(st.tests, g)
		}
	}
	return st, err
}

// Barred reports whether a test of the learner's forbids practice of a lesson now.
func (st *Standing) Barred(lesson string) bool { return st.barred[lesson] }

// Tested reports whether an exercise of a lesson counts in a test of the learner's that
// has not closed. The lesson's key may be that of an assignment.
func (st *Standing) Tested(key, exercise string) bool {
	lesson, _ := class.SplitKey(key)
	return slices.ContainsFunc(st.tests, func(t *assignment.Terms) bool {
		return t.Assignment.Lesson == lesson && t.Assignment.Counts(exercise)
	})
}

// worked reports whether a learner has worked in a lesson, freely or as assigned.
func (st *Standing) worked(lesson string) bool {
	is := func(key string) bool {
		slug, _ := class.SplitKey(key)
		return slug == lesson
	}
	for key, n := range st.progress.Guesses {
		if n > 0 && is(key) {
			return true
		}
	}
	return slices.ContainsFunc(st.progress.Edited, is) ||
		slices.ContainsFunc(st.progress.Parts, func(p store.PartProgress) bool { return is(p.Lesson) })
}

// state returns the practice of an exercise; its Box is 0 where there is none.
func (st *Standing) state(lesson, exercise string) store.Practice {
	for _, p := range st.progress.Practice {
		if p.Lesson == lesson && p.Exercise == exercise {
			return p
		}
	}
	return store.Practice{}
}

// wentWrong reports whether a part of an exercise was answered and is not right.
func (st *Standing) wentWrong(lesson, exercise string) bool {
	return slices.ContainsFunc(st.progress.Parts, func(p store.PartProgress) bool {
		slug, _ := class.SplitKey(p.Lesson)
		return slug == lesson && p.Exercise == exercise && !p.Right
	})
}

// Candidates returns what may be practised, and whether that is of the first lessons
// because none was worked yet.
func (s *Service) Candidates(st *Standing) (list []Candidate, fromFirst bool) {
	list = s.candidates(st, st.worked, len(st.catalog.Lessons))
	if len(list) > 0 {
		return list, false
	}
	return s.candidates(st, func(string) bool { return true }, firstLessons), true
}

func (s *Service) candidates(st *Standing, from func(lesson string) bool, most int) (list []Candidate) {
	var of [][]Candidate // by lesson
	for _, l := range st.catalog.Lessons {
		if len(of) == most || st.barred[l.Slug] || !from(l.Slug) {
			continue
		}
		var these []Candidate
		for _, cell := range l.CellsOf(lessons.Exercise) {
			if s.Attempts.Varies(cell) {
				these = append(these, Candidate{l.Slug, cell.ID, st.state(l.Slug, cell.ID), st.wentWrong(l.Slug, cell.ID)})
			}
		}
		if len(these) > 0 {
			of = append(of, these)
		}
	}
	for i := 0; ; i++ { // the first of each lesson, then the second of each
		n := len(list)
		for _, these := range of {
			if i < len(these) {
				list = append(list, these[i])
			}
		}
		if len(list) == n {
			return list
		}
	}
}

// A Counted says how many of a list of candidates are in which state.
type Counted struct {
	Due, New, Hold int
	Next           time.Time // when the next one is due that is not; zero if none is
}

// Count counts candidates.
func Count(list []Candidate, now time.Time) (c Counted) {
	for _, e := range list {
		switch {
		case e.State.Box == 0:
			c.New++
		case !now.Before(e.State.Due):
			c.Due++
		case c.Next.IsZero() || e.State.Due.Before(c.Next):
			c.Next = e.State.Due
		}
		if e.State.Box >= Holds {
			c.Hold++
		}
	}
	return c
}

// ErrNone is the error of practice where no exercise can be practised.
var ErrNone = errors.New("there is no exercise to practise with")

// Next chooses an exercise after those that were done in this sitting, the last one at
// the end, and fresh numbers for it. The error is ErrNone, or as for attempt.Service.Practise.
func (s *Service) Next(ctx context.Context, learner string, done []Done) (attempt.Practice, error) {
	st, err := s.Standing(ctx, learner)
	if err != nil {
		return attempt.Practice{}, err
	}
	list, _ := s.Candidates(st)
	Order(list, done, st.now)
	for _, c := range list {
		p, ok := s.Place(ctx, learner, c.Lesson, c.Exercise)
		if !ok {
			continue
		}
		p.Set = int(c.State.Set)
		p.Set, err = s.Attempts.FreshPractice(ctx, p)
		if !errors.Is(err, exercises.ErrOneSet) {
			return p, err
		}
	}
	return attempt.Practice{}, ErrNone
}

// Place returns an exercise of the catalog.
func (s *Service) Place(ctx context.Context, learner, lesson, exercise string) (p attempt.Practice, ok bool) {
	l, ok := s.Catalog.In(ctx).Lesson(lesson)
	if !ok {
		return p, false
	}
	cell, ok := l.Cell(exercise)
	p.Place = attempt.Place{Learner: learner, Lesson: l, Cell: cell}
	return p, ok && cell.Kind == lessons.Exercise
}

// Keep records what came of a practice, and returns its state. Without an outcome yet
// nothing is kept, and the state may have no box.
func (s *Service) Keep(ctx context.Context, p attempt.Practice, outcome attempt.Outcome) (store.Practice, error) {
	progress, err := s.Attempts.Store().Progress(ctx, p.Learner)
	if err != nil {
		return store.Practice{}, err
	}
	st := Standing{progress: progress}
	old := st.state(p.Lesson.Slug, p.Cell.ID)
	if outcome == attempt.Undecided {
		return old, nil
	}
	old.Learner, old.Lesson, old.Exercise = p.Learner, p.Lesson.Slug, p.Cell.ID
	next := After(old, int64(p.Set), outcome == attempt.WasRight, s.Now())
	if next == old {
		return old, nil
	}
	return next, s.Attempts.Store().Practise(ctx, next, MostKept)
}
