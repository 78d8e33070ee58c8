package postgres

import (
	"context"
	"database/sql"
	"errors"
	"sync"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/postgres/pgtest"
	"shaftbook/exercises/store/storetest"
)

// when is the time of what is kept.
var when = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

func mustOpen(t testing.TB, dsn string) contract.Store {
	t.Helper()
	s, err := Open(context.Background(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// All that needs a server is in one test, since a server takes seconds to
// make.
func TestPostgres(t *testing.T) {
	server := pgtest.Start(t)
	promises := server.Database(t)
	mustOpen(t, promises).Close()
	empty := func(t *testing.T) contract.Store {
		server.Empty(t, promises)
		return mustOpen(t, promises)
	}
	t.Run("Store", func(t *testing.T) {
		storetest.Run(t, func(t *testing.T) contract.Work { return empty(t) })
	})
	t.Run("Class", func(t *testing.T) { storetest.RunClass(t, empty) })
	t.Run("Verify", func(t *testing.T) {
		db, err := sql.Open("pgx", promises)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		storetest.RunTamperings(t, func(t *testing.T) (contract.Store, *sql.DB) { return empty(t), db })
		if v, err := Verify(t.Context(), promises); err != nil || v.Unchecked != 2 {
			t.Errorf("Verify, as the command calls it: %+v, %v", v, err)
		}
	})
	t.Run("Moved", func(t *testing.T) {
		dsn := server.Database(t)
		db, err := sql.Open("pgx", dsn)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		storetest.RunMoved(t, dialect.Name, db, func() contract.Store { return mustOpen(t, dsn) })
	})
	t.Run("WatchAcrossServers", func(t *testing.T) {
		dsn := server.Database(t)
		storetest.WatchTells(t, mustOpen(t, dsn), mustOpen(t, dsn))
	})
	t.Run("LevelsAcrossServers", func(t *testing.T) {
		dsn := server.Database(t)
		storetest.LevelsCount(t, mustOpen(t, dsn), mustOpen(t, dsn), mustOpen(t, dsn))
	})
	t.Run("CutConnections", func(t *testing.T) { cutConnections(t, server) })
	t.Run("ServersThatStartAtOnce", func(t *testing.T) { startAtOnce(t, server.Database(t)) })
	t.Run("NotDurable", func(t *testing.T) {
		_, err := Open(t.Context(), server.Database(t)+"&synchronous_commit=off")
		if !errors.Is(err, store.ErrNotDurable) {
			t.Errorf("Open: %v", err)
		}
	})
	t.Run("ReadOnly", func(t *testing.T) {
		dsn := server.Database(t)
		mustOpen(t, dsn).Close()
		s := mustOpen(t, dsn+"&default_transaction_read_only=on")
		_, err := s.Restore(t.Context(), "student-01", "the-quill")
		if err != nil {
			t.Errorf("a restore that changes nothing: %v", err)
		}
		_, err = s.Save(t.Context(), "student-01", "the-quill", 0,
			[]store.Edit{{Kind: store.CellText, Key: "calc-1"}}, time.Now())
		if !errors.Is(err, store.ErrReadOnly) {
			t.Errorf("Save: %v", err)
		}
	})
}

// Two servers on one database make its tables once and take a repeat from each
// other.
func startAtOnce(t *testing.T, dsn string) {
	stores := make([]contract.Work, 4)
	var all sync.WaitGroup
	for i := range stores {
		all.Go(func() {
			s, err := Open(t.Context(), dsn)
			if err != nil {
				t.Error(err)
				return
			}
			stores[i] = s
		})
	}
	all.Wait()
	if t.Failed() {
		return
	}
	prediction := store.Prediction{Submission: "p1", Kind: store.More, At: time.Now(),
		Place: store.Place{Learner: "student-01", Lesson: "the-quill", Exercise: "predict-1"}}
	for i, s := range stores {
		if _, repeat, err := s.AddPrediction(t.Context(), prediction); err != nil || repeat != (i > 0) {
			t.Errorf("server %d: repeat %v, %v", i, repeat, err)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
}

func TestOpenNowhere(t *testing.T) {
	for dsn, want := range map[string]error{
		"postgres:///x?host=/nowhere": store.ErrUnavailable,
		"postgres://[":                nil,
	} {
		if _, err := Open(t.Context(), dsn); err == nil || want != nil && !errors.Is(err, want) {
			t.Errorf("Open(%q): %v", dsn, err)
		}
	}
}
