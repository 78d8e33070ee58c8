package sqlite

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

// fill submits long answers until one is refused, and returns how many were
// kept and the error.
func fill(s contract.Work) (kept int, err error) {
	for ; kept < 10000; kept++ {
		if _, _, err := s.Submit(context.Background(), long(kept), 0); err != nil {
			return kept, err
		}
	}
	return kept, errors.New("the store never filled")
}

func long(i int) store.Attempt {
	a := sample(fmt.Sprint("s", i))
	a.Answer = strings.Repeat("a long way round to 0.971 deg; ", 100)
	return a
}

// A store that has reached its limit keeps what it has, refuses with words, and
// goes on when there is room again.
func TestFull(t *testing.T) {
	path := FileIn(t.TempDir())
	s := mustOpen(t, path, "max_page_count(80)")
	kept, err := fill(s)
	if !errors.Is(err, store.ErrFull) {
		t.Fatalf("after %d attempts: %v", kept, err)
	}
	if got := len(numbered(t, s)); got != kept {
		t.Errorf("%d attempts are kept, %d were acknowledged", got, kept)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	s = mustOpen(t, path)
	if _, repeat, err := s.Submit(t.Context(), long(kept), 0); err != nil || repeat {
		t.Errorf("sent again with room: repeat %v, %v", repeat, err)
	}
	numbered(t, s)
}

// The same on a disk that is full: a small one in memory, mounted by a process
// that sees it alone.
func TestFullDisk(t *testing.T) {
	folder := t.TempDir()
	attributes := &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWNS}
	if os.Getuid() != 0 {
		attributes.Cloneflags |= syscall.CLONE_NEWUSER
		attributes.UidMappings = []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getuid(), Size: 1}}
		attributes.GidMappings = []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getgid(), Size: 1}}
	}
	out, err := child("fill a disk", attributes, folder).CombinedOutput()
	if errors.Is(err, syscall.EPERM) || strings.HasPrefix(string(out), notMounted) {
		t.Skipf("this system does not let a test mount a small disk (%v %s); TestFull stands for it", err, out)
	}
	if err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}

const notMounted = "mount: "

func fillDisk(args []string) error {
	folder := args[0]
	// Without this the mount would reach the system's own view.
	if err := syscall.Mount("none", "/", "", syscall.MS_REC|syscall.MS_PRIVATE, ""); err != nil {
		return fmt.Errorf(notMounted+"%w", err)
	}
	if err := syscall.Mount("none", folder, "tmpfs", 0, "size=1m"); err != nil {
		return fmt.Errorf(notMounted+"%w", err)
	}
	ballast := filepath.Join(folder, "ballast")
	if err := os.WriteFile(ballast, make([]byte, 300<<10), 0o600); err != nil {
		return err
	}
	s, err := Open(context.Background(), FileIn(folder))
	if err != nil {
		return err
	}
	var failed, recovered int
	s.Observe(store.Observer{Failed: func(error) { failed++ }, Recovered: func(time.Duration) { recovered++ }})
	kept, err := fill(s)
	if !errors.Is(err, store.ErrFull) {
		return fmt.Errorf("after %d attempts: %w", kept, err)
	}
	if err := s.Ready(context.Background()); !errors.Is(err, store.ErrFull) {
		return fmt.Errorf("ready with a full disk: %w", err)
	}
	// A small write may find room that an earlier one has left.
	if _, err := s.Secret(context.Background(), "small", []byte{1}); err == nil {
		if err := s.Ready(context.Background()); !errors.Is(err, store.ErrFull) {
			return fmt.Errorf("ready after a small write to a full disk: %w", err)
		}
	}
	if failed != 1 || recovered != 0 {
		return fmt.Errorf("a full disk was told %d times, and its end %d times", failed, recovered)
	}
	if again, err := Open(context.Background(), FileIn(folder)); err == nil {
		again.Close()
	} else if !errors.Is(err, store.ErrFull) {
		return fmt.Errorf("opening on a full disk: %w", err)
	}
	if _, err := Backup(context.Background(), FileIn(folder), filepath.Join(folder, "copy.db")); !errors.Is(err, store.ErrFull) {
		return fmt.Errorf("a backup to the full disk: %w", err)
	}
	if rest, err := os.Create(filepath.Join(folder, "rest")); err == nil { // to the last byte
		for err == nil {
			_, err = rest.Write(make([]byte, 4096))
		}
		rest.Close()
	}
	for _, name := range []string{"new.db", "copy.db"} {
		path := filepath.Join(folder, name)
		if _, err := Open(context.Background(), path); !errors.Is(err, store.ErrFull) {
			return fmt.Errorf("a new store on the full disk: %w", err)
		}
		if _, err := Backup(context.Background(), FileIn(folder), path); !errors.Is(err, store.ErrFull) {
			return fmt.Errorf("a backup to the very full disk: %w", err)
		}
	}
	if _, err := Restore(context.Background(), FileIn(folder), filepath.Join(folder, "data"), false); !errors.Is(err, store.ErrFull) {
		return fmt.Errorf("a restore to the full disk: %w", err)
	}
	if err := errors.Join(os.Remove(ballast), os.Remove(filepath.Join(folder, "rest"))); err != nil {
		return err
	}
	for s.Ready(context.Background()) != nil {
		time.Sleep(10 * time.Millisecond) // whether there is room is asked once a second
	}
	if recovered != 1 {
		return fmt.Errorf("the end of a full disk was told %d times", recovered)
	}
	if _, repeat, err := s.Submit(context.Background(), long(kept), 0); err != nil || repeat {
		return fmt.Errorf("sent again with room: repeat %v, %w", repeat, err)
	}
	a := long(0)
	all, err := s.Attempts(context.Background(), a.Learner, a.Lesson, a.Exercise)
	if err != nil || len(all) != kept+1 {
		return fmt.Errorf("%d attempts, want %d, %w", len(all), kept+1, err)
	}
	return s.Close()
}

// A folder or a file that may not be written is said to be so, by a process
// that may not write it.
func TestReadOnly(t *testing.T) {
	for _, c := range []struct {
		name    string
		prepare func(t *testing.T) (path string)
	}{
		{"an empty folder", func(t *testing.T) string {
			path := FileIn(t.TempDir())
			protect(t, filepath.Dir(path), 0o555)
			return path
		}},
		{"a folder with a store", func(t *testing.T) string {
			path := filled(t, "s1")
			protect(t, path, 0o444)
			protect(t, filepath.Dir(path), 0o555)
			return path
		}},
		{"a file", func(t *testing.T) string {
			path := filled(t, "s1")
			protect(t, path, 0o444)
			protect(t, filepath.Dir(path), 0o777)
			return path
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			attributes := &syscall.SysProcAttr{}
			if os.Getuid() == 0 { // root may write everything
				attributes.Credential = &syscall.Credential{Uid: 65534, Gid: 65534}
			}
			out, err := child("open", attributes, c.prepare(t)).CombinedOutput()
			if err == nil || !strings.Contains(string(out), store.ErrNoRights.Error()) || !strings.Contains(string(out), "belongs to the user root") && os.Getuid() == 0 {
				t.Errorf("the process ended with %v and said %q", err, out)
			}
		})
	}
}

// What root restores into another user's folder belongs to that user.
func TestRestoreForOther(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("only root can give a file to another user")
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	if _, err := Backup(t.Context(), filled(t, "s1"), copied); err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	protect(t, filepath.Dir(folder), 0o755)
	if err := os.Chown(folder, 65534, 65534); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(t.Context(), copied, folder, false); err != nil {
		t.Fatal(err)
	}
	nobody := &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	if out, err := child("open", nobody, FileIn(folder)).CombinedOutput(); err != nil {
		t.Errorf("%v: %s", err, out)
	}
}

func protect(t *testing.T, path string, mode os.FileMode) {
	t.Helper()
	if err := os.Chmod(path, mode); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Chmod(path, 0o700) })
}

func openAndWrite(args []string) error {
	s, err := Open(context.Background(), args[0])
	if err != nil {
		return err
	}
	_, _, err = s.Submit(context.Background(), sample("s2"), 0)
	return errors.Join(err, s.Close())
}

// A damaged page is found when it is read, and said.
func TestDamaged(t *testing.T) {
	path := filled(t, "s1")
	damage(t, path)
	s, err := Open(t.Context(), path)
	if err == nil {
		s.Close()
	}
	if !errors.Is(err, store.ErrDamaged) {
		t.Errorf("%v", err)
	}
}
