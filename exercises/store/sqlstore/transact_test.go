package sqlstore

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"runtime"
	"sync"
	"testing"

	"shaftbook/exercises/store"
)

// flaky is a database whose statements fail on its first connections, and whose
// commits fail on request.
type flaky struct {
	bad      int // connections that turn out broken
	commit   error
	opened   int
	finished int // commits tried
}

func (f *flaky) Connect(context.Context) (driver.Conn, error) {
	f.opened++
	return &flakyConn{f, f.opened <= f.bad}, nil
}
func (f *flaky) Driver() driver.Driver { return nil }

type flakyConn struct {
	of  *flaky
	bad bool
}

func (c *flakyConn) Prepare(string) (driver.Stmt, error) { return nil, errors.New("not asked") }
func (c *flakyConn) Close() error                        { return nil }
func (c *flakyConn) Begin() (driver.Tx, error)           { return c, nil }
func (c *flakyConn) Rollback() error                     { return c.state() }
func (c *flakyConn) Commit() error                       { c.of.finished++; return c.of.commit }
func (c *flakyConn) ExecContext(context.Context, string, []driver.NamedValue) (driver.Result, error) {
	return driver.ResultNoRows, c.state()
}

func (c *flakyConn) state() error {
	if c.bad {
		return driver.ErrBadConn
	}
	return nil
}

// A connection that a caller broke by leaving must not cost the next one their
// write, and a commit is tried once only: it may have been done.
func TestBrokenConnections(t *testing.T) {
	refusal := store.Refusal("refused")
	for _, c := range []struct {
		name              string
		database          flaky
		work              error // what the work returns
		want              error
		commits, attempts int
	}{
		{"none", flaky{}, nil, nil, 1, 1},
		{"one", flaky{bad: 1}, nil, nil, 1, 2},
		{"all", flaky{bad: 99}, nil, driver.ErrBadConn, 0, 2},
		{"in the commit", flaky{commit: driver.ErrBadConn}, nil, driver.ErrBadConn, 1, 1},
		{"none, and a refusal", flaky{}, refusal, refusal, 0, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			db := sql.OpenDB(&c.database)
			defer db.Close()
			s := &Store{dialect: Dialect{Fault: func(error) store.Fault { return "" }, Placeholder: '$', Serialise: "serialise"}, hub: newHub()}
			s.pools.Store(&Pools{Write: db, Read: db})
			err := s.transact(t.Context(), "student-01", func(context.Context, *transaction) error { return c.work })
			if !errors.Is(err, c.want) || c.database.finished != c.commits || c.database.opened != c.attempts {
				t.Errorf("%v, %d commits on %d connections; want %v, %d, %d",
					err, c.database.finished, c.database.opened, c.want, c.commits, c.attempts)
			}
		})
	}
}

// When its caller leaves in the middle, a write ends with the caller's reason.
func TestACallerWhoLeavesIsNoFault(t *testing.T) {
	db := sql.OpenDB(&flaky{})
	defer db.Close()
	s := &Store{dialect: Dialect{Fault: func(error) store.Fault { return "" }, Placeholder: '$', Serialise: "serialise"}, hub: newHub()}
	s.pools.Store(&Pools{Write: db, Read: db})
	ctx, leave := context.WithCancel(t.Context())
	err := s.transact(ctx, "student-01", func(_ context.Context, tx *transaction) error {
		leave()
		for !errors.Is(tx.exec(t.Context(), "anything"), sql.ErrTxDone) {
			runtime.Gosched() // until the pool has rolled back
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want the end of the context", err)
	}
}

// While a database is away one of those who wait looks, and all hear what it saw.
func TestOneLooksForAll(t *testing.T) {
	var o outage
	var all sync.WaitGroup
	looking, away := make(chan struct{}), make(chan struct{})
	looks := 0
	all.Go(func() {
		if !o.isOver(t.Context(), 0, func(context.Context) bool {
			looks++
			close(looking)
			<-away
			return true
		}) {
			t.Error("the one who looked does not know")
		}
	})
	<-looking
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	if o.isOver(gone, 0, nil) {
		t.Error("somebody who left heard of it")
	}
	for range 20 {
		all.Go(func() {
			// Who comes after the look looks anew.
			if !o.isOver(t.Context(), 0, func(context.Context) bool { return true }) {
				t.Error("not over")
			}
		})
	}
	close(away)
	all.Wait()
	if looks != 1 || o.last != nil {
		t.Errorf("%d looks", looks)
	}
	if o.isOver(t.Context(), 0, func(context.Context) bool { return false }) {
		t.Error("a database that is away is said to be back")
	}
}
