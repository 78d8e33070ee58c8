package sqlstore

import (
	"context"
	"database/sql/driver"
	"errors"
	"time"
)

// A database that restarts, or another that takes over, is waited for so long, with
// looks at these distances; then whoever asked is told, and may ask again.
const (
	waitsFor  = 4 * time.Second
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
		select {
		case <-ctx.Done():
			return err
		case <-time.After(look):
		}
	}
}

func (s *Store) isLost(err error) bool {
	return errors.Is(err, driver.ErrBadConn) || s.dialect.Lost != nil && s.dialect.Lost(err)
}
