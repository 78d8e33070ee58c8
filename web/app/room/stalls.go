package room

import (
	"context"
	"slices"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// stalls returns how far the class is at each exercise, and who is stuck: exercises
// that stall first, then in the order of the lesson. stalling are the cells of those
// that do.
func (r *Room) stalls(ctx context.Context, s *state) (_ *page.RoomStalls, stalling []string, _ error) {
	view := &page.RoomStalls{Rule: StallRule}
	cells, titles := r.Exercises(s.View)
	for i, cell := range cells {
		row := page.RoomExercise{Title: titles[i], Path: s.Path(cell.ID)}
		progress, err := r.progress(ctx, s, cell)
		if err != nil {
			return nil, nil, err
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
				row.Stuck = append(row.Stuck, page.RoomPerson{Name: s.names[person], Note: stuckWords(why, p, s.now)})
			}
		}
		row.Stalls = Stalls(len(row.Stuck), atIt)
		if row.Stalls {
			stalling = append(stalling, cell.ID)
		}
		view.Exercises = append(view.Exercises, row)
	}
	slices.SortStableFunc(view.Exercises, func(a, b page.RoomExercise) int { return stallsFirst(a.Stalls, b.Stalls) })
	return view, stalling, nil
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
