package demo

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
)

// Options say what class is to be made. The zero value is the usual one.
type Options struct {
	Seed     uint64           // what everybody does depends on it; identifiers and numbers do not
	Students int              // 30 if it is 0; at least Fewest
	Password string           // encoded, of everybody who has come in
	Program  string           // version, kept with each answer
	Now      func() time.Time // nil is the time of the machine
}

// Fewest is the smallest class in which there is someone of each kind.
const Fewest = 8

// A School is a store with the invented class in it. It is not safe for
// concurrent use.
type School struct {
	Class      class.Class
	Instructor class.Person
	Colleague  class.Person
	Students   []class.Person // in the order of their numbers

	Closed, Due, Open, Planned, Withdrawn class.Assignment

	store   contract.Store
	shelf   *lessons.Catalog
	service *attempt.Service // by the clock time
	zone    *time.Location   // of the class
	o       Options

	past bool      // is being made
	at   time.Time // of the service in the past

	learners []*learner
	workers  []*worker // who have something to do yet
	failed   error     // of whoever did something last
	renewed  time.Time // when it was last said who is there
}

// Fill makes the class in a store that should be empty, with lessons of the
// shelf that Shelf returns. The error is of the store, or of a lesson that
// cannot be set.
func Fill(ctx context.Context, store contract.Store, shelf *lessons.Catalog, o Options) (*School, error) {
	if o.Students == 0 {
		o.Students = 30
	}
	if o.Students < Fewest {
		return nil, fmt.Errorf("demo: a class of %d is too small; it takes %d", o.Students, Fewest)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	s := &School{store: store, shelf: shelf, o: o}
	now := o.Now()
	var err error
	if s.service, err = attempt.NewServiceAt(ctx, store, o.Program, s.time); err != nil {
		return nil, err
	}
	if err := s.makeClass(ctx, now); err != nil {
		return nil, fmt.Errorf("demo: the class: %w", err)
	}
	term, err := s.plan(now)
	if err != nil {
		return nil, err
	}
	s.Closed, s.Due, s.Open = term.closed.Assignment, term.due.Assignment, term.open.Assignment
	s.Planned, s.Withdrawn = term.planned.Assignment, term.withdrawn.Assignment
	s.workers = append(s.workers, s.staffWork(ctx, term))
	for _, g := range term.all() {
		for _, l := range s.learners {
			if w := s.begin(ctx, l, g, now); w != nil {
				s.workers = append(s.workers, w)
			}
		}
	}
	s.past = true
	err = s.workUntil(ctx, now)
	s.past = false
	if err == nil {
		err = s.renewPresence(ctx)
	}
	if err != nil {
		s.Close()
		return nil, fmt.Errorf("demo: %w", err)
	}
	return s, nil
}

// time is the clock of the service.
func (s *School) time() time.Time {
	if s.past {
		return s.at
	}
	return s.o.Now()
}

// chance returns the dice of one person in one assignment, so that what someone
// does does not depend on what others did before.
func (s *School) chance(person, assignment int) *rand.Rand {
	return rand.New(rand.NewPCG(s.o.Seed, uint64(person)<<16|uint64(assignment)))
}

// fail notes an error.
func (s *School) fail(err error) { s.failed = errors.Join(s.failed, err) }

// A worker does one thing after another, with pauses between them.
type worker struct {
	at   time.Time // of the next thing
	next func() (pause time.Duration, more bool)
	stop func()
}

// workUntil lets everybody do what they do up to a time, in the order of time.
// Who fails has done everything, and the others are left where they are.
func (s *School) workUntil(ctx context.Context, end time.Time) error {
	for ctx.Err() == nil {
		first := -1
		for i, w := range s.workers {
			if !w.at.After(end) && (first < 0 || w.at.Before(s.workers[first].at)) {
				first = i
			}
		}
		if first < 0 {
			return nil
		}
		w := s.workers[first]
		s.at = w.at
		pause, more := w.next()
		w.at = w.at.Add(pause)
		failed := s.failed
		s.failed = nil
		if !more || failed != nil {
			w.stop()
			s.workers = slices.Delete(s.workers, first, first+1)
		}
		if failed != nil {
			return failed
		}
	}
	return ctx.Err()
}

// Close lets go of everybody who has something to do yet.
func (s *School) Close() {
	for _, w := range s.workers {
		w.stop()
	}
	s.workers = nil
}
