// Package folder follows the files of a folder of lessons: it tells when they have
// changed and rest. A Watcher begins at Run.
//
// Changes are heard of by the operating system. Where it does not tell them, as of some
// folders on a network, and now and then in any case, the folder is looked at.
package folder

import (
	"context"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path"
	"slices"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

const (
	// rest is the time between two looks at files that have changed: an editor writes a
	// file in pieces, and one that is the same at both looks is whole.
	rest = 15 * time.Millisecond

	// lookEvery is the time between looks at a folder whose changes are not told.
	lookEvery = 2 * time.Second

	// checkEvery is the same where changes are told, for those that are not.
	checkEvery = 20 * time.Second

	// fresh is how long after a change another one may bear the same time: some file
	// systems count in seconds.
	fresh = 2 * time.Second
)

// A Watcher follows one folder.
type Watcher struct {
	Path  string // of the folder
	Files fs.FS  // its files
	Log   *slog.Logger

	// Changed is called at first, and when files have changed and rest, one call after
	// another, and reads them. If they change meanwhile, it is called again.
	Changed func()

	watch func(path string) (events <-chan struct{}, end func(), err error) // nil is notify
	pause func(ctx context.Context, d time.Duration)                        // nil waits
	now   func() time.Time                                                  // nil is time.Now
	ticks <-chan time.Time                                                  // nil are those of a clock
}

// A look is the files of a folder as they are seen, by their names.
type look map[string]seen

type seen struct {
	size  int64
	mode  fs.FileMode
	at    time.Time
	fresh bool // it changed so lately that a later change might not show
	err   string
}

// Run follows the folder until ctx ends. It begins by having the files read: they may have
// changed since they were read before.
func (w *Watcher) Run(ctx context.Context) {
	if w.watch == nil {
		w.watch = notify
	}
	if w.pause == nil {
		w.pause = sleep
	}
	if w.now == nil {
		w.now = time.Now
	}
	every := checkEvery
	events, end, err := w.watch(w.Path)
	if err != nil {
		every = lookEvery
		w.Log.Warn("changes in the folder of lessons are not told by the system; it is looked at every "+every.String(), "folder", w.Path, "error", err)
		end = func() {}
	}
	defer end()
	known, lost := w.look(), false
	w.Changed()
	clock := time.NewTicker(every)
	defer clock.Stop()
	ticks := w.ticks
	if ticks == nil {
		ticks = clock.C
	}
	for {
		select {
		case <-ctx.Done():
			return
		case _, ok := <-events:
			if !ok {
				events = nil
				clock.Reset(lookEvery)
				w.Log.Warn("changes in the folder of lessons are not told any more; it is looked at every "+lookEvery.String(), "folder", w.Path)
			}
		case <-ticks:
		}
		now := w.look()
		switch {
		case now == nil && !lost:
			lost = true
			w.Log.Error("the folder of lessons cannot be read, or another one has taken its place; readers see the lessons as they were. Put it back, or start the server again", "folder", w.Path)
		case now != nil && lost:
			lost = false
			w.Log.Info("the folder of lessons can be read again", "folder", w.Path)
		}
		if now == nil || same(now, known) {
			continue
		}
		known = w.settle(ctx, now)
	}
}

// settle waits until the files rest, has them read, and returns what was seen of them.
func (w *Watcher) settle(ctx context.Context, before look) look {
	for ctx.Err() == nil {
		w.pause(ctx, rest)
		now := w.look()
		if now == nil {
			return before
		}
		if !same(now, before) {
			before = now
			continue
		}
		if ctx.Err() != nil {
			break
		}
		w.Changed()
		if now = w.look(); now == nil || same(now, before) {
			break
		}
		before = now
	}
	return before
}

// look lists the files that may belong to lessons; nil if the folder cannot be read.
func (w *Watcher) look() look {
	entries, err := fs.ReadDir(w.Files, ".")
	if err != nil || !w.isThere() {
		return nil
	}
	now, l := w.now(), look{}
	for _, e := range entries {
		if !counts(e.Name()) {
			continue
		}
		info, err := fs.Stat(w.Files, e.Name()) // of what a link leads to
		if err != nil {
			l[e.Name()] = seen{err: err.Error()}
			continue
		}
		l[e.Name()] = seen{size: info.Size(), mode: info.Mode(), at: info.ModTime(), fresh: now.Sub(info.ModTime()).Abs() < fresh}
	}
	return l
}

// isThere reports whether the folder at the path still is that of the files.
func (w *Watcher) isThere() bool {
	at, err := os.Stat(w.Path)
	if err != nil {
		return false
	}
	of, err := fs.Stat(w.Files, ".")
	return err == nil && os.SameFile(at, of)
}

// counts reports whether a name can be that of a lesson, of what stands beside lessons or
// of a picture; editors leave files of other names behind.
func counts(name string) bool {
	return !strings.HasPrefix(name, ".") && slices.Contains([]string{".md", ".yaml", ".svg", ".png"}, strings.ToLower(path.Ext(name)))
}

// same reports whether two looks saw the same. A file that was fresh at the look before
// and is not any more counts as changed, once: it is read again, for what may have been
// missed.
func same(now, before look) bool {
	if len(now) != len(before) {
		return false
	}
	for name, n := range now {
		b, ok := before[name]
		if !ok || n.size != b.size || n.mode != b.mode || n.err != b.err || !n.at.Equal(b.at) || b.fresh && !n.fresh {
			return false
		}
	}
	return true
}

func sleep(ctx context.Context, d time.Duration) {
	select {
	case <-time.After(d):
	case <-ctx.Done():
	}
}

// notify has the system tell changes in a folder. Several of them may be one event.
func notify(folder string) (<-chan struct{}, func(), error) {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, nil, err
	}
	if err := w.Add(folder); err != nil {
		return nil, nil, joinClose(err, w)
	}
	events := make(chan struct{}, 1)
	go func() {
		defer close(events)
		for {
			select {
			case e, ok := <-w.Events:
				if !ok {
					return
				}
				if !counts(path.Base(strings.ReplaceAll(e.Name, "\\", "/"))) && e.Name != folder {
					continue
				}
			case _, ok := <-w.Errors:
				if !ok {
					return
				} // more changes at once than it keeps: then the folder is looked at
			}
			select {
			case events <- struct{}{}:
			default: // one is waiting already
			}
		}
	}()
	return events, func() { _ = w.Close() }, nil
}

func joinClose(err error, w *fsnotify.Watcher) error {
	if closing := w.Close(); closing != nil {
		return fmt.Errorf("%w; %w", err, closing)
	}
	return err
}
