package web

import (
	"path/filepath"
	"testing"

	"shaftbook/exercises/record/sqlite"
	"shaftbook/web/attempt"
)

// newDesk returns a desk with a store of its own.
func newDesk(t *testing.T) *attempt.Desk {
	t.Helper()
	store, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	desk, err := attempt.NewDesk(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	return desk
}
