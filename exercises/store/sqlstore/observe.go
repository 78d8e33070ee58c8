package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"sync"
	"time"

	"shaftbook/exercises/store"
)

// health knows whether the last transaction went well, and tells an observer.
type health struct {
	mu       sync.Mutex
	observer store.Observer
	since    time.Time // when it began to fail; zero while it is well
	well     time.Time // when the last transaction went well
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
		if !h.since.IsZero() && h.observer.Recovered != nil {
			h.observer.Recovered(now.Sub(h.since))
		}
		h.since, h.well = time.Time{}, now
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
	err = s.fault(err)
	if h.since.IsZero() {
		h.since = now
		if h.observer.Failed != nil {
			h.observer.Failed(err)
		}
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
	_, err := change(ctx, s, "", func(ctx context.Context, tx *transaction) (none struct{}, err error) {
		return none, tx.exec(ctx, rewriteSecret)
	})
	return err
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
