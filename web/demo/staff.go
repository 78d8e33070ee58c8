package demo

import (
	"context"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/lessons"
)

// illness is the extension of the student who was ill.
func (s *School) illness(g *given, at time.Time) class.Extension {
	return class.Extension{
		Assignment: g.ID, Person: s.learners[extended-1].ID, Due: g.Due.AddDate(0, 0, 3), Closes: g.Closes.AddDate(0, 0, 3),
		Reason: "Ill for three days.", By: s.Instructor.ID, At: at,
	}
}

func (s *School) extend(ctx context.Context, g *given, at time.Time) error {
	x := s.illness(g, at)
	e := s.entry(at, "extension", x.Person, "“"+g.Title+"”: due "+said(x.Due)+" in place of "+said(g.Due)+": "+x.Reason)
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

// setByHand gives full points to the student who rounded early. With some numbers
// an answer of few figures is plainly wrong, so it is looked up where it was taken
// for one that was rounded.
func (s *School) setByHand(ctx context.Context, g *given, at time.Time) error {
	who, exercise := s.learners[doubted-1], g.lesson.CellsOf(lessons.Exercise)[0].ID
	attempts, err := s.store.AttemptsIn(ctx, g.Key())
	if err != nil {
		return err
	}
	for _, a := range attempts {
		if a.Learner == who.ID && a.Verdict == string(exercises.RoundedEarly) {
			exercise = a.Exercise
			break
		}
	}
	o := class.Override{
		Assignment: g.ID, Person: who.ID, Exercise: exercise, Points: 1,
		Reason: "The working on paper carried enough figures; only the last line was rounded.", By: s.Instructor.ID, At: at,
	}
	e := s.entry(at, "override", who.ID, "“"+g.Title+"”: 1 of 1, because: "+o.Reason)
	e.Assignment, e.Exercise = g.ID, exercise
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
