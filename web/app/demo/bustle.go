package demo

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"shaftbook/exercises/class"
)

const (
	look    = 2 * time.Second  // how often somebody may do something
	renewal = 25 * time.Second // how often everybody's place is kept anew
)

// Bustle lets the people in the open assignment go on, in the time of the
// machine, until ctx ends. What the store refuses is logged, and the student that it was
// stops there.
func (s *School) Bustle(ctx context.Context, log *slog.Logger) {
	defer s.Close()
	tick := time.NewTicker(look)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if err := s.goOn(ctx); err != nil && ctx.Err() == nil {
			log.Warn("somebody of the invented class cannot go on", "error", err)
		}
	}
}

// goOn lets everybody do what they do up to now.
func (s *School) goOn(ctx context.Context) error {
	err := s.workUntil(ctx, s.o.Now())
	if s.o.Now().Sub(s.renewed) >= renewal {
		err = errors.Join(err, s.renewPresence(ctx))
	}
	return err
}

// renewPresence records that everyone in the open assignment is there.
func (s *School) renewPresence(ctx context.Context) error {
	now := s.o.Now()
	s.renewed = now
	var failed error
	for _, l := range s.learners {
		if l.place == "" {
			continue
		}
		if err := s.store.Here(ctx, class.Presence{Person: l.ID, Lesson: s.Open.Key(), Place: l.place, At: now}); err != nil {
			l.place = ""
			failed = errors.Join(failed, err)
		}
	}
	return failed
}
