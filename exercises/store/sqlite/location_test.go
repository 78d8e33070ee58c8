package sqlite

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

// What is taken away from under a running server is noticed before anything more is
// acknowledged, and put right it goes on without a restart: nothing that was
// acknowledged is missing then, and nothing is doubled.
func TestTheStoreIsTakenAwayAndPutBack(t *testing.T) {
	move := func(from, to string) {
		t.Helper()
		if err := os.Rename(from, to); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		name string
		// take changes what is in place; back puts it right.
		take, back func(folder, copied string)
		lost       bool // the answers after the copy are lost with the file
	}{
		{"the file is moved away and back", func(folder, _ string) {
			move(FileIn(folder), filepath.Join(folder, "elsewhere"))
		}, func(folder, _ string) {
			move(filepath.Join(folder, "elsewhere"), FileIn(folder))
		}, false},
		{"the folder is moved away and back", func(folder, _ string) {
			move(folder, folder+"-away")
		}, func(folder, _ string) {
			move(folder+"-away", folder)
		}, false},
		{"an empty folder is in its place", func(folder, _ string) {
			move(folder, folder+"-away")
			os.Mkdir(folder, 0o700)
		}, func(folder, _ string) {
			os.Remove(folder)
			move(folder+"-away", folder)
		}, false},
		{"the file is deleted and a backup put there", func(folder, _ string) {
			os.Remove(FileIn(folder))
		}, func(folder, copied string) { move(copied, FileIn(folder)) }, true},
		{"the folder is deleted and a backup restored", func(folder, _ string) {
			os.RemoveAll(folder)
		}, func(folder, copied string) {
			if _, err := Restore(t.Context(), copied, folder, false); err != nil {
				t.Fatal(err)
			}
		}, true},
		{"another store is put there, then the backup", func(folder, _ string) {
			other := FileIn(t.TempDir())
			s := mustOpen(t, other)
			if _, err := s.Secret(t.Context(), "variants", []byte("other")); err != nil {
				t.Fatal(err)
			}
			s.Close()
			move(other, FileIn(folder))
		}, func(folder, copied string) { move(copied, FileIn(folder)) }, true},
		{"no database is put there, then the backup", func(folder, _ string) {
			os.Remove(FileIn(folder))
			os.WriteFile(FileIn(folder), []byte("marks of last year"), 0o600)
		}, func(folder, copied string) { move(copied, FileIn(folder)) }, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := filepath.Join(t.TempDir(), "data")
			if err := os.Mkdir(folder, 0o700); err != nil {
				t.Fatal(err)
			}
			var s contract.Store = mustOpen(t, FileIn(folder))
			if _, err := s.Secret(t.Context(), "variants", []byte("ours")); err != nil {
				t.Fatal(err)
			}
			send := func(i int) error {
				_, _, err := s.Submit(t.Context(), sample(fmt.Sprint("s", i)), 0)
				return err
			}
			for i := range 3 {
				if err := send(i); err != nil {
					t.Fatal(err)
				}
			}
			copied := filepath.Join(t.TempDir(), "copy.db")
			if _, err := Backup(t.Context(), FileIn(folder), copied); err != nil {
				t.Fatal(err)
			}
			if err := send(3); err != nil {
				t.Fatal(err)
			}
			var told []string
			s.Observe(store.Observer{
				Failed:    func(err error) { told = append(told, fmt.Sprint("failed, gone ", errors.Is(err, store.ErrGone))) },
				Recovered: func(time.Duration) { told = append(told, "recovered") },
			})
			c.take(folder, copied)
			if err := s.Ready(t.Context()); !errors.Is(err, store.ErrGone) {
				t.Errorf("ready without its file: %v", err)
			}
			for range 2 {
				var refusal store.Refusal
				if err := send(4); !errors.Is(err, store.ErrGone) || errors.As(err, &refusal) {
					t.Errorf("an answer into nowhere: %v; a page sends again after a fault only", err)
				}
			}
			c.back(folder, copied)
			if err := send(4); err != nil {
				t.Fatalf("put right: %v", err)
			}
			if err := s.Ready(t.Context()); err != nil {
				t.Errorf("not ready: %v", err)
			}
			if !slices.Equal(told, []string{"failed, gone true", "recovered"}) {
				t.Errorf("told %q, want once that it failed and once that it is well", told)
			}
			want := 5
			if c.lost {
				want = 4
			}
			if got := len(numbered(t, s)); got != want {
				t.Errorf("%d answers, want %d", got, want)
			}
			if err := s.Close(); err != nil {
				t.Error(err)
			}
			if got := len(numbered(t, mustOpen(t, FileIn(folder)))); got != want {
				t.Errorf("after a restart %d answers, want %d", got, want)
			}
		})
	}
}

// A file that is taken away while the answer is being written must not make it
// acknowledged either.
func TestTakenAwayDuringACommit(t *testing.T) {
	path := FileIn(t.TempDir())
	s := mustOpen(t, path)
	if _, _, err := s.Submit(t.Context(), sample("s0"), 0); err != nil {
		t.Fatal(err)
	}
	for i := range 200 {
		moved := make(chan error)
		go func() { moved <- os.Rename(path, path+".away") }()
		_, _, err := s.Submit(t.Context(), sample(fmt.Sprint("a", i)), 0)
		acknowledged := err == nil
		if err := <-moved; err != nil {
			t.Fatal(err)
		}
		if err != nil && !errors.Is(err, store.ErrGone) {
			t.Fatalf("%v", err)
		}
		if err := os.Rename(path+".away", path); err != nil {
			t.Fatal(err)
		}
		if _, repeat, err := s.Submit(t.Context(), sample(fmt.Sprint("a", i)), 0); err != nil || acknowledged && !repeat {
			t.Fatalf("put back: repeat %v, %v", repeat, err)
		}
	}
	numbered(t, s)
}
