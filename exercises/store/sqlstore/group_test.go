package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"sync"
	"testing"

	_ "modernc.org/sqlite" // the driver "sqlite"

	"shaftbook/exercises/store"
)

// openGrouped opens a store with grouped writes, and a table to write to.
func openGrouped(t *testing.T) *Store {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(t.TempDir(), "store.db")+"?_pragma=journal_mode(WAL)")
	if err != nil {
		t.Fatal(err)
	}
	d := Dialect{Name: "sqlite3", Placeholder: '?', Fault: func(error) store.Fault { return "" }}
	s, err := Open(t.Context(), d, &Pools{Write: db, Read: db}, true)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	if _, err := db.Exec("CREATE TABLE numbers (n INTEGER)"); err != nil {
		t.Fatal(err)
	}
	return s
}

// together has n works wait while another write is under way, so that they form
// one batch, and returns the errors of each.
func together(t *testing.T, s *Store, n int, w func(i int) writeFunc) []error {
	t.Helper()
	started, release := make(chan struct{}), make(chan struct{})
	var all sync.WaitGroup
	all.Go(func() {
		s.group.do(t.Context(), func(context.Context, *transaction) error {
			close(started)
			<-release
			return nil
		})
	})
	<-started
	errs := make([]error, n)
	for i := range n {
		all.Go(func() { errs[i] = s.group.do(t.Context(), w(i)) })
	}
	for waiting := 0; waiting < n; {
		s.group.mu.Lock()
		waiting = len(s.group.waiting)
		s.group.mu.Unlock()
	}
	close(release)
	all.Wait()
	return errs
}

func insert(ctx context.Context, tx *transaction, n int) error {
	return tx.exec(ctx, "INSERT INTO numbers VALUES ($1)", n)
}

func numbers(t *testing.T, s *Store) (all []int) {
	t.Helper()
	err := s.query(t.Context(), func(rows *sql.Rows) error {
		var n int
		err := rows.Scan(&n)
		all = append(all, n)
		return err
	}, "SELECT n FROM numbers ORDER BY n")
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// A write that fails undoes its own part and no other's; a refusal undoes
// nothing.
func TestGroupKeepsNeighboursApart(t *testing.T) {
	s := openGrouped(t)
	broken := errors.New("broken")
	errs := together(t, s, 5, func(i int) writeFunc {
		return func(ctx context.Context, tx *transaction) error {
			switch i {
			case 1:
				return store.ErrNoTries
			case 3:
				return errors.Join(insert(ctx, tx, i), broken)
			}
			return insert(ctx, tx, i)
		}
	})
	for i, want := range []error{nil, store.ErrNoTries, nil, broken, nil} {
		if !errors.Is(errs[i], want) {
			t.Errorf("write %d: %v, want %v", i, errs[i], want)
		}
	}
	if got := fmt.Sprint(numbers(t, s)); got != "[0 2 4]" {
		t.Errorf("kept %s", got)
	}
}

// Waiting writes share one transaction: while it runs, no one else sees any of
// them.
func TestGroupSharesACommit(t *testing.T) {
	s := openGrouped(t)
	const n = 10
	seen := 0 // works run one after another
	together(t, s, n, func(i int) writeFunc {
		return func(ctx context.Context, tx *transaction) error {
			seen = max(seen, len(numbers(t, s)))
			return insert(ctx, tx, i)
		}
	})
	if seen > 0 {
		t.Errorf("%d of the writes were committed before the last had run", seen)
	}
	if got := numbers(t, s); len(got) != n {
		t.Errorf("kept %v", got)
	}
}
