package gradebook

import (
	"context"

	"shaftbook/exercises/class"
	"shaftbook/web/app/attempt"
)

// Progress counts how many of some students have begun an assignment, and how
// many have finished it: see class.InAssignment.
func (r *Reader) Progress(ctx context.Context, a class.Assignment, students map[string]bool) (begun, finished int, err error) {
	w, err := r.Work(ctx, a)
	if err != nil {
		return 0, 0, err
	}
	deeds, err := r.deeds(ctx, &a)
	if err != nil {
		return 0, 0, err
	}
	return r.count(ctx, w, deeds, students)
}

// deeds reads everything that was done in an assignment.
func (r *Reader) deeds(ctx context.Context, a *class.Assignment) (d class.Deeds, err error) {
	if d.Attempts, err = r.store.AttemptsIn(ctx, a.Key()); err != nil {
		return d, err
	}
	if d.Predictions, err = r.store.PredictionsIn(ctx, a.Key()); err != nil {
		return d, err
	}
	d.Hints, err = r.store.HintsIn(ctx, a.Key())
	return d, err
}

func (r *Reader) count(ctx context.Context, w *Work, deeds class.Deeds, students map[string]bool) (begun, finished int, err error) {
	for person, did := range deeds.By() {
		if !students[person] {
			continue
		}
		list, err := r.progress(ctx, w, person, did)
		if err != nil {
			return 0, 0, err
		}
		has, done := class.InAssignment(list)
		if has {
			begun++
		}
		if done {
			finished++
		}
	}
	return begun, finished, nil
}

// progress returns how far a student is at each exercise that can be set.
func (r *Reader) progress(ctx context.Context, w *Work, person string, did *class.Deeds) ([]class.Progress, error) {
	_, ways, err := r.worth(ctx, w, person)
	if err != nil {
		return nil, err
	}
	var list []class.Progress
	for i, e := range w.Exercises {
		if ways[i] != nil {
			list = append(list, class.ProgressOf(attempt.TaskOf(&w.Assignment, e.Cell.ID, e.Set, ways[i]), did))
		}
	}
	return list, nil
}
