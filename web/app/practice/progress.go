package practice

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
)

// A LessonProgress is how far a learner is with one lesson.
type LessonProgress struct {
	Guesses, GuessesOf     int // made, and in the lesson
	Right, Hold, Exercises int // right with the marked numbers; held in practice; in the lesson
	Done                   bool
	Begun                  bool
}

// Words says what is done and what holds; it is empty for a lesson not begun.
func (p *LessonProgress) Words() string {
	var said []string
	if p.Guesses > 0 {
		said = append(said, fmt.Sprintf("%d of %s made", p.Guesses, words.CountOf(p.GuessesOf, "guess", "guesses")))
	}
	if p.Begun && p.Exercises > 0 {
		said = append(said, fmt.Sprintf("%d of %s right", p.Right, words.CountOf(p.Exercises, "exercise", "exercises")))
	}
	if p.Hold > 0 {
		said = append(said, fmt.Sprintf("%d held in practice", p.Hold))
	}
	return strings.Join(said, " · ")
}

// Lessons returns how far a learner is with each lesson of the catalog. A lesson is done
// when each of its exercises was right, with the marked numbers or in practice since it
// was last wrong there; one without exercises when it was worked in.
func (s *Service) Lessons(ctx context.Context, learner string, st *Standing) (map[string]LessonProgress, error) {
	all := map[string]LessonProgress{}
	for _, l := range st.catalog.Lessons {
		p := LessonProgress{Begun: st.worked(l.Slug), GuessesOf: len(l.CellsOf(lessons.Guess))}
		p.Guesses = min(st.progress.Guesses[l.Slug], p.GuessesOf)
		p.Done = p.Begun
		for _, cell := range l.CellsOf(lessons.Exercise) {
			p.Exercises++
			right, err := s.right(ctx, learner, st, l, cell)
			if err != nil {
				return nil, err
			}
			if right {
				p.Right++
			}
			box := st.state(l.Slug, cell.ID).Box
			if box >= Holds {
				p.Hold++
			}
			p.Done = p.Done && (right || box > 1)
		}
		all[l.Slug] = p
	}
	return all, nil
}

// right reports whether all parts of an exercise are right, in the lesson as it is read
// freely or in one assignment of it.
func (s *Service) right(ctx context.Context, learner string, st *Standing, l *lessons.Lesson, cell lessons.Cell) (bool, error) {
	parts := map[string]int{} // that are right, by key
	for _, p := range st.progress.Parts {
		if slug, _ := class.SplitKey(p.Lesson); slug == l.Slug && p.Exercise == cell.ID && p.Right {
			parts[p.Lesson]++
		}
	}
	for key, n := range parts {
		set, err := s.Attempts.Structure(ctx, attempt.Place{Learner: learner, Lesson: l.WithKey(key), Cell: cell})
		var unset *attempt.Unset
		if errors.As(err, &unset) {
			continue
		}
		if err != nil {
			return false, err
		}
		if n >= len(set.Parts) {
			return true, nil
		}
	}
	return false, nil
}

// A Suggestion is what a learner may do next, with the reason.
type Suggestion struct {
	Lesson *lessons.Lesson // nil for practice
	Reason string          // a sentence
}

// Suggest returns what comes next: practice where some is due, else the first lesson
// that is not done and whose needs are. It is false where there is nothing.
func (s *Service) Suggest(st *Standing, of map[string]LessonProgress) (Suggestion, bool) {
	list, _ := s.Candidates(st)
	if n := Count(list, st.now).Due; n > 0 {
		return Suggestion{Reason: words.CountOf(n, "exercise is", "exercises are") + " due again."}, true
	}
	for _, l := range st.catalog.Lessons {
		p := of[l.Slug]
		unmet := slices.ContainsFunc(l.Needs, func(need string) bool { return !of[need].Done && st.catalog.Number(need) > 0 })
		switch {
		case p.Done || unmet:
			continue
		case p.Begun:
			return Suggestion{l, "You have begun it."}, true
		case len(l.Needs) == 0:
			return Suggestion{l, "It needs no other lesson."}, true
		}
		return Suggestion{l, "What it needs is done."}, true
	}
	return Suggestion{}, false
}
