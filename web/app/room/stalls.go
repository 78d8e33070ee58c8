package room

import (
	"context"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// stalls says how far the class is at each exercise, and who is stuck.
func (r *Room) stalls(ctx context.Context, s *state) (*page.RoomStalls, error) {
	view := &page.RoomStalls{Rule: StallRule}
	cells, titles := r.Exercises(s.View)
	for i, cell := range cells {
		row := page.RoomExercise{Title: titles[i], Path: s.Path(cell.ID)}
		works, err := r.work(ctx, s, cell)
		if err != nil {
			return nil, err
		}
		for _, person := range s.order {
			w, begun := works[person]
			if !begun {
				continue
			}
			row.Begun++
			if !w.Open() {
				row.Done++
			}
			if w.AtWork(s.now) {
				row.AtWork++
			}
			if why := w.Stuck(s.now); why != "" {
				row.Stuck = append(row.Stuck, page.RoomStuck{Name: s.names[person], Why: why})
			}
		}
		row.Stalls = Stalls(len(row.Stuck), row.AtWork)
		view.Exercises = append(view.Exercises, row)
	}
	return view, nil
}

// work says how far each student is who has begun an exercise.
func (r *Room) work(ctx context.Context, s *state, cell lessons.Cell) (map[string]Work, error) {
	e, err := r.service.Exercise(cell)
	if err != nil {
		return nil, nil // it cannot be set, which shaftbook check tells its author
	}
	tries := e.Attempts
	if s.Assignment.Tries > 0 {
		tries = s.Assignment.Tries
	}
	attempts := map[string][]store.Attempt{}
	begun := map[string]*Work{}
	note := func(person string, at time.Time) {
		w := begun[person]
		if w == nil {
			w = &Work{Begun: at, Last: at}
			_, w.Here = s.present[person]
			begun[person] = w
		}
		if at.Before(w.Begun) {
			w.Begun = at
		}
		if at.After(w.Last) {
			w.Last = at
		}
	}
	for _, a := range s.attempts[cell.ID] {
		note(a.Learner, a.At)
		attempts[a.Learner] = append(attempts[a.Learner], a)
	}
	for _, p := range s.predictions[cell.ID] {
		note(p.Learner, p.At)
	}
	seen := map[string]map[string]int{} // hints by person and part
	for _, h := range s.hints[cell.ID] {
		note(h.Learner, h.At)
		if seen[h.Learner] == nil {
			seen[h.Learner] = map[string]int{}
		}
		seen[h.Learner][h.Part] = max(seen[h.Learner][h.Part], h.Level)
	}
	works := make(map[string]Work, len(begun))
	for person, w := range begun {
		structure, err := r.service.Structure(ctx, s.place(cell, person))
		if err != nil {
			return nil, err
		}
		w.count(structure, attempts[person], seen[person], tries)
		works[person] = *w
	}
	return works, nil
}

func (s *state) place(cell lessons.Cell, person string) attempt.Place {
	return attempt.Place{Learner: person, Lesson: s.Lesson, Cell: cell}
}

// count takes in what a student has answered and which hints were shown.
func (w *Work) count(structure *exercises.Structure, attempts []store.Attempt, hints map[string]int, tries int) {
	w.Parts = len(structure.Parts)
	for _, ask := range structure.Parts {
		used, right := 0, false
		for _, a := range attempts {
			if a.Part != ask.Name {
				continue
			}
			right = right || a.Verdict == string(marking.Right)
			if !a.Free {
				used++
			}
		}
		switch {
		case right:
			w.Right++
		case used >= tries:
			w.Lost++
		default:
			w.Wrong = max(w.Wrong, used)
			w.AllHints = w.AllHints || len(ask.Hints) > 0 && hints[ask.Name] >= len(ask.Hints)
		}
	}
}
