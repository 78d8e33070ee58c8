package demo

import (
	"cmp"
	"context"
	"slices"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
	"shaftbook/lessons"
	"shaftbook/web/page"
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
	e := s.entry(at, "extension", x.Person, "“"+g.Title+"”: extension for "+s.learners[extended-1].Name+": due "+page.Zoned(x.Due, g.Zone)+", closes "+page.Zoned(x.Closes, g.Zone)+", reason: "+x.Reason)
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

// setByHand gives full points to the student who rounded early. With numbers of
// which no rounding shows there is another reason, and an exercise that gave least.
func (s *School) setByHand(ctx context.Context, g *given, at time.Time) error {
	who := s.learners[doubted-1]
	attempts, err := s.store.AttemptsIn(ctx, g.Key())
	if err != nil {
		return err
	}
	best := map[string]float64{} // points by exercise
	o := class.Override{
		Assignment: g.ID, Person: who.ID, Points: 1, By: s.Instructor.ID, At: at,
		Reason: "The working on paper was right; only the last line was copied wrongly.",
	}
	for _, a := range attempts {
		if a.Learner != who.ID {
			continue
		}
		best[a.Exercise] = max(best[a.Exercise], a.Points)
		if a.Verdict == string(marking.RoundedEarly) && o.Exercise == "" {
			o.Exercise, o.Reason = a.Exercise, "The working on paper carried enough figures; only the last line was rounded."
		}
	}
	if o.Exercise == "" {
		o.Exercise = slices.MinFunc(g.lesson.CellsOf(lessons.Exercise), func(a, b lessons.Cell) int { return cmp.Compare(best[a.ID], best[b.ID]) }).ID
	}
	e := s.entry(at, "override", who.ID, "set the points of an exercise of “"+g.Title+"” by hand: from "+class.Shown(best[o.Exercise])+" to 1 (out of 1), reason: "+o.Reason)
	e.Assignment, e.Exercise = g.ID, o.Exercise
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
	return s.store.Enrol(ctx, nil, nil, []class.Member{m}, s.entry(at, "roster", who.ID, "removed "+who.Name+" from the class"))
}
