package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
)

// Pools are the connections to one database; both may be the same pool.
type Pools struct {
	Write, Read *sql.DB
}

// Close closes both pools.
func (p *Pools) Close() error {
	err := p.Write.Close()
	if p.Read != p.Write {
		err = errors.Join(p.Read.Close(), err)
	}
	return err
}

// A Place is where the files of a store are found. It is used by one goroutine at a
// time, but for Check.
type Place interface {
	// Check returns a [store.ErrGone] if what is at the place is not what the pools
	// have open. It is called before and after each commit.
	Check() error

	// Reopen opens what is at the place now, if it is the same store, and closes
	// pools. held is a connection of theirs, or nil.
	Reopen(ctx context.Context, pools *Pools, held *sql.Conn) (*Pools, error)
}

// checkPlace returns a store.ErrGone if the open database is no longer in its place.
func (s *Store) checkPlace() error {
	if s.dialect.Place == nil {
		return nil
	}
	return s.dialect.Place.Check()
}

// ensurePlace is checkPlace, but goes on with a store that was put back.
func (s *Store) ensurePlace(ctx context.Context, c *connection) error {
	gone := s.checkPlace()
	if gone == nil {
		return nil
	}
	pools, err := s.dialect.Place.Reopen(ctx, s.pools.Load(), c.conn)
	if err != nil && strings.HasSuffix(gone.Error(), err.Error()) {
		return gone // it says so already
	}
	if err != nil {
		return fmt.Errorf("%w: %w", gone, err)
	}
	c.drop()
	s.pools.Store(pools)
	return nil
}
