package demo

import (
	"context"
	crypto "crypto/rand"
	"errors"
	"iter"
	"math/rand/v2"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
)

// newWorker returns a worker that begins at a time. What it does is between
// calls of pause, which is false when it has to stop.
func newWorker(at time.Time, do func(pause func(time.Duration) bool)) *worker {
	next, stop := iter.Pull(iter.Seq[time.Duration](do))
	return &worker{at: at, next: next, stop: stop}
}

// A session is one student at work in one assignment.
type session struct {
	s     *School
	ctx   context.Context
	l     *learner
	g     *given
	dice  *rand.Rand
	pause func(time.Duration) bool
	here  bool // in the room, so that no work is put off
	terms class.Terms
}

// begin returns a student's work in an assignment, or nil if the student does
// none.
func (s *School) begin(ctx context.Context, l *learner, g *given, now time.Time) *worker {
	d := &session{s: s, ctx: ctx, l: l, g: g, dice: s.chance(l.number, g.number), terms: g.TermsFor(nil)}
	start, ok := d.start(now)
	if !ok {
		return nil
	}
	return newWorker(start, func(pause func(time.Duration) bool) {
		d.pause = pause
		d.run()
	})
}

// start returns when a student begins, if at all.
func (d *session) start(now time.Time) (at time.Time, ok bool) {
	open := d.g.Opens.Before(now)
	takesPart := d.dice.Float64() < d.g.share || d.l.number == ahead && d.g.stops.IsZero()
	switch n := d.l.number; {
	case !open || n == absent || (n == gone || n == silent) && !d.g.everybody():
		return at, false
	case d.g.everybody() && n == late:
		return d.g.Due.Add(26 * time.Hour), true
	case d.g.everybody() && n == extended:
		x := d.s.illness(d.g, now)
		d.terms = d.g.TermsFor(&x)
		return d.g.Due.Add(20 * time.Hour), true
	case d.g.current && n == ahead:
		return d.s.day(now, -1, 19, 40), true
	case d.g.current && n == late:
		return at, false // this page is left to whoever looks round
	case d.g.current && takesPart && d.dice.IntN(4) > 0:
		d.here = true
		return now.Add(-time.Duration(2+d.dice.IntN(38)) * time.Minute), true
	case d.g.current && !takesPart: // has the page open and begins in a while
		d.here, d.l.place = true, d.g.lesson.Headings[0].ID
		return now.Add(time.Duration(1+d.dice.IntN(20)) * time.Minute), true
	case !takesPart:
		return at, false
	}
	from, to := d.g.Opens, d.g.Due.Add(-6*time.Hour)
	if to.After(now) {
		to = now
	}
	if !d.g.stops.IsZero() {
		to = d.g.stops
	}
	return d.someday(from, to), true
}

// someday draws a time between two, by day if there is one.
func (d *session) someday(from, to time.Time) time.Time {
	at := from.Add(time.Duration(d.dice.Float64() * float64(to.Sub(from))))
	by := d.s.day(at, 0, 9+d.dice.IntN(12), d.dice.IntN(60))
	if by.After(to) {
		by = by.AddDate(0, 0, -1)
	}
	if by.Before(from) {
		return at
	}
	return by
}

// run works through the exercises.
func (d *session) run() {
	for i, cell := range d.g.lesson.CellsOf(lessons.Exercise) {
		if i > 0 && !d.rest() {
			return
		}
		if d.here {
			d.l.place = cell.ID
		}
		if !d.exercise(cell) || d.l.number == silent || d.l.number == ahead && d.g.current {
			return
		}
	}
}

// rest is the time between two exercises: for some until the next day, if there
// is one before it is due.
func (d *session) rest() bool {
	night := time.Duration(12+d.dice.IntN(20)) * time.Hour
	if !d.here && d.dice.IntN(4) == 0 && d.s.time().Add(night+time.Hour).Before(d.terms.Due) {
		return d.pause(night)
	}
	return d.pause(d.between(time.Minute, 4*time.Minute))
}

func (d *session) between(low, high time.Duration) time.Duration {
	return low + time.Duration(d.dice.Float64()*float64(high-low))
}

// exercise does one exercise. It is false if the student stops here.
func (d *session) exercise(cell lessons.Cell) bool {
	p := attempt.Place{Learner: d.l.ID, Lesson: d.g.lesson, Cell: cell, Terms: &d.terms}
	e, err := d.s.service.Exercise(cell)
	if err != nil {
		return d.failed(err)
	}
	set, err := d.s.service.Structure(d.ctx, p)
	if err != nil {
		return d.failed(err)
	}
	for _, q := range set.Predictions {
		if d.dice.Float64() < 0.85 && !d.predict(p, q) {
			return false
		}
	}
	tries := e.Attempts
	if d.g.Tries > 0 {
		tries = d.g.Tries
	}
	for _, ask := range set.Parts {
		if !d.part(p, ask, tries) {
			return false
		}
	}
	return true
}

// part answers one part until it is right, the tries are used up or the student
// gives it up.
func (d *session) part(p attempt.Place, ask *exercises.Part, tries int) bool {
	hints, given := 0, map[string]bool{}
	for n, used := 0, 0; used < tries; n++ {
		if !d.pause(d.between(40*time.Second, 4*time.Minute)) {
			return false
		}
		var q question
		err := d.s.service.With(d.ctx, p, func(_ context.Context, v *exercises.Variant) (err error) {
			q, err = questionOf(d.ctx, v, ask)
			return err
		})
		if err != nil {
			return d.failed(err)
		}
		text := q.typed(d.dice, d.turn(p.Cell.ID, n, hints))
		for range 9 { // nobody gives the same wrong answer twice, or seldom
			if !given[text] {
				break
			}
			text = q.typed(d.dice, d.turn(p.Cell.ID, n, hints))
		}
		given[text] = true
		a, err := d.s.service.Submit(d.ctx, d.submission(p, ask.Name, text))
		if err != nil {
			return d.failed(err)
		}
		if a.Verdict == string(marking.Right) {
			return true
		}
		content := a.Points > 0 && (d.l.number == doubted || d.dice.IntN(2) == 0)
		if d.l.number == silent || content || d.dice.IntN(12) == 0 {
			return d.l.number != silent
		}
		if !a.Free {
			used++
		}
		if used < tries && hints < len(ask.Hints) && d.dice.IntN(2) == 0 {
			hints++
			if err := d.s.service.Reveal(d.ctx, d.submission(p, ask.Name, ""), hints); err != nil {
				return d.failed(err)
			}
		}
	}
	return true
}

// turn draws how an answer goes: the better the student, the more hints were
// seen and the oftener it was tried, the more likely it is right.
func (d *session) turn(exercise string, before, hints int) turn {
	chance := 0.12 + 0.7*d.l.ability + 0.08*float64(before) + 0.1*float64(hints)
	if exercise == d.g.hard {
		chance -= 0.35
	}
	switch {
	case d.l.number == silent:
		return notAValue
	case d.g.everybody() && (d.l.number == doubted || before == 0 && d.l.number != ahead && d.dice.IntN(4) == 0):
		return rounded
	case d.dice.Float64() < chance:
		return right
	}
	switch x := d.dice.Float64(); {
	case x < 0.55:
		return slip
	case x < 0.70:
		return off
	case x < 0.80:
		return rounded
	case x < 0.87:
		return noUnit
	case x < 0.92:
		return wrongUnit
	}
	return notAValue
}

func (d *session) submission(p attempt.Place, part, text string) attempt.Submission {
	return attempt.Submission{Place: p, FormToken: d.s.service.FormToken(d.l.ID), ID: crypto.Text(), Part: part, Text: text}
}

// failed notes an error and ends the student's work. A refusal is what becomes
// of work that goes on while someone changes the terms.
func (d *session) failed(err error) bool {
	var refused *attempt.Refusal
	if !errors.As(err, &refused) && !errors.Is(err, store.ErrNoTries) {
		d.s.fail(err)
	}
	return false
}
