package room

import (
	"context"
	"fmt"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

// parts shows what the class said to each prediction and each part of an
// exercise. An exercise that is set in several ways shows the parts of all.
func (r *Room) parts(ctx context.Context, s *state, cell lessons.Cell) ([]page.RoomPart, error) {
	e, err := r.service.Exercise(cell)
	if err != nil {
		return []page.RoomPart{{ID: "room-unset", Kind: "This exercise cannot be set", Said: []string{err.Error()}}}, nil
	}
	var list []page.RoomPart
	done := map[string]bool{}
	for _, structure := range e.Structures {
		for _, q := range structure.Predictions {
			if done[q.Name] {
				continue
			}
			done[q.Name] = true
			part, err := r.guess(ctx, s, cell, q)
			if err != nil {
				return nil, err
			}
			list = append(list, part)
		}
	}
	for _, structure := range e.Structures {
		for _, a := range structure.Parts {
			if done["ask "+a.Name] {
				continue
			}
			done["ask "+a.Name] = true
			part, err := r.part(ctx, s, cell, a)
			if err != nil {
				return nil, err
			}
			list = append(list, part)
		}
	}
	return list, nil
}

// A latest is the last answer of a student.
type latest struct {
	person  string
	attempt store.Attempt
}

// latestAt returns the last answer of each student to a part, in the order in
// which students are listed, and all answers of all.
func (s *state) latestAt(cell lessons.Cell, part string) (last []latest, all []store.Attempt) {
	by := map[string]store.Attempt{}
	for _, a := range s.attempts[cell.ID] {
		if a.Part != part {
			continue
		}
		all = append(all, a)
		by[a.Learner] = a
	}
	for _, person := range s.order {
		if a, ok := by[person]; ok {
			last = append(last, latest{person, a})
		}
	}
	return last, all
}

// part shows the answers to one part.
func (r *Room) part(ctx context.Context, s *state, cell lessons.Cell, ask *exercises.Part) (page.RoomPart, error) {
	last, all := s.latestAt(cell, ask.Name)
	view := page.RoomPart{
		ID: "room-part-" + ask.Name, Kind: page.RoomAnswers, Label: page.Inline(ask.Asks()),
		Said: []string{fmt.Sprintf("%d of %s answered; only the latest answer of each is counted. %s in all.", len(last), students(len(s.order)), answers(len(all)))},
	}
	if len(last) == 0 {
		view.Said = []string{"No answers yet."}
		return view, nil
	}
	view.Counts = verdictCounts(last)
	slips := slipsOf(ask, last, all)
	for i := range slips {
		view.Slips = append(view.Slips, slips[i].RoomSlip)
	}
	if ask.Kind != marking.Number {
		return view, nil
	}
	picture, sentence, err := r.dots(ctx, s, cell, ask, last, slips)
	if err != nil {
		return view, err
	}
	if picture != nil {
		view.Picture = picture
	}
	if sentence != "" {
		view.Said = append(view.Said, sentence)
	}
	return view, nil
}

// ladder is the order of the verdicts, the best first.
var ladder = []marking.VerdictKind{
	marking.Right, marking.RoundedEarly, marking.SlipMade, marking.Off, marking.OutsideBounds,
	marking.WrongDimension, marking.UnitMissing, marking.Ambiguous, marking.Unreadable,
}

func verdictCounts(last []latest) []page.RoomCount {
	count := map[string]int{}
	for _, l := range last {
		count[l.attempt.Verdict]++
	}
	var list []page.RoomCount
	for _, kind := range ladder {
		if n := count[string(kind)]; n > 0 {
			list = append(list, page.RoomCount{Word: kind.Word(), Count: n})
		}
	}
	return list
}

func students(n int) string { return words.Count(n, "student") }
func answers(n int) string  { return words.Count(n, "answer") }
