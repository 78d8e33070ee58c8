package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Pools are the connections to one database; both may be the same pool.
type Pools struct {
	Write, Read *sql.DB

	// Files, if not nil, is closed after the pools.
	Files io.Closer

	// Spoilt, if not nil, reports that closing would write into a database that
	// somebody else has written over. Then everything is left open until the process
	// ends.
	Spoilt func() bool
}

// Close closes both pools.
func (p *Pools) Close() error {
	if p.Spoilt != nil && p.Spoilt() {
		return nil
	}
	err := p.Write.Close()
	if p.Read != p.Write {
		err = errors.Join(p.Read.Close(), err)
	}
	if p.Files != nil {
		err = errors.Join(err, p.Files.Close())
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
	// pools.
	Reopen(ctx context.Context, pools *Pools) (*Pools, error)
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
	c.drop()
	pools, err := s.dialect.Place.Reopen(ctx, s.pools.Load())
	if err != nil && strings.HasSuffix(gone.Error(), err.Error()) {
		return gone // it says so already
	}
	if err != nil {
		// That what is there is no store is the server's trouble, not a refusal of
		// what somebody sent.
		return fmt.Errorf("%w: %v", gone, err)
	}
	s.pools.Store(pools)
	return nil
}
