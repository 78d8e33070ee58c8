// Package sqlstore keeps learners' work and classes, as package contract lists,
// with SQL that SQLite and PostgreSQL both understand. What differs between the
// two is a [Dialect]; packages sqlite and postgres choose the driver.
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
	"shaftbook/exercises/store/contract"
)

// A Dialect holds what one database does differently.
type Dialect struct {
	// Name is the folder of migrations, and the name by which goose calls the
	// database.
	Name string

	// Placeholder is written before the number of a parameter: ? or $.
	Placeholder byte

	// Serialise is run first in each writing transaction with the learner as its
	// only parameter. It makes the writes of one learner follow one another.
	// A database with one writer needs none.
	Serialise string

	// InProcess is whether a statement is a call and not a trip to a server. Then two
	// simple statements are cheaper than one that does the work of both.
	InProcess bool

	// Notify, run with the name of a lesson as its only parameter, makes the
	// database send that name to all listeners, once the transaction is
	// committed. Without it the store notifies its own watchers.
	Notify string

	// Listen passes on what the database sends until ctx ends, and an empty name
	// whenever something may have been missed. It is nil where Notify is empty.
	Listen func(ctx context.Context, tell func(lesson string))

	// Hasty, run first in a transaction, lets it be acknowledged before the disk
	// has it, for what is no work of learners. It is empty where nothing is gained.
	Hasty string

	// Wipe makes sure that no file holds what was deleted. It is nil where a
	// client cannot change that.
	Wipe func(ctx context.Context) error

	// Place is where the files of the store are found, or nil where a client
	// cannot know.
	Place Place

	// Room returns a [store.ErrFull] if there is no room for what a write may need.
	// With sure it makes certain by writing. It is nil where a client cannot know.
	Room func(sure bool) error

	// Lost reports whether an error means that the connection, and with it a
	// transaction that was not committed, is gone, while another may be had. It is
	// nil where that does not happen.
	Lost func(error) bool

	// Fault returns the fault that a driver's error amounts to, or "" if the
	// error is of no known kind.
	Fault func(error) store.Fault
}

// Store implements contract.Store.
type Store struct {
	dialect Dialect
	pools   atomic.Pointer[Pools]
	group   *group // nil where every write has a transaction of its own
	hub     *hub
	closed  atomic.Bool
	health  health
	texts   sync.Map // statements with the dialect's parameters, by what is written here

	patience time.Duration // with a lost database
	outage   outage
	forgot   atomic.Int64 // when levels that are gone were last deleted, in microseconds
}

var _ contract.Store = (*Store)(nil)

// Open brings the schema up to date and returns a store that writes to one pool
// and reads from the other. It owns both from then on, also if it fails. A database with one writer passes grouped, and writes that
// wait for one another then share a commit.
func Open(ctx context.Context, d Dialect, pools *Pools, grouped bool) (*Store, error) {
	s := &Store{dialect: d, hub: newHub(), patience: waitsFor}
	s.pools.Store(pools)
	if err := migrate(ctx, d, pools.Write); err != nil {
		return nil, errors.Join(s.fault(err), s.closePools())
	}
	if grouped {
		s.group = newGroup(s)
	}
	return s, nil
}

// Close implements contract.Work.
func (s *Store) Close() error {
	if s.closed.Swap(true) {
		return store.ErrClosed
	}
	if s.group != nil {
		s.group.close()
	}
	s.hub.close()
	return s.closePools()
}

func (s *Store) closePools() error { return s.pools.Load().Close() }

// fault gives an error of the database its place among record's faults.
// Refusals and the errors of a context pass unchanged.
func (s *Store) fault(err error) error {
	var refusal store.Refusal
	switch {
	case err == nil, errors.As(err, &refusal),
		errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	}
	var known store.Fault
	if errors.As(err, &known) {
		return err
	}
	f := s.dialect.Fault(err)
	if f == "" && s.closed.Load() {
		f = store.ErrClosed
	}
	if f == "" {
		f = store.ErrUnavailable
	}
	return fmt.Errorf("%w: %w", f, err)
}

// query reads rows, calling scan for each.
func (s *Store) query(ctx context.Context, scan func(*sql.Rows) error, text string, args ...any) error {
	if s.closed.Load() {
		return store.ErrClosed
	}
	err := s.persist(ctx, func() (again bool, err error) {
		read := false
		rows, err := s.pools.Load().Read.QueryContext(ctx, s.sql(text), args...)
		err = each(rows, err, func(rows *sql.Rows) error {
			read = true
			return scan(rows)
		})
		return !read, err
	})
	if ctx.Err() == nil {
		s.wasRead(err)
	}
	return s.fault(err)
}

// each calls scan for each row of a query's outcome.
func each(rows *sql.Rows, err error, scan func(*sql.Rows) error) error {
	if err != nil {
		return err
	}
	for err == nil && rows.Next() {
		err = scan(rows)
	}
	return errors.Join(err, rows.Err(), rows.Close())
}
