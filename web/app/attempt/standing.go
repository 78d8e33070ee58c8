package attempt

import (
	"context"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

// A standing is what the store has of a learner at one exercise, all series.
type standing struct {
	attempts []store.Attempt
	hints    []store.Hint
	guesses  []store.Prediction
	now      time.Time // when it was read
}

func (d *Service) standing(ctx context.Context, p Place) (s standing, err error) {
	s.now = d.now()
	if s.attempts, err = d.store.Attempts(ctx, p.Learner, p.Lesson.Slug, p.Cell.ID); err != nil {
		return s, err
	}
	if s.hints, err = d.store.Hints(ctx, p.Learner, p.Lesson.Slug, p.Cell.ID); err != nil {
		return s, err
	}
	s.guesses, err = d.store.Predictions(ctx, p.Learner, p.Lesson.Slug)
	return s, err
}

// at returns the attempts at one part.
func (s *standing) at(p Place, part string) []store.Attempt {
	var list []store.Attempt
	for _, a := range s.attempts {
		if a.Place == p.at(part) {
			list = append(list, a)
		}
	}
	return list
}

// A partState sums up the attempts at one part.
type partState struct {
	all    []store.Attempt
	used   int // tries
	right  bool
	tries  int     // that there are
	closed bool    // by the terms of an assignment
	points float64 // of the best
}

func (s *standing) part(p Place, e *exercises.Exercise, name string) partState {
	st := partState{all: s.at(p, name), tries: p.tries(e), closed: p.closed(s.now)}
	st.used, st.right = class.TriesUsed(st.all)
	for _, a := range st.all {
		st.points = max(st.points, a.Points)
	}
	return st
}

// TaskOf returns an exercise of an assignment as a student was set it, with the
// tries that there are.
func TaskOf(a *class.Assignment, cell string, e *exercises.Exercise, s *exercises.Structure) class.Task {
	t := class.Task{Exercise: cell, Tries: e.Attempts}
	if a.Tries > 0 {
		t.Tries = a.Tries
	}
	for _, p := range s.Parts {
		t.Parts = append(t.Parts, class.TaskPart{Name: p.Name, Hints: len(p.Hints)})
	}
	return t
}

func (st partState) done() bool { return st.right || st.closed || st.used >= st.tries }

// done reports whether nothing is left to answer in a place.
func (s *standing) done(p Place, v *exercises.Variant) bool {
	for _, a := range v.Structure.Parts {
		if !s.part(p, v.Exercise, a.Name).done() {
			return false
		}
	}
	return true
}

// hintsAt returns how many hints of a part were shown.
func (s *standing) hintsAt(p Place, part string) int {
	n := 0
	for _, h := range s.hints {
		if h.Place == p.at(part) {
			n = max(n, h.Level)
		}
	}
	return n
}

// guess returns the prediction at a place, or nil.
func (s *standing) guess(p Place, name string) *store.Prediction {
	for i := range s.guesses {
		if s.guesses[i].Place == p.at(name) {
			return &s.guesses[i]
		}
	}
	return nil
}

// newest is the latest series in which the learner has answered.
func (s *standing) newest() int {
	n := 0
	for _, a := range s.attempts {
		n = max(n, a.Series)
	}
	return n
}

// mayWork refuses a series before the one below it is done: the graded tries
// come first, and further numbers are not for searching.
func (d *Service) mayWork(ctx context.Context, p Place, s *standing) error {
	if p.Series == 0 || p.Series <= s.newest() {
		return nil
	}
	if p.Series < 0 || p.Series > s.newest()+1 {
		return errNoSeries
	}
	below := p
	below.Series--
	return d.on(ctx, below, func(ctx context.Context, v *exercises.Variant) error {
		if !s.done(below, v) || !v.Exercise.Varies() {
			return errNoSeries
		}
		return nil
	})
}
