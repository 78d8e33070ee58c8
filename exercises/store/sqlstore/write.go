package sqlstore

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"strings"
	"time"

	"shaftbook/exercises/store"
)

// A writeFunc is the inside of a writing transaction for one learner. It returns a
// store.Refusal only if it has written nothing; any other error undoes the
// transaction.
type writeFunc func(ctx context.Context, tx *transaction) error

// transaction is a writing transaction in a dialect.
type transaction struct {
	store  *Store
	runner runner
	told   []string // lessons to notify watchers of once it is committed
}

// A runner runs statements: a transaction of a pool, or the single connection
// of a database with one writer.
type runner interface {
	QueryContext(ctx context.Context, text string, args ...any) (*sql.Rows, error)
	ExecContext(ctx context.Context, text string, args ...any) (sql.Result, error)
}

// query reads rows inside the transaction, calling scan for each.
func (t *transaction) query(ctx context.Context, scan func(*sql.Rows) error, text string, args ...any) error {
	rows, err := t.runner.QueryContext(ctx, t.store.sql(text), args...)
	return each(rows, err, scan)
}

// exec runs a statement that returns no rows.
func (t *transaction) exec(ctx context.Context, text string, args ...any) error {
	_, err := t.runner.ExecContext(ctx, t.store.sql(text), args...)
	return err
}

// count runs a statement that returns no rows and reports how many it changed.
func (t *transaction) count(ctx context.Context, text string, args ...any) (int64, error) {
	r, err := t.runner.ExecContext(ctx, t.store.sql(text), args...)
	if err != nil {
		return 0, err
	}
	return r.RowsAffected()
}

// sql puts the dialect's parameters into a statement, which is written with
// $1, $2 and has no other dollar sign.
func (s *Store) sql(text string) string {
	if s.dialect.Placeholder == '$' {
		return text
	}
	if put, ok := s.texts.Load(text); ok {
		return put.(string)
	}
	put := strings.ReplaceAll(text, "$", string(s.dialect.Placeholder))
	s.texts.Store(text, put)
	return put
}

// outcome is the result of a write of one learner.
type outcome[T any] struct {
	value T
	err   error
}

// change runs do in a durable transaction. What do returned beside a refusal is
// passed on with it.
func change[T any](ctx context.Context, s *Store, learner string,
	do func(context.Context, *transaction) (T, error)) (T, error) {
	var zero T
	if s.closed.Load() {
		return zero, store.ErrClosed
	}
	// The writeFunc leaves its value in a struct of its own, which is looked at only
	// after the work is known to be over: a caller whose context ends must not
	// read what another goroutine is writing.
	got := new(outcome[T])
	w := func(ctx context.Context, tx *transaction) error {
		got.value, got.err = do(ctx, tx)
		return got.err
	}
	var err error
	if s.group != nil {
		err = s.group.do(ctx, w)
	} else {
		err = s.transact(ctx, learner, w)
	}
	if refused(err) {
		return got.value, err
	}
	if err != nil {
		return zero, s.fault(err)
	}
	return got.value, nil
}

// refused reports whether a work ended with a refusal, which leaves its
// transaction sound.
func refused(err error) bool {
	var r store.Refusal
	return errors.As(err, &r)
}

// transact runs a work in a transaction of the pool.
func (s *Store) transact(ctx context.Context, learner string, w writeFunc) (err error) {
	defer func(began time.Time) {
		if ctx.Err() == nil && !refused(err) {
			s.ended(began, 1, err)
		}
	}(time.Now())
	err = s.persist(ctx, func() (again bool, err error) {
		committing, err := s.once(ctx, learner, w)
		return !committing, err
	})
	// The pool rolls back when ctx ends; a statement that finds it done so does not
	// report why.
	if left := ctx.Err(); left != nil && (errors.Is(err, sql.ErrTxDone) || errors.Is(err, driver.ErrBadConn)) {
		return fmt.Errorf("%w: %w", left, err)
	}
	return err
}

// once runs a work in one transaction. committing is whether it came to the
// commit, so that an error leaves open what became of it.
func (s *Store) once(ctx context.Context, learner string, w writeFunc) (committing bool, err error) {
	tx, err := s.pools.Load().Write.BeginTx(ctx, nil)
	if err != nil {
		return false, err
	}
	defer tx.Rollback() // does nothing once committed
	t := &transaction{store: s, runner: tx}
	if err := t.exec(ctx, s.dialect.Serialise, learner); err != nil {
		return false, err
	}
	if err := w(ctx, t); err != nil {
		return false, err
	}
	if err := tx.Commit(); err != nil {
		return true, err
	}
	s.hub.tell(t.told...)
	return true, nil
}
