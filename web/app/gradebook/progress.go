package gradebook

import (
	"context"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
)

// Progress counts how many of some students have begun an assignment, by an answer
// to graded numbers, and how many have answered in every exercise of it that counts.
func (r *Reader) Progress(ctx context.Context, a class.Assignment, students map[string]bool) (begun, finished int, err error) {
	lesson, err := r.lessons(ctx, a)
	if err != nil {
		return 0, 0, err
	}
	counting := map[string]bool{}
	for _, c := range lesson.CellsOf(lessons.Exercise) {
		if a.Counts(c.ID) {
			counting[c.ID] = true
		}
	}
	attempts, err := r.store.AttemptsIn(ctx, a.Key())
	if err != nil {
		return 0, 0, err
	}
	answered := map[string]map[string]bool{} // person → exercises
	for _, t := range attempts {
		if !students[t.Learner] || t.Series != 0 || !counting[t.Exercise] {
			continue
		}
		if answered[t.Learner] == nil {
			answered[t.Learner] = map[string]bool{}
		}
		answered[t.Learner][t.Exercise] = true
	}
	for _, exercises := range answered {
		if len(exercises) == len(counting) {
			finished++
		}
	}
	return len(answered), finished, nil
}
