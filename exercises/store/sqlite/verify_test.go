package sqlite

import (
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/storetest"
)

func TestVerify(t *testing.T) {
	storetest.RunTamperings(t, func(t *testing.T) (contract.Store, *sql.DB) {
		path := FileIn(t.TempDir())
		s := mustOpen(t, path)
		return s, raw(t, path)
	})
}

func TestAnswersMoveToTheirNewKeys(t *testing.T) {
	path := FileIn(t.TempDir())
	if err := makeFile(path); err != nil {
		t.Fatal(err)
	}
	storetest.RunMoved(t, dialect.Name, raw(t, path), func() contract.Store { return mustOpen(t, path) })
}

// raw opens the file of a store beside the store.
func raw(t *testing.T, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open(driverName, dsn(path, "&mode=rw", "busy_timeout(5000)"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

// A copy with a damaged answer takes the place of no good one, unless it is asked for.
func TestCopiesAreVerified(t *testing.T) {
	path := filled(t, "s1")
	copied, bad := filepath.Join(t.TempDir(), "copy.db"), filepath.Join(t.TempDir(), "bad.db")
	if _, err := Backup(t.Context(), path, copied); err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := raw(t, path).Exec("UPDATE attempts SET points = 3"); err != nil {
		t.Fatal(err)
	}
	if _, err := Backup(t.Context(), path, copied); !errors.Is(err, store.ErrDamaged) {
		t.Errorf("Backup: %v", err)
	}
	if now, err := os.ReadFile(copied); err != nil || string(now) != string(good) {
		t.Errorf("the earlier copy was changed (%v)", err)
	}
	if _, err := Backup(t.Context(), path, bad, KeepDamaged); err != nil {
		t.Errorf("Backup of damaged work: %v", err)
	}
	if found, _, err := Verify(t.Context(), bad); err != nil || found.Damaged != 1 {
		t.Errorf("Verify: %+v, %v", found, err)
	}
	folder := t.TempDir()
	if _, err := Restore(t.Context(), bad, folder, false); !errors.Is(err, store.ErrDamaged) {
		t.Errorf("Restore: %v", err)
	}
	if got := filesIn(t, folder); len(got) > 0 {
		t.Errorf("a refused restore left %q", got)
	}
	if _, err := Restore(t.Context(), bad, folder, false, KeepDamaged); err != nil {
		t.Errorf("Restore of damaged work: %v", err)
	}
}

// A store from before there were checksums is copied, and its rows are counted as
// unchecked; opened, it stays readable.
func TestVerifyBeforeChecksums(t *testing.T) {
	path := filled(t, "s1")
	db := raw(t, path)
	for _, statement := range []string{
		"ALTER TABLE attempts DROP COLUMN checksum", "ALTER TABLE remarked DROP COLUMN checksum",
		"ALTER TABLE entries DROP COLUMN checksum", "DROP TABLE levels", "DROP TABLE practice", "DROP TABLE page_notes", "DROP TABLE shown_pages", "DROP TABLE shares",
		"ALTER TABLE assignments DROP COLUMN is_test", "DELETE FROM goose_db_version WHERE version_id >= 7",
		"DROP TABLE lesson_drafts", "DROP TABLE lesson_versions", "DROP TABLE text_images",
	} {
		if _, err := db.Exec(statement); err != nil {
			t.Fatal(err)
		}
	}
	if found, _, err := Verify(t.Context(), path); err != nil || found.Unchecked != 1 || found.Damaged != 0 {
		t.Errorf("Verify: %+v, %v", found, err)
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	if _, err := Backup(t.Context(), path, copied); err != nil {
		t.Errorf("Backup: %v", err)
	}
	s := mustOpen(t, copied)
	if _, _, err := s.Submit(t.Context(), sample("s2"), 0); err != nil {
		t.Fatal(err)
	}
	if found, err := s.Verify(t.Context()); err != nil || found.Unchecked != 1 || found.Checked != 1 || found.Damaged != 0 {
		t.Errorf("after the migration: %+v, %v", found, err)
	}
}
