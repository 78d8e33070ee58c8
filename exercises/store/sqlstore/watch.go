package sqlstore

import (
	"context"
	"slices"
	"strings"
	"sync"

	"shaftbook/exercises/store"
)

// tell notifies watchers that something was kept in an assignment, once it is
// committed. It is the last thing a work does. Lessons that are read freely have
// no watcher.
func (t *transaction) tell(ctx context.Context, lesson string) error {
	if !strings.Contains(lesson, "~") {
		return nil
	}
	if t.store.dialect.Notify != "" {
		return t.exec(ctx, t.store.dialect.Notify, lesson)
	}
	t.told = append(t.told, lesson)
	return nil
}

// Tell implements contract.School.
func (s *Store) Tell(ctx context.Context, name string) error {
	if s.closed.Load() {
		return store.ErrClosed
	}
	if s.dialect.Notify == "" {
		s.hub.tell(name)
		return nil
	}
	return s.fault(s.persist(ctx, func() (again bool, err error) {
		_, err = s.pools.Load().Write.ExecContext(ctx, s.dialect.Notify, name)
		return true, err
	}))
}

// Watch implements contract.School.
func (s *Store) Watch(ctx context.Context) (<-chan string, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return s.hub.watch(ctx, s.dialect.Listen)
}

// A hub passes names of lessons on to those who watch.
type hub struct {
	life context.Context // ends with the store
	end  context.CancelFunc

	mu       sync.Mutex
	watchers map[*watcher]bool
	hearing  bool // names come from the database
	all      sync.WaitGroup
}

func newHub() *hub {
	h := &hub{watchers: make(map[*watcher]bool)}
	h.life, h.end = context.WithCancel(context.Background())
	return h
}

// watch adds a watcher. The first one starts listening to a database that notifies.
func (h *hub) watch(ctx context.Context, listen func(context.Context, func(string))) (<-chan string, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.life.Err() != nil {
		return nil, store.ErrClosed
	}
	w := &watcher{wake: make(chan struct{}, 1)}
	h.watchers[w] = true
	if listen != nil && !h.hearing {
		h.hearing = true
		h.all.Go(func() { listen(h.life, func(lesson string) { h.tell(lesson) }) })
	}
	names := make(chan string)
	h.all.Go(func() {
		w.pass(ctx, h.life, names)
		h.mu.Lock()
		delete(h.watchers, w)
		h.mu.Unlock()
		close(names)
	})
	return names, nil
}

func (h *hub) tell(lessons ...string) {
	if len(lessons) == 0 {
		return
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	for w := range h.watchers {
		w.add(lessons)
	}
}

// close ends all watching and waits until it has ended.
func (h *hub) close() {
	h.mu.Lock()
	h.end()
	h.mu.Unlock()
	h.all.Wait()
}

// behind is how many names wait for a watcher before it must look at
// everything.
const behind = 256

// A watcher is the names that one who watches has still to be told.
type watcher struct {
	mu      sync.Mutex
	pending []string
	wake    chan struct{}
}

// add never waits for the one who watches. A name that waits already is enough.
func (w *watcher) add(lessons []string) {
	w.mu.Lock()
	for _, lesson := range lessons {
		switch {
		case slices.Contains(w.pending, lesson):
		case len(w.pending) >= behind:
			w.pending = []string{""}
		default:
			w.pending = append(w.pending, lesson)
		}
	}
	w.mu.Unlock()
	select {
	case w.wake <- struct{}{}:
	default:
	}
}

func (w *watcher) next() (lesson string, there bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if len(w.pending) == 0 {
		return "", false
	}
	lesson = w.pending[0]
	w.pending = w.pending[1:]
	return lesson, true
}

// pass hands names over until a context ends.
func (w *watcher) pass(ctx, life context.Context, names chan<- string) {
	for {
		lesson, there := w.next()
		if !there {
			select {
			case <-w.wake:
				continue
			case <-ctx.Done():
				return
			case <-life.Done():
				return
			}
		}
		select {
		case names <- lesson:
		case <-ctx.Done():
			return
		case <-life.Done():
			return
		}
	}
}
