package attempt

import (
	"context"
	"strings"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/kernel/words"
	"shaftbook/web/page"
)

// shownTime is how a time is said to a learner, in the zone of the terms.
const shownTime = "2 January 2006, 15:04 MST"

// bound returns the terms that hold at a place; further numbers to practise with
// are free of them.
func (p Place) bound() *class.Terms {
	if p.Series != 0 {
		return nil
	}
	return p.Terms
}

// tries is how many graded tries a part has.
func (p Place) tries(e *exercises.Exercise) int {
	if t := p.bound(); t != nil && t.Tries > 0 {
		return t.Tries
	}
	return e.Attempts
}

// closed reports whether nothing more is taken at a place.
func (p Place) closed(at time.Time) bool {
	t := p.bound()
	if t == nil {
		return false
	}
	_, closed := t.Late(at)
	return closed
}

// mayHandIn refuses what the terms do not let be handed in, and what mayWork
// refuses.
func (d *Service) mayHandIn(ctx context.Context, p Place, s *standing) error {
	t := p.bound()
	switch {
	case t != nil && !t.Opened(s.now):
		return &Refusal{Reason: TooEarly, Words: "This assignment opens on " + t.Opens.Format(shownTime) + ". Answers are not accepted before then; what you wrote stays on this page."}
	case p.closed(s.now):
		return &Refusal{Reason: Closed, Words: "This assignment closed on " + t.Closes.Format(shownTime) + ", so this answer was not accepted or marked. What you wrote stays on this page. Your instructor can grant you an extension."}
	}
	return d.mayWork(ctx, p, s)
}

// score returns what the answers so far are worth, and in an assignment how that
// came about.
func (p Place) score(view *page.Exercise, v *exercises.Variant, s *standing) {
	if p.Series != 0 {
		return
	}
	w := class.Worth{Exercise: p.Cell.ID, Title: v.Exercise.Title}
	for _, a := range v.Structure.Parts {
		w.Parts = append(w.Parts, class.PartWorth{Part: a.Name, Points: a.Points})
	}
	var terms class.Terms
	if p.Terms != nil {
		terms = *p.Terms
	}
	m := class.MarkOf(w, terms, s.attempts, p.Overrides)
	if o := m.Override; o != nil {
		view.Mark = "Mark set by your instructor: " + class.Shown(m.Points) + " of " + class.Shown(m.Full) + "; reason: " + strings.TrimSuffix(o.Reason, ".") + "."
	}
	if len(s.attempts) == 0 {
		return
	}
	view.Score = class.Shown(m.Marking) + " of " + words.Amount(m.Full, "point")
	for _, part := range m.Parts {
		if part.TryOff > 0 || part.LateOff > 0 || part.TooLate > 0 {
			view.Steps = append(view.Steps, page.Steps{Part: labelOf(v, part.Part), Words: part.Steps()})
		}
	}
}

// labelOf names a part for a reader where an exercise has more than one.
func labelOf(v *exercises.Variant, part string) string {
	if len(v.Structure.Parts) == 1 {
		return ""
	}
	for _, a := range v.Structure.Parts {
		if a.Name == part {
			return a.Text
		}
	}
	return ""
}
