package demo

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
)

// A given is an assignment with its lesson as it was given.
type given struct {
	class.Assignment
	number int // from 1, for the dice
	frozen class.Frozen
	lesson *lessons.Lesson
	made   time.Time // when it was assigned
	share  float64   // of the class that works at it

	current bool      // in which the class is at work now
	hard    string    // exercise at which the class stalls, or empty
	stops   time.Time // when work in it ends before it is due; zero if it does not
}

// everybody reports whether the whole class works at it.
func (g *given) everybody() bool { return g.share == 1 }

// A term is the assignments of the class.
type term struct{ closed, due, open, planned, withdrawn *given }

func (t *term) all() []*given {
	return []*given{t.closed, t.due, t.open, t.planned, t.withdrawn}
}

// plan is what is assigned and when. Times of day are the class's.
func (s *School) plan(now time.Time) (*term, error) {
	at := func(days, hour, minute int) time.Time { return s.day(now, days, hour, minute) }
	t := &term{
		closed: &given{
			Assignment: class.Assignment{
				Title: "The plain spindle", Lesson: "uniform-shaft",
				Opens: at(-22, 8, 0), Due: at(-12, 18, 0), Closes: at(-8, 18, 0), LateOff: 10, Weight: 1,
			}, made: at(-23, 10, 0), share: 1,
		},
		due: &given{
			Assignment: class.Assignment{
				Title: "A taper in segments", Lesson: "taper-in-segments",
				Opens: at(-7, 8, 0), Due: at(2, 18, 0), Closes: at(2, 18, 0), TryOff: 10, Weight: 1,
			}, made: at(-8, 15, 0), share: 0.6,
		},
		open: &given{
			Assignment: class.Assignment{
				Title: "From the wheel to the stones", Lesson: "drive-line",
				Opens: at(-1, 8, 0), Due: at(6, 23, 59), Closes: at(9, 23, 59), LateOff: 25, Weight: 2,
			}, made: at(-2, 16, 0), share: 0.8, current: true, hard: "exercise-lay-shaft",
		},
		planned: &given{
			Assignment: class.Assignment{
				Title: "Held at both ends", Lesson: "held-at-both-ends",
				Opens: at(5, 8, 0), Due: at(12, 18, 0), Closes: at(12, 18, 0), Tries: 2, Weight: 1,
			}, made: at(-2, 17, 0),
		},
		withdrawn: &given{
			Assignment: class.Assignment{
				Title: "A stepped shaft", Lesson: "stepped-shaft",
				Opens: at(-14, 8, 0), Due: at(-4, 18, 0), Closes: at(-4, 18, 0), Weight: 1,
			}, made: at(-15, 11, 0), share: 0.2, stops: at(-12, 8, 0),
		},
	}
	for i, g := range t.all() {
		g.number = i + 1
		if err := s.freeze(g); err != nil {
			return nil, err
		}
	}
	return t, nil
}

// day is a time of day in the class, some days from now.
func (s *School) day(now time.Time, days, hour, minute int) time.Time {
	now = now.In(s.zone)
	return time.Date(now.Year(), now.Month(), now.Day()+days, hour, minute, 0, 0, s.zone)
}

// freeze reads the lesson of an assignment as it is given.
func (s *School) freeze(g *given) error {
	l, ok := s.shelf.Lesson(g.Lesson)
	if !ok {
		return fmt.Errorf("demo: there is no lesson %s on the shelf", g.Lesson)
	}
	text := l.Text.Content
	if g.Lesson == "uniform-shaft" {
		text = strings.Replace(text, mended, asGiven, 1)
	}
	g.ID, g.Class, g.Zone = class.NewID(), s.Class.ID, s.Class.Zone
	g.MadeAt, g.ChangedAt = g.made, g.made
	g.frozen = class.Frozen{Hash: class.HashText(text), Name: l.Text.Name, Text: text}
	g.Text = g.frozen.Hash
	given, _ := lessons.Parse(g.frozen.Name, []byte(text))
	g.lesson = given.WithKey(g.Key())
	return nil
}

// The closed assignment was given when its lesson still asked for more figures
// than it does now, so that there is an exercise that was mended.
const (
	mended  = "unit: deg\ntolerance: 1 %"
	asGiven = "unit: deg\ntolerance: 0.2 %"
)

// An act is something that the instructor does at a time.
type act struct {
	at time.Time
	do func(at time.Time) error
}

// staffWork is what the instructor did in the term.
func (s *School) staffWork(ctx context.Context, t *term) *worker {
	var acts []act
	for _, g := range t.all() {
		acts = append(acts, act{g.made, func(at time.Time) error {
			e := s.entry(at, "assign", "", assignment.AssignedWords(g.Title, g.lesson.Title)+assignment.TermsWords(&g.Assignment, nil))
			e.Assignment = g.ID
			return s.store.AddAssignment(ctx, g.Assignment, g.frozen, e)
		}})
	}
	on := func(at time.Time, g *given, do func(context.Context, *given, time.Time) error) {
		acts = append(acts, act{at, func(at time.Time) error { return do(ctx, g, at) }})
	}
	on(t.closed.Due.Add(-5*time.Hour), t.closed, s.extend)
	on(t.withdrawn.stops, t.withdrawn, s.withdraw)
	on(t.closed.Closes.Add(16*time.Hour), t.closed, s.setByHand)
	on(t.due.Opens.Add(2*time.Hour), nil, s.takeOut)
	asked := t.due.Opens.Add(26 * time.Hour)
	acts = append(acts, act{asked, func(at time.Time) error { return s.showPage(ctx, at) }},
		act{asked.Add(time.Hour), func(at time.Time) error { return s.answerPage(ctx, at) }})
	slices.SortStableFunc(acts, func(a, b act) int { return a.at.Compare(b.at) })
	return newWorker(acts[0].at, func(pause func(time.Duration) bool) {
		for i, a := range acts {
			if i > 0 && !pause(a.at.Sub(acts[i-1].at)) {
				return
			}
			s.fail(a.do(a.at))
		}
	})
}
