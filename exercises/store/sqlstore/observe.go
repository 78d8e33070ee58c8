package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"shaftbook/exercises/store"
)

// health knows whether the last transaction went well, and tells an observer.
type health struct {
	mu       sync.Mutex
	observer store.Observer
	since    time.Time   // when it began to fail; zero while it is well
	full     bool        // it fails since there is no room
	tried    time.Time   // when there was last found to be no room
	lost     atomic.Bool // it fails since the database does not answer
	well     time.Time   // when the last transaction went well
}

// freshFor is how long a transaction that went well stands for the next: Ready asks
// the disk no more often.
const freshFor = 5 * time.Second

// Observe implements contract.Observed.
func (s *Store) Observe(o store.Observer) {
	s.health.mu.Lock()
	defer s.health.mu.Unlock()
	s.health.observer = o
}

// ended notes what became of a transaction with some writes. What follows from the
// rules of the store or from a caller that left says nothing about the store.
func (s *Store) ended(began time.Time, writes int, err error) {
	h := &s.health
	now := time.Now()
	h.mu.Lock()
	defer h.mu.Unlock()
	if err == nil {
		if h.full && !s.hasRoom(now) {
			return
		}
		if !h.since.IsZero() && h.observer.Recovered != nil {
			h.observer.Recovered(now.Sub(h.since))
		}
		h.since, h.well, h.full = time.Time{}, now, false
		h.lost.Store(false)
		if h.observer.Committed != nil {
			h.observer.Committed(now.Sub(began), writes)
		}
		return
	}
	var known store.Fault
	if !errors.As(err, &known) {
		known = s.dialect.Fault(err)
	}
	if known == "" && !s.isLost(err) || known == store.ErrClosed {
		return // one write is at fault, or nothing is
	}
	h.full = known == store.ErrFull
	h.lost.Store(s.isLost(err))
	err = s.fault(err)
	if h.since.IsZero() {
		h.since = now
		if h.observer.Failed != nil {
			h.observer.Failed(err)
		}
	}
}

// hasRoom reports whether there is room again for what a write may need, which a small
// one that went well does not show: it can use room that an earlier one has left. It
// looks once a second at the most. The caller holds the lock of health.
func (s *Store) hasRoom(now time.Time) bool {
	if s.dialect.Room == nil {
		return true
	}
	h := &s.health
	if now.Sub(h.tried) < looksApart {
		return false
	}
	h.tried = now
	return s.dialect.Room(true) == nil
}

// looksApart is the time between two looks whether there is room again.
const looksApart = time.Second

// wasRead notes what became of reading: a database that does not answer fails, and one
// that answers again is well.
func (s *Store) wasRead(err error) {
	switch {
	case err == nil && s.health.lost.Load():
		s.answers()
	case err != nil && s.isLost(err) && !s.closed.Load():
		s.ended(time.Now(), 0, err)
	}
}

// answers notes that a database that did not answer does.
func (s *Store) answers() {
	h := &s.health
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.lost.Swap(false) && !h.since.IsZero() {
		if h.observer.Recovered != nil {
			h.observer.Recovered(time.Since(h.since))
		}
		h.since = time.Time{}
	}
}

const rewriteSecret = `UPDATE secrets SET value = value`

// Ready implements contract.Observed. A transaction of the last seconds that went
// well is enough; else one is made that changes nothing but has to wait for the disk
// as an answer does. It also finds that a store that was put right can go on.
func (s *Store) Ready(ctx context.Context) error {
	if s.closed.Load() {
		return store.ErrClosed
	}
	s.health.mu.Lock()
	fresh := s.health.since.IsZero() && time.Since(s.health.well) < freshFor
	s.health.mu.Unlock()
	if fresh {
		if err := s.checkPlace(); err == nil {
			return nil
		}
	}
	if s.dialect.Room != nil {
		if err := s.dialect.Room(false); err != nil {
			s.ended(time.Now(), 0, err)
			return s.fault(err)
		}
	}
	_, err := change(ctx, s, "", func(ctx context.Context, tx *transaction) (none struct{}, err error) {
		return none, tx.exec(ctx, rewriteSecret)
	})
	if err == nil {
		return s.stillFull()
	}
	// Whoever asks does not wait as long as a write does.
	if s.isLost(err) {
		s.ended(time.Now(), 0, err)
	} else if errors.Is(err, context.DeadlineExceeded) && !s.dialect.InProcess {
		s.ended(time.Now(), 0, fmt.Errorf("%w: it did not answer in time: %w", store.ErrUnavailable, err))
	}
	return err
}

// stillFull returns a [store.ErrFull] while there is not known to be room again.
func (s *Store) stillFull() error {
	s.health.mu.Lock()
	defer s.health.mu.Unlock()
	if s.health.full {
		return fmt.Errorf("%w: small writes go on, larger ones do not", store.ErrFull)
	}
	return nil
}

// Connections returns how many connections to the database are open and how many of them
// are in use.
func (s *Store) Connections() (open, used int) {
	pools := s.pools.Load()
	for _, db := range []*sql.DB{pools.Write, pools.Read} {
		stats := db.Stats()
		open, used = open+stats.OpenConnections, used+stats.InUse
		if pools.Write == pools.Read {
			break
		}
	}
	return open, used
}
