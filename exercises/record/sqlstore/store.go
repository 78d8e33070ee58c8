// Package sqlstore keeps the contract of record.Store with SQL that SQLite and
// PostgreSQL both understand. What differs between the two is a [Dialect];
// which driver speaks to which database is the business of packages sqlite and
// postgres.
package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync/atomic"

	"shaftbook/exercises/record"
)

// A Dialect is what one database does differently.
type Dialect struct {
	// Name is the folder of migrations, and the name by which goose knows the
	// database.
	Name string

	// Placeholder stands before the number of a parameter: ? or $.
	Placeholder byte

	// Serialise is run first in each writing transaction with the learner as its
	// only parameter. It makes the writes of one learner follow one another.
	// A database with one writer needs none.
	Serialise string

	// Fault returns the fault that a driver's error amounts to, or "" if the
	// error is of no known kind.
	Fault func(error) record.Fault
}

// Store implements record.Store.
type Store struct {
	dialect Dialect
	write   *sql.DB
	read    *sql.DB
	group   *group // nil where every write has a transaction of its own
	closed  atomic.Bool
}

var _ record.Store = (*Store)(nil)

// Open brings the schema up to date and returns a store that writes to one pool
// and reads from the other; they may be the same. It owns both from then on,
// also if it fails. A database with one writer passes grouped, and writes that
// wait for one another then share a commit.
func Open(ctx context.Context, d Dialect, write, read *sql.DB, grouped bool) (*Store, error) {
	s := &Store{dialect: d, write: write, read: read}
	if err := migrate(ctx, d, write); err != nil {
		return nil, errors.Join(s.fault(err), s.closePools())
	}
	if grouped {
		s.group = newGroup(s)
	}
	return s, nil
}

// Close implements record.Store.
func (s *Store) Close() error {
	if s.closed.Swap(true) {
		return record.ErrClosed
	}
	if s.group != nil {
		s.group.close()
	}
	return s.closePools()
}

func (s *Store) closePools() error {
	err := s.write.Close()
	if s.read != s.write {
		err = errors.Join(s.read.Close(), err)
	}
	return err
}

// fault gives an error of the database its place among record's faults.
// Refusals and the errors of a context pass unchanged.
func (s *Store) fault(err error) error {
	var refusal record.Refusal
	switch {
	case err == nil, errors.As(err, &refusal),
		errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	}
	var known record.Fault
	if errors.As(err, &known) {
		return err
	}
	f := s.dialect.Fault(err)
	if f == "" && s.closed.Load() {
		f = record.ErrClosed
	}
	if f == "" {
		f = record.ErrUnavailable
	}
	return fmt.Errorf("%w: %w", f, err)
}

// query reads rows, calling scan for each.
func (s *Store) query(ctx context.Context, scan func(*sql.Rows) error, text string, args ...any) error {
	if s.closed.Load() {
		return record.ErrClosed
	}
	rows, err := s.read.QueryContext(ctx, s.sql(text), args...)
	return s.fault(each(rows, err, scan))
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
