package sqlite

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

// A backup taken while answers come in holds all that were acknowledged before
// it began, and is sound.
func TestBackupOfLiveStore(t *testing.T) {
	if testing.Short() {
		t.Skip("writes while it copies")
	}
	path := FileIn(t.TempDir())
	live := mustOpen(t, path)
	var acknowledged atomic.Int64
	stop := make(chan struct{})
	var all sync.WaitGroup
	for w := range 4 {
		all.Go(func() {
			for i := 0; ; i++ {
				select {
				case <-stop:
					return
				default:
				}
				a := sample(fmt.Sprint(w, "-", i))
				if _, _, err := live.Submit(t.Context(), a, 0); err != nil {
					t.Error(err)
					return
				}
				acknowledged.Add(1)
			}
		})
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	for range 3 {
		for mark := acknowledged.Load(); acknowledged.Load() < mark+50; {
		}
		before := acknowledged.Load()
		contents, err := Backup(t.Context(), path, copied)
		if err != nil {
			t.Fatal(err)
		}
		if got := rowsOf(contents, "attempts"); got < before || got > acknowledged.Load()+4 {
			t.Errorf("the copy has %d attempts, %d were acknowledged before", got, before)
		}
	}
	close(stop)
	all.Wait()
	if got := filesIn(t, filepath.Dir(copied)); !reflect.DeepEqual(got, []string{"copy.db"}) {
		t.Errorf("the folder of the copy holds %q", got)
	}
	numbered(t, mustOpen(t, copied))
}

func rowsOf(c Contents, table string) int64 {
	for _, n := range c {
		if n.Table == table {
			return n.Rows
		}
	}
	return 0
}

func filesIn(t *testing.T, folder string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// numbered wants the attempts at the place of sample numbered from 1 without
// gaps.
func numbered(t *testing.T, s contract.Work) []store.Attempt {
	t.Helper()
	a := sample("")
	all, err := s.Attempts(t.Context(), a.Learner, a.Lesson, a.Exercise)
	if err != nil {
		t.Fatal(err)
	}
	for i, a := range all {
		if a.Number != i+1 {
			t.Fatalf("attempt %d has number %d", i+1, a.Number)
		}
	}
	return all
}

// filled makes a store with one attempt, closed.
func filled(t *testing.T, submission string) (path string) {
	t.Helper()
	path = FileIn(t.TempDir())
	s := mustOpen(t, path)
	if _, _, err := s.Submit(t.Context(), sample(submission), 0); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestBackupRefuses(t *testing.T) {
	file, dir := filled(t, "s1"), t.TempDir()
	lesson, empty, damaged := filepath.Join(dir, "lesson.md"), filepath.Join(dir, "empty.db"), filled(t, "s2")
	for path, content := range map[string]string{lesson: "# The quill, a lesson that must not be lost\n", empty: ""} {
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	damage(t, damaged)
	for _, c := range []struct {
		name, from, to string
		want           error
	}{
		{"over a lesson", file, lesson, store.ErrNotOurs},
		{"over itself", file, file, nil},
		{"into a folder that is not there", file, filepath.Join(dir, "no", "copy.db"), fs.ErrNotExist},
		{"of nothing", filepath.Join(dir, "none.db"), filepath.Join(dir, "copy.db"), fs.ErrNotExist},
		{"of a lesson", lesson, filepath.Join(dir, "copy.db"), store.ErrNotOurs},
		{"of an empty file", empty, filepath.Join(dir, "copy.db"), store.ErrNotOurs},
		{"of a damaged store", damaged, filepath.Join(dir, "copy.db"), store.ErrDamaged},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Backup(t.Context(), c.from, c.to)
			if err == nil || c.want != nil && !errors.Is(err, c.want) {
				t.Errorf("Backup: %v, want %v", err, c.want)
			}
		})
	}
	if got := filesIn(t, dir); !reflect.DeepEqual(got, []string{"empty.db", "lesson.md"}) {
		t.Errorf("left behind: %q", got)
	}
}

// damage overwrites a store but for its first page, by which it is known.
func damage(t *testing.T, path string) {
	t.Helper()
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := 4096; i < len(content); i++ {
		content[i] = 0x5a
	}
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestRestore(t *testing.T) {
	backup := func(t *testing.T, store string) string {
		copied := filepath.Join(t.TempDir(), "copy.db")
		if _, err := Backup(t.Context(), store, copied); err != nil {
			t.Fatal(err)
		}
		return copied
	}
	first := func(t *testing.T, path string) string {
		s := mustOpen(t, path)
		defer s.Close()
		all := numbered(t, s)
		if len(all) != 1 {
			t.Fatalf("%d attempts", len(all))
		}
		return all[0].Submission
	}
	t.Run("into a new folder", func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "data")
		got, err := Restore(t.Context(), backup(t, filled(t, "s1")), folder, false)
		if err != nil || got.Replaced != "" || got.Contents.String() != "attempts 1" {
			t.Fatalf("Restore = %+v, %v", got, err)
		}
		if s := first(t, FileIn(folder)); s != "s1" {
			t.Errorf("restored %q", s)
		}
	})
	now := time.Now()
	for name, c := range map[string]struct {
		keep func(s contract.Store) error
		want error
	}{
		"over an empty store": {func(contract.Store) error { return nil }, nil},
		"over a store that was only started": {func(s contract.Store) error {
			_, err := s.Secret(t.Context(), "numbers", []byte("fresh"))
			return errors.Join(err, s.PutLink(t.Context(), class.Link{Hash: "h", Purpose: class.ForSetUp, MadeAt: now, EndsAt: now.Add(time.Hour)}))
		}, nil},
		"not over an account": {func(s contract.Store) error {
			return s.AddPerson(t.Context(), class.Person{ID: "I1", Name: "Instructor 1", SignIn: "teach1", Instructor: true, MadeAt: now})
		}, store.ErrNotEmpty},
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			s := mustOpen(t, FileIn(folder))
			if err := errors.Join(c.keep(s), s.Close()); err != nil {
				t.Fatal(err)
			}
			if _, err := Restore(t.Context(), backup(t, filled(t, "s1")), folder, false); !errors.Is(err, c.want) {
				t.Errorf("Restore: %v, want %v", err, c.want)
			}
		})
	}
	t.Run("over work only by force, which keeps it", func(t *testing.T) {
		old := filled(t, "old")
		copied := backup(t, filled(t, "new"))
		if _, err := Restore(t.Context(), copied, filepath.Dir(old), false); !errors.Is(err, store.ErrNotEmpty) {
			t.Fatalf("without force: %v", err)
		}
		got, err := Restore(t.Context(), copied, filepath.Dir(old), true)
		if err != nil {
			t.Fatal(err)
		}
		if s := first(t, old); s != "new" {
			t.Errorf("the store holds %q", s)
		}
		if s := first(t, got.Replaced); s != "old" {
			t.Errorf("what was replaced holds %q", s)
		}
	})
	t.Run("after a crash the old log does not reach the new store", func(t *testing.T) {
		path := FileIn(t.TempDir())
		crashed := mustOpen(t, path)
		if _, _, err := crashed.Submit(t.Context(), sample("old"), 0); err != nil {
			t.Fatal(err)
		}
		left := FileIn(t.TempDir()) // as a killed process leaves it: with its log
		for _, end := range []string{"", "-wal"} {
			content, err := os.ReadFile(path + end)
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(left+end, content, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		got, err := Restore(t.Context(), backup(t, filled(t, "new")), filepath.Dir(left), true)
		if err != nil {
			t.Fatal(err)
		}
		if s := first(t, left); s != "new" {
			t.Errorf("the store holds %q", s)
		}
		if s := first(t, got.Replaced); s != "old" {
			t.Errorf("what was replaced holds %q", s)
		}
	})
	t.Run("not under a running server", func(t *testing.T) {
		old := filled(t, "old")
		running := mustOpen(t, old)
		if _, err := Restore(t.Context(), backup(t, filled(t, "new")), filepath.Dir(old), true); !errors.Is(err, store.ErrBusy) {
			t.Errorf("Restore: %v", err)
		}
		if _, _, err := running.Submit(t.Context(), sample("more"), 0); err != nil {
			t.Errorf("the server afterwards: %v", err)
		}
	})
	t.Run("over a damaged store by force", func(t *testing.T) {
		old := filled(t, "old")
		if err := os.WriteFile(old, []byte("SQLite format 3\x00 and then nothing that makes sense"), 0o600); err != nil {
			t.Fatal(err)
		}
		copied := backup(t, filled(t, "new"))
		if _, err := Restore(t.Context(), copied, filepath.Dir(old), false); !errors.Is(err, store.ErrNotEmpty) {
			t.Errorf("without force: %v", err)
		}
		if _, err := Restore(t.Context(), copied, filepath.Dir(old), true); err != nil {
			t.Fatal(err)
		}
		if s := first(t, old); s != "new" {
			t.Errorf("the store holds %q", s)
		}
	})
	t.Run("not of a damaged or newer copy", func(t *testing.T) {
		damaged, newer := filled(t, "s1"), filled(t, "s1")
		damage(t, damaged)
		execute(t, newer, "INSERT INTO goose_db_version (version_id, is_applied) VALUES (99999, 1)")
		folder := t.TempDir()
		for path, want := range map[string]error{damaged: store.ErrDamaged, newer: store.ErrNewer} {
			if _, err := Restore(t.Context(), path, folder, false); !errors.Is(err, want) {
				t.Errorf("Restore: %v, want %v", err, want)
			}
		}
		if got := filesIn(t, folder); got != nil {
			t.Errorf("left behind: %q", got)
		}
	})
}
