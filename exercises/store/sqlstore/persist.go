package sqlstore

import (
	"context"
	"database/sql/driver"
	"errors"
	"sync"
	"time"
)

// A database that restarts, or another that takes over, is waited for so long, with
// looks at these distances; then whoever asked is told, and may ask again.
const (
	waitsFor  = 8 * time.Second
	firstLook = 10 * time.Millisecond
	lastLook  = 250 * time.Millisecond
)

// persist tries something until it does not fail for a lost connection, patience or ctx
// ends, or it says that it must not be tried again. A connection of the pool can be
// found broken after the database ended it, or a caller left it in the middle of a
// statement.
func (s *Store) persist(ctx context.Context, try func() (again bool, err error)) error {
	var began time.Time
	for look := firstLook; ; look = min(2*look, lastLook) {
		again, err := try()
		if err == nil || !again || ctx.Err() != nil || s.closed.Load() || !s.isLost(err) {
			return err
		}
		if began.IsZero() {
			began = time.Now()
		} else if time.Since(began) > s.patience {
			return err
		}
		for !s.outage.isOver(ctx, look, s.isBack) {
			if ctx.Err() != nil || time.Since(began) > s.patience {
				return err
			}
			look = min(2*look, lastLook)
		}
	}
}

// isBack reports whether the database answers, if only with an error that waiting does
// not mend.
func (s *Store) isBack(ctx context.Context) bool {
	err := s.pools.Load().Write.PingContext(ctx)
	return err == nil || !s.isLost(err)
}

func (s *Store) isLost(err error) bool {
	return errors.Is(err, driver.ErrBadConn) || s.dialect.Lost != nil && s.dialect.Lost(err)
}

// An outage lets one caller at a time look whether the database is back, so that those
// who wait for it do not keep it from starting. Its zero value is ready.
type outage struct {
	mu   sync.Mutex
	last *sight // of the one who looks; nil if nobody does
}

type sight struct {
	done chan struct{} // closed when it is known
	back bool
}

// isOver returns what a look at the database showed: one's own after a pause, or that of
// another caller.
func (o *outage) isOver(ctx context.Context, pause time.Duration, look func(context.Context) bool) bool {
	o.mu.Lock()
	seen, mine := o.last, false
	if seen == nil {
		seen, mine = &sight{done: make(chan struct{})}, true
		o.last = seen
	}
	o.mu.Unlock()
	if !mine {
		select {
		case <-ctx.Done():
			return false
		case <-seen.done:
			return seen.back
		}
	}
	select {
	case <-ctx.Done():
	case <-time.After(pause):
		seen.back = look(ctx)
	}
	o.mu.Lock()
	o.last = nil
	o.mu.Unlock()
	close(seen.done)
	return seen.back
}
