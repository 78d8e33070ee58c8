package demo

import (
	"context"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
)

// extend gives a student who was ill three more days.
func (s *School) extend(ctx context.Context, g *given, at time.Time) error {
	who := s.learners[extended-1]
	x := class.Extension{
		Assignment: g.ID, Person: who.ID, Due: g.Due.AddDate(0, 0, 3), Closes: g.Closes.AddDate(0, 0, 3),
		Reason: "Ill from Monday to Thursday.", By: s.Instructor.ID, At: at,
	}
	e := s.entry(at, "extension", who.ID, "“"+g.Title+"”: due "+said(x.Due)+" in place of "+said(g.Due)+": "+x.Reason)
	e.Assignment = g.ID
	return s.store.SetExtension(ctx, x, e)
}

func (s *School) withdraw(ctx context.Context, g *given, at time.Time) error {
	a, err := s.store.Assignment(ctx, g.ID)
	if err != nil {
		return err
	}
	a.Withdrawn, a.ChangedAt = true, at
	e := s.entry(at, "withdraw", "", "withdrew “"+g.Title+"”")
	e.Assignment = g.ID
	return s.store.UpdateAssignment(ctx, a, e)
}

// setByHand gives full points to the student who rounded early.
func (s *School) setByHand(ctx context.Context, g *given, at time.Time) error {
	who, cell := s.learners[doubted-1], g.lesson.CellsOf(lessons.Exercise)[0]
	o := class.Override{
		Assignment: g.ID, Person: who.ID, Exercise: cell.ID, Points: 1,
		Reason: "The working on paper carried enough figures; only the last line was rounded.", By: s.Instructor.ID, At: at,
	}
	e := s.entry(at, "override", who.ID, "“"+g.Title+"”: 1 of 1, because: "+o.Reason)
	e.Assignment, e.Exercise = g.ID, cell.ID
	return s.store.Override(ctx, o, e)
}

// takeOut lets a student leave the class.
func (s *School) takeOut(ctx context.Context, _ *given, at time.Time) error {
	who := s.learners[gone-1]
	m, err := s.store.Member(ctx, s.Class.ID, who.ID)
	if err != nil {
		return err
	}
	m.Left, m.Since = true, at
	return s.store.Enrol(ctx, nil, nil, []class.Member{m}, s.entry(at, "roster", who.ID, "took "+who.Name+" out"))
}
