// Package practice decides which exercise a learner practises next, and how far the
// learner has come: Service.Next chooses, Service.Keep records, Service.Standing sums
// up. It does not use HTTP.
package practice

import (
	"slices"
	"time"

	"shaftbook/exercises/store"
)

// Days are the days after which an exercise comes again, by its box. That an exercise
// goes on by one box when it was right, and back to the first when it was wrong, is the
// rule of S. Leitner, So lernt man lernen, 1972; these days are ours, about double from
// box to box.
var Days = [...]int{0, 2, 5, 12, 30}

// Holds is the first box whose exercises are said to hold: they were right at
// least twice since they were last wrong, on two days.
const Holds = 3

// After returns what becomes of a practice, zero for an exercise that was not
// practised before, by an answer with a set of numbers. Only the first outcome with a set counts, and
// an exercise that is right before it is due stays where it is: that it is still known
// a minute later says little.
func After(p store.Practice, set int64, right bool, now time.Time) store.Practice {
	if p.Box > 0 && p.Set == set {
		return p
	}
	early := p.Box > 0 && now.Before(p.Due)
	p.Set, p.At = set, now
	switch {
	case !right:
		p.Box = 1
	case early:
		return p
	case p.Box == 0:
		p.Box = 2 // of a new exercise the first box is the one it never was in
	default:
		p.Box = min(p.Box+1, len(Days))
	}
	p.Due = now.AddDate(0, 0, Days[p.Box-1])
	return p
}

// A Candidate is an exercise that may be practised.
type Candidate struct {
	Lesson, Exercise string
	State            store.Practice // Box is 0 for an exercise not practised yet
	WentWrong        bool           // with the marked numbers, and is not right yet
}

// A Done is an exercise that was practised in this sitting.
type Done struct{ Lesson, Exercise string }

// Order sorts candidates by when they are to come: those that are due, the earliest
// first; then those not practised yet, those first that went wrong; then those not due,
// the earliest first. What was done in this sitting, the last one at the end of done,
// comes only after all others, and that last one not at once; where there is a choice an
// exercise of another lesson than the last comes before.
func Order(list []Candidate, done []Done, now time.Time) {
	rank := func(c *Candidate) int {
		switch {
		case slices.Contains(done, Done{c.Lesson, c.Exercise}):
			return 4
		case c.State.Box > 0 && !now.Before(c.State.Due):
			return 0
		case c.State.Box == 0 && c.WentWrong:
			return 1
		case c.State.Box == 0:
			return 2
		}
		return 3
	}
	slices.SortStableFunc(list, func(a, b Candidate) int {
		if ra, rb := rank(&a), rank(&b); ra != rb {
			return ra - rb
		}
		return a.State.Due.Compare(b.State.Due)
	})
	if len(list) == 0 || len(done) == 0 {
		return
	}
	last := done[len(done)-1]
	first := func(of func(*Candidate) bool) bool {
		i := slices.IndexFunc(list, func(c Candidate) bool { return of(&c) })
		if i > 0 {
			c := list[i]
			copy(list[1:i+1], list[:i])
			list[0] = c
		}
		return i >= 0
	}
	lead := rank(&list[0])
	if first(func(c *Candidate) bool { return rank(c) == lead && c.Lesson != last.Lesson }) {
		return
	}
	first(func(c *Candidate) bool { return Done{c.Lesson, c.Exercise} != last })
}
