package folder

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// A trial is a folder that is followed, with a clock and events of the test's own.
type trial struct {
	t      *testing.T
	dir    string
	w      *Watcher
	events chan struct{}
	ticks  chan time.Time
	read   chan string // what lesson.md holds at each call of Changed; "-" if it is gone
	log    *lockedBuffer

	mu     sync.Mutex
	pauses []func() // what happens in the pauses that come, one each
	time   time.Time
}

type lockedBuffer struct {
	mu sync.Mutex
	bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.Buffer.Write(p)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.Buffer.String()
}

func newTrial(t *testing.T, watched error) *trial {
	t.Helper()
	tr := &trial{t: t, dir: t.TempDir(), events: make(chan struct{}), ticks: make(chan time.Time), read: make(chan string, 20), log: &lockedBuffer{}, time: time.Now().Add(time.Hour)}
	tr.write("lesson.md", "first")
	tr.w = &Watcher{
		Path: tr.dir, Files: os.DirFS(tr.dir), Log: slog.New(slog.NewTextHandler(tr.log, nil)), ticks: tr.ticks,
		Changed: func() { tr.read <- tr.text() },
		watch: func(string) (<-chan struct{}, func(), error) {
			if watched != nil {
				return nil, nil, watched
			}
			return tr.events, func() {}, nil
		},
		now: func() time.Time {
			tr.mu.Lock()
			defer tr.mu.Unlock()
			return tr.time
		},
		pause: func(context.Context, time.Duration) {
			tr.mu.Lock()
			defer tr.mu.Unlock()
			if len(tr.pauses) > 0 {
				tr.pauses[0]()
				tr.pauses = tr.pauses[1:]
			}
		},
	}
	return tr
}

func (tr *trial) run() {
	ctx, end := context.WithCancel(tr.t.Context())
	done := make(chan struct{})
	go func() { tr.w.Run(ctx); close(done) }()
	tr.t.Cleanup(func() { end(); <-done })
	tr.ticks <- time.Time{} // it runs, and has seen the folder as it is
	<-tr.read
}

// write puts a text into a file, so that nobody sees half of it.
func (tr *trial) write(name, text string) { tr.writeAt(name, text, time.Time{}) }

// writeAt is write with the time that the file bears.
func (tr *trial) writeAt(name, text string, at time.Time) {
	file := filepath.Join(tr.dir, ".beside")
	err := os.WriteFile(file, []byte(text), 0o600)
	if err == nil && !at.IsZero() {
		err = os.Chtimes(file, at, at)
	}
	if err == nil {
		err = os.Rename(file, filepath.Join(tr.dir, name))
	}
	if err != nil {
		tr.t.Error(err)
	}
}

func (tr *trial) text() string {
	b, err := os.ReadFile(filepath.Join(tr.dir, "lesson.md"))
	if err != nil {
		return "-"
	}
	return string(b)
}

// inPauses sets what happens in the pauses that come.
func (tr *trial) inPauses(do ...func()) {
	tr.mu.Lock()
	defer tr.mu.Unlock()
	tr.pauses = do
}

// none checks that nothing was read up to now.
func (tr *trial) none() {
	tr.t.Helper()
	tr.ticks <- time.Time{}
	tr.ticks <- time.Time{} // the one before was looked at
	select {
	case text := <-tr.read:
		tr.t.Errorf("read %q, although nothing has changed", text)
	default:
	}
}

func TestRun(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(tr *trial)
		want []string
	}{
		{"saved at once", func(tr *trial) { tr.write("lesson.md", "second") }, []string{"second"}},
		{"saved in pieces", func(tr *trial) {
			tr.inPauses(func() { tr.write("lesson.md", "sec") }, func() { tr.write("lesson.md", "second ") }, func() { tr.write("lesson.md", "second text") })
			tr.write("lesson.md", "")
		}, []string{"second text"}},
		{"saved by renaming", func(tr *trial) {
			tr.inPauses(func() { tr.rename("lesson.md~new.md", "lesson.md") })
			tr.write("lesson.md~new.md", "second")
		}, []string{"second"}},
		{"moved away and written anew", func(tr *trial) {
			tr.inPauses(func() { tr.write("lesson.md", "second") })
			tr.rename("lesson.md", "lesson.md~")
		}, []string{"second"}},
		{"removed", func(tr *trial) { tr.remove("lesson.md") }, []string{"-"}},
		{"another lesson", func(tr *trial) { tr.write("other.md", "one more") }, []string{"first"}},
		{"a picture", func(tr *trial) { tr.write("wheel.svg", "<svg/>") }, []string{"first"}},
		{"what an editor leaves behind", func(tr *trial) { tr.write(".lesson.md.swp", "x"); tr.write("lesson.md~", "x"); tr.write("4913", "x") }, nil},
		{"written with the same length", func(tr *trial) {
			tr.writeAt("lesson.md", "fresh", time.Now().Add(time.Minute))
		}, []string{"fresh"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			tr := newTrial(t, nil)
			tr.run()
			c.do(tr)
			tr.events <- struct{}{}
			for _, want := range c.want {
				if got := <-tr.read; got != want {
					t.Errorf("read %q, want %q", got, want)
				}
			}
			tr.none()
		})
	}
}

func (tr *trial) rename(from, to string) {
	if err := os.Rename(filepath.Join(tr.dir, from), filepath.Join(tr.dir, to)); err != nil {
		tr.t.Error(err)
	}
}

func (tr *trial) remove(name string) {
	if err := os.Remove(filepath.Join(tr.dir, name)); err != nil {
		tr.t.Error(err)
	}
}

// TestChangedWhileRead: what changes while it is read is read again.
func TestChangedWhileRead(t *testing.T) {
	tr := newTrial(t, nil)
	read := tr.w.Changed
	calls := 0
	tr.w.Changed = func() {
		read()
		if calls++; calls == 2 {
			tr.write("lesson.md", "third time")
		}
	}
	tr.run()
	tr.write("lesson.md", "second")
	tr.events <- struct{}{}
	for _, want := range []string{"second", "third time"} {
		if got := <-tr.read; got != want {
			t.Errorf("read %q, want %q", got, want)
		}
	}
	tr.none()
}

// TestNotTold: a folder whose changes are not told is looked at, and the log says so.
func TestNotTold(t *testing.T) {
	tr := newTrial(t, errors.New("no such thing here"))
	tr.run()
	tr.none()
	tr.write("lesson.md", "second")
	tr.ticks <- time.Time{}
	if got := <-tr.read; got != "second" {
		t.Errorf("read %q", got)
	}
	if !strings.Contains(tr.log.String(), "it is looked at every 2s") {
		t.Errorf("the log: %s", tr.log)
	}
}

// TestToldNoMore: when the system stops telling, the folder is looked at.
func TestToldNoMore(t *testing.T) {
	tr := newTrial(t, nil)
	tr.run()
	close(tr.events)
	tr.write("lesson.md", "second")
	tr.ticks <- time.Time{}
	if got := <-tr.read; got != "second" {
		t.Errorf("read %q", got)
	}
	if !strings.Contains(tr.log.String(), "not told any more") {
		t.Errorf("the log: %s", tr.log)
	}
}

// TestFresh: a file that had just changed when it was looked at is read once more when
// its time would show a change.
func TestFresh(t *testing.T) {
	tr := newTrial(t, nil)
	tr.time = time.Now()
	tr.run()
	tr.mu.Lock()
	tr.time = tr.time.Add(time.Minute)
	tr.mu.Unlock()
	tr.ticks <- time.Time{}
	if got := <-tr.read; got != "first" {
		t.Errorf("read %q", got)
	}
	tr.none()
}

// TestFolderGone: a folder that goes away leaves the lessons as they were, and one that
// takes its place is not taken for it.
func TestFolderGone(t *testing.T) {
	tr := newTrial(t, nil)
	away := tr.dir + "-away"
	tr.run()
	if err := os.Rename(tr.dir, away); err != nil {
		t.Fatal(err)
	}
	tr.none()
	if !strings.Contains(tr.log.String(), "readers see the lessons as they were") {
		t.Errorf("the log: %s", tr.log)
	}
	if err := os.Rename(away, tr.dir); err != nil {
		t.Fatal(err)
	}
	tr.none()
	if !strings.Contains(tr.log.String(), "can be read again") {
		t.Errorf("the log: %s", tr.log)
	}
	tr.write("lesson.md", "second")
	tr.ticks <- time.Time{}
	if got := <-tr.read; got != "second" {
		t.Errorf("read %q", got)
	}
}

// TestSystemTells: with the real system, a file that is saved is heard of.
func TestSystemTells(t *testing.T) {
	tr := newTrial(t, nil)
	tr.w.watch, tr.w.pause = nil, nil
	tr.run()
	for _, text := range []string{"second", "the third"} {
		tr.write("lesson.new", text)
		tr.rename("lesson.new", "lesson.md")
		for got := ""; got != text; {
			got = <-tr.read
		}
	}
}
