package room

import (
	"context"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// stalls returns how far the class is at each exercise, and who is stuck.
func (r *Room) stalls(ctx context.Context, s *state) (*page.RoomStalls, error) {
	view := &page.RoomStalls{Rule: StallRule}
	cells, titles := r.Exercises(s.View)
	for i, cell := range cells {
		row := page.RoomExercise{Title: titles[i], Path: s.Path(cell.ID)}
		progress, err := r.progress(ctx, s, cell)
		if err != nil {
			return nil, err
		}
		atIt := 0
		for _, person := range s.order {
			p, begun := progress[person]
			if !begun {
				continue
			}
			row.Begun++
			if p.Finished() {
				row.Done++
			}
			why := p.Stuck(s.now)
			if p.WorkingNow() {
				row.AtWork++
			}
			if !p.Finished() || why != "" {
				atIt++
			}
			if why != "" {
				row.Stuck = append(row.Stuck, page.RoomStuck{Name: s.names[person], Why: stuckWords(why, p, s.now)})
			}
		}
		row.Stalls = Stalls(len(row.Stuck), atIt)
		view.Exercises = append(view.Exercises, row)
	}
	return view, nil
}

// progress returns how far each student is who has begun an exercise; nothing for
// one that cannot be set, which shaftbook check reports to its author.
func (r *Room) progress(ctx context.Context, s *state, cell lessons.Cell) (map[string]class.Progress, error) {
	e, err := r.service.Exercise(cell)
	if err != nil {
		return nil, nil
	}
	deeds := class.Deeds{Attempts: s.attempts[cell.ID], Predictions: s.predictions[cell.ID], Hints: s.hints[cell.ID]}
	progress := map[string]class.Progress{}
	for person, did := range deeds.By() {
		structure, err := r.service.Structure(ctx, s.place(cell, person))
		if err != nil {
			return nil, err
		}
		p := class.ProgressOf(attempt.TaskOf(&s.Assignment, cell.ID, e, structure), did)
		if !p.HasBegun() {
			continue
		}
		_, p.Here = s.present[person]
		progress[person] = p
	}
	return progress, nil
}

func (s *state) place(cell lessons.Cell, person string) attempt.Place {
	return attempt.Place{Learner: person, Lesson: s.Lesson, Cell: cell}
}
