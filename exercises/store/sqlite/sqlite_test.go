package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/storetest"
)

func TestStore(t *testing.T) {
	storetest.Run(t, func(t *testing.T) contract.Work { return mustOpen(t, FileIn(t.TempDir())) })
}

func TestClass(t *testing.T) {
	storetest.RunClass(t, func(t *testing.T) contract.Store { return mustOpen(t, FileIn(t.TempDir())) })
}

func mustOpen(t testing.TB, path string, further ...string) contract.Store {
	t.Helper()
	s, err := open(context.Background(), path, further...)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// The settings are what durability rests on, so they are read back from the
// connections of both pools.
func TestSettings(t *testing.T) {
	path := FileIn(t.TempDir())
	mustOpen(t, path)
	db, err := sql.Open(driverName, dsn(path, "", settings...))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for pragma, want := range map[string]string{
		"journal_mode": "wal", "synchronous": "2", "busy_timeout": "5000", "foreign_keys": "1", "trusted_schema": "0",
		"application_id": "1397245524",
	} {
		var got string
		if err := db.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %q, %v, want %q", pragma, got, err, want)
		}
	}
}

func TestTablesAreStrict(t *testing.T) {
	path := FileIn(t.TempDir())
	mustOpen(t, path)
	db, err := sql.Open(driverName, dsn(path, ""))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var loose int
	err = db.QueryRow(`SELECT count(*) FROM pragma_table_list
		WHERE schema = 'main' AND name NOT LIKE 'sqlite%' AND name NOT LIKE 'goose%' AND NOT strict`).Scan(&loose)
	if err != nil || loose > 0 {
		t.Errorf("%d tables are not STRICT, %v", loose, err)
	}
}

func TestOpenTwice(t *testing.T) {
	path := FileIn(filepath.Join(t.TempDir()))
	mustOpen(t, path).Close()
	one, two := mustOpen(t, path), mustOpen(t, path)
	a := sample("s1")
	if _, _, err := one.Submit(t.Context(), a, 0); err != nil {
		t.Fatal(err)
	}
	if _, repeat, err := two.Submit(t.Context(), a, 0); err != nil || !repeat {
		t.Errorf("the second process: repeat %v, %v", repeat, err)
	}
}

// A name with characters that mean something in an address is only a name.
func TestOpenOddName(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a b%20?x=1#é.db")
	mustOpen(t, path)
	if _, err := os.Stat(path); err != nil {
		t.Error(err)
	}
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "lesson.md")
	if err := os.WriteFile(text, []byte("# A lesson, and not a database of any kind at all\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(dir, "other.db")
	execute(t, other, "CREATE TABLE plants (name TEXT)")
	newer := filepath.Join(dir, "newer.db")
	mustOpen(t, newer).Close()
	execute(t, newer, "INSERT INTO goose_db_version (version_id, is_applied) VALUES (99999, 1)")
	for _, c := range []struct {
		name, path string
		want       error
	}{
		{"a text file", text, store.ErrNotOurs},
		{"another program's database", other, store.ErrNotOurs},
		{"a store of a newer program", newer, store.ErrNewer},
		{"a folder that is not there", filepath.Join(dir, "no", "store.db"), os.ErrNotExist},
	} {
		t.Run(c.name, func(t *testing.T) {
			before, _ := os.ReadFile(c.path)
			s, err := Open(t.Context(), c.path)
			if err == nil {
				s.Close()
			}
			if !errors.Is(err, c.want) {
				t.Errorf("Open: %v, want %v", err, c.want)
			}
			if after, _ := os.ReadFile(c.path); string(after) != string(before) && c.want == store.ErrNotOurs {
				t.Error("the file was changed")
			}
		})
	}
}

// Learners' work is private on a shared machine.
func TestOnlyTheOwnerReads(t *testing.T) {
	path := FileIn(t.TempDir())
	mustOpen(t, path)
	copied := filepath.Join(t.TempDir(), "copy.db")
	if _, err := Backup(t.Context(), path, copied); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{path, path + "-wal", path + "-shm", copied} {
		info, err := os.Stat(name)
		if err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v, %v", filepath.Base(name), info.Mode(), err)
		}
	}
}

func execute(t testing.TB, path, statement string) {
	t.Helper()
	db, err := sql.Open(driverName, dsn(path, ""))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(statement); err != nil {
		t.Fatal(err)
	}
}

func TestRecent(t *testing.T) {
	for version, want := range map[string]bool{
		"3.51.2": false, "3.51.3": true, "3.51.10": true, "3.53.0": true, "4.0.0": true, "3.40.1": false, "3": false, "": false,
	} {
		if recent(version) != want {
			t.Errorf("recent(%q) = %v", version, !want)
		}
	}
}
