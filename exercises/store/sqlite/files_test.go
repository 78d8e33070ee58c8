package sqlite

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/storetest"
)

// begun returns a store with some answers, of which the backup has all but the last, and
// what sends one more.
func begun(t *testing.T) (s contract.Store, folder, copied string, send func(i int) error) {
	t.Helper()
	folder = filepath.Join(t.TempDir(), "data")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	s = mustOpen(t, FileIn(folder))
	if _, err := s.Secret(t.Context(), "variants", []byte("ours")); err != nil {
		t.Fatal(err)
	}
	send = func(i int) error {
		_, _, err := s.Submit(t.Context(), sample(fmt.Sprint("s", i)), 0)
		return err
	}
	copied = filepath.Join(t.TempDir(), "copy.db")
	for i := range 4 {
		if i == 3 {
			if _, err := Backup(t.Context(), FileIn(folder), copied); err != nil {
				t.Fatal(err)
			}
		}
		if err := send(i); err != nil {
			t.Fatal(err)
		}
	}
	return s, folder, copied, send
}

// killed is the folder as a server that is killed now leaves it.
func killed(t *testing.T, folder string) string {
	t.Helper()
	left := t.TempDir()
	for _, name := range []string{"shaftbook.db", "shaftbook.db-wal"} {
		if content, err := os.ReadFile(filepath.Join(folder, name)); err == nil {
			if err := os.WriteFile(filepath.Join(left, name), content, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	return FileIn(left)
}

// writeOver puts the content of a file into another that stays the same file.
func writeOver(t *testing.T, path, by string) {
	t.Helper()
	from, err := os.Open(by)
	if err != nil {
		t.Fatal(err)
	}
	defer from.Close()
	to, err := os.OpenFile(path, os.O_WRONLY|os.O_TRUNC, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(to, from); err != nil {
		t.Fatal(err)
	}
	if err := to.Close(); err != nil {
		t.Fatal(err)
	}
}

// The log or its index is taken from under a running server: what they held is written
// into the database before anything more is acknowledged, so that nothing is lost when
// the server is killed.
func TestTheLogIsTakenAway(t *testing.T) {
	for _, c := range []struct {
		name string
		take func(t *testing.T, file string)
	}{
		{"the log is removed", func(t *testing.T, file string) { os.Remove(file + "-wal") }},
		{"the log is moved", func(t *testing.T, file string) { os.Rename(file+"-wal", file+"-aside") }},
		{"an empty log is in its place", func(t *testing.T, file string) {
			os.Remove(file + "-wal")
			os.WriteFile(file+"-wal", nil, 0o600)
		}},
		{"a copy of the log is in its place", func(t *testing.T, file string) {
			os.Rename(file+"-wal", file+"-aside")
			content, _ := os.ReadFile(file + "-aside")
			os.WriteFile(file+"-wal", content, 0o600)
		}},
		{"the index is removed", func(t *testing.T, file string) { os.Remove(file + "-shm") }},
		{"both are removed", func(t *testing.T, file string) { os.Remove(file + "-wal"); os.Remove(file + "-shm") }},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, folder, _, send := begun(t)
			c.take(t, FileIn(folder))
			for i := range 3 {
				if err := send(4 + i); err != nil {
					t.Fatalf("answer %d: %v", i, err)
				}
				if got := len(numbered(t, mustOpen(t, killed(t, folder)))); got != 5+i {
					t.Errorf("killed: %d answers, want %d", got, 5+i)
				}
			}
			c.take(t, FileIn(folder))
			if err := s.Ready(t.Context()); err != nil {
				t.Errorf("not ready: %v", err)
			}
			c.take(t, FileIn(folder))
			if err := s.Close(); err != nil {
				t.Error(err)
			}
			if got := len(numbered(t, mustOpen(t, FileIn(folder)))); got != 7 {
				t.Errorf("after a restart %d answers, want 7", got)
			}
		})
	}
}

// The database or its log is written over while the server runs. Nothing is
// acknowledged, nothing is mixed with what is there, and a server that is started anew
// goes on with it.
func TestTheFilesAreWrittenOver(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(t *testing.T, file, copied string)
		left  int // answers that a new server finds; −1 where that is for the backup to say
	}{
		{"a backup, and the log is removed", func(t *testing.T, file, copied string) {
			writeOver(t, file, copied)
			os.Remove(file + "-wal")
		}, 3},
		{"a backup, and log and index are removed", func(t *testing.T, file, copied string) {
			writeOver(t, file, copied)
			os.Remove(file + "-wal")
			os.Remove(file + "-shm")
		}, 3},
		{"a backup", func(t *testing.T, file, copied string) { writeOver(t, file, copied) }, -1},
		{"the database is cut", func(t *testing.T, file, _ string) { os.Truncate(file, 0) }, -1},
		{"the log is emptied", func(t *testing.T, file, _ string) { os.Truncate(file+"-wal", 0) }, -1},
		{"the log is cut", func(t *testing.T, file, _ string) { os.Truncate(file+"-wal", 5000) }, -1},
		{"the head of the log is written over", func(t *testing.T, file, _ string) {
			f, err := os.OpenFile(file+"-wal", os.O_WRONLY, 0)
			if err != nil {
				t.Fatal(err)
			}
			f.WriteAt(make([]byte, logHead), 0)
			f.Close()
		}, -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, folder, copied, send := begun(t)
			var told []string
			s.Observe(store.Observer{
				Failed:    func(err error) { told = append(told, fmt.Sprint("failed, gone ", errors.Is(err, store.ErrGone))) },
				Recovered: func(time.Duration) { told = append(told, "recovered") },
			})
			c.spoil(t, FileIn(folder), copied)
			for range 2 {
				err := s.Ready(t.Context())
				var refusal store.Refusal
				if !errors.Is(err, store.ErrGone) || errors.As(err, &refusal) {
					t.Errorf("ready: %v", err)
				} else if !strings.Contains(err.Error(), "restart the server") && !strings.Contains(err.Error(), "restore a backup") {
					t.Errorf("%v: it has no way out", err)
				}
				if err := send(4); !errors.Is(err, store.ErrGone) || errors.As(err, &refusal) {
					t.Errorf("an answer into nowhere: %v", err)
				}
			}
			if !slices.Equal(told, []string{"failed, gone true"}) {
				t.Errorf("told %q, want once that it failed", told)
			}
			if err := s.Close(); err != nil {
				t.Error(err)
			}
			if c.left >= 0 {
				if got := len(numbered(t, mustOpen(t, killed(t, folder)))); got != c.left {
					t.Errorf("after a restart %d answers, want %d", got, c.left)
				}
			}
		})
	}
}

// A backup in a file of its own is taken up without a restart also where the files were
// written over before.
func TestABackupAfterTheFilesWereWrittenOver(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(t *testing.T, file, copied string)
	}{
		{"with the old log beside it", func(t *testing.T, file, copied string) { writeOver(t, file, copied) }},
		{"without it", func(t *testing.T, file, copied string) {
			writeOver(t, file, copied)
			os.Remove(file + "-wal")
			os.Remove(file + "-shm")
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, folder, copied, send := begun(t)
			c.spoil(t, FileIn(folder), copied)
			if err := send(4); !errors.Is(err, store.ErrGone) {
				t.Errorf("an answer into nowhere: %v", err)
			}
			if err := os.Rename(copied, FileIn(folder)); err != nil {
				t.Fatal(err)
			}
			if err := send(4); err != nil {
				t.Fatalf("put right: %v", err)
			}
			if err := s.Ready(t.Context()); err != nil {
				t.Errorf("not ready: %v", err)
			}
			if got := len(numbered(t, mustOpen(t, killed(t, folder)))); got != 4 {
				t.Errorf("%d answers, want 4", got)
			}
		})
	}
}

// What SQLite itself does to the files is no harm: the log is written back and begins
// anew, a backup is made, the file is written anew.
func TestTheStoreOwnsItsFiles(t *testing.T) {
	s, folder, copied, _ := begun(t)
	student := storetest.Work(t, s)
	longest := int64(0)
	done, asked := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(asked)
		for {
			select {
			case <-done:
				return
			default:
				if err := s.Ready(t.Context()); err != nil {
					t.Errorf("ready: %v", err)
					return
				}
			}
		}
	}()
	defer func() {
		close(done)
		if <-asked; longest > 3*mostFrames*5000 {
			t.Errorf("the log grew to %d bytes", longest)
		}
	}()
	for i := range 1500 {
		a := sample(fmt.Sprint("a", i))
		a.Learner, a.Series = fmt.Sprint("student-", 5+i%7), i
		if _, _, err := s.Submit(t.Context(), a, 0); err != nil {
			t.Fatalf("answer %d: %v", i, err)
		}
		log, err := os.Stat(FileIn(folder) + "-wal")
		if err != nil {
			t.Fatal(err)
		}
		if i < 700 { // the file is written anew through the log
			longest = max(longest, log.Size())
		}
		switch i {
		case 300, 900:
			if _, err := Backup(t.Context(), FileIn(folder), copied); err != nil {
				t.Fatal(err)
			}
		case 700:
			if err := s.Erase(t.Context(), student, class.Entry{Class: "C", Action: "erase", About: student}); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// A reader of an old state keeps a part of the log from being written back, each time
// anew: nobody else wrote.
func TestTheLogIsWrittenBackInPart(t *testing.T) {
	path := FileIn(t.TempDir())
	s := mustOpen(t, path)
	for i := range 700 {
		a := sample(fmt.Sprint("a", i))
		a.Learner, a.Series = fmt.Sprint("student-", i%7), i
		if i == 200 { // a reader of an old state keeps the rest of the log from being written back
			db := raw(t, path)
			tx, err := db.Begin()
			if err != nil {
				t.Fatal(err)
			}
			defer tx.Rollback()
			var n int
			if err := tx.QueryRow("SELECT count(*) FROM attempts").Scan(&n); err != nil {
				t.Fatal(err)
			}
		}
		if _, _, err := s.Submit(t.Context(), a, 0); err != nil {
			t.Fatalf("answer %d: %v", i, err)
		}
	}
}

// BenchmarkCheck is what a look at the place of the files costs; each commit has two.
func BenchmarkCheck(b *testing.B) {
	p := &location{path: FileIn(b.TempDir())}
	mustOpen(b, p.path)
	pools, err := p.open(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	defer pools.Close()
	for b.Loop() {
		if err := p.Check(); err != nil {
			b.Fatal(err)
		}
	}
}
