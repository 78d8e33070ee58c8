package open

import (
	"context"
	"errors"
	"path/filepath"
	"testing"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlstore"
)

func TestOnServer(t *testing.T) {
	for name, want := range map[string]bool{
		"postgres://shaftbook@db/marks": true, "postgresql:///marks": true, "Postgres://h/d": true,
		"/srv/shaftbook/shaftbook.db": false, "postgres.db": false, "sqlite://x": false, "": false,
	} {
		if OnServer(name) != want {
			t.Errorf("OnServer(%q) = %v", name, !want)
		}
	}
}

func TestStore(t *testing.T) {
	s, err := Store(context.Background(), filepath.Join(t.TempDir(), "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := s.(*sqlstore.Store); !ok {
		t.Errorf("a path opens a %T", s)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	if s, err := Store(context.Background(), "postgres:///x?host=/nowhere"); s != nil || !errors.Is(err, store.ErrUnavailable) {
		t.Errorf("Store = %v, %v", s, err)
	}
}
