package throttle

import (
	"context"
	"slices"
	"sync"

	"shaftbook/exercises/store"
)

// A Memory keeps the levels of a bounded number of keys, as long as the server runs.
type Memory struct {
	limit int
	mu    sync.Mutex
	of    map[string]store.Level
}

// NewMemory returns a Memory for so many keys.
func NewMemory(limit int) *Memory { return &Memory{limit: limit, of: map[string]store.Level{}} }

// Level implements Keeper. It has no error.
func (m *Memory) Level(_ context.Context, key string, next func(store.Level) store.Level) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	was, known := m.of[key]
	l := next(was)
	switch {
	case l == store.Level{}:
		delete(m.of, key)
	case l != was:
		if !known && len(m.of) >= m.limit {
			m.makeRoom()
		}
		m.of[key] = l
	}
	return nil
}

// makeRoom drops a quarter of the keys: those that are gone soonest. The person who
// fills the table with names that do not exist so cannot push out the one that is tried
// again and again.
func (m *Memory) makeRoom() {
	gone := make([]int64, 0, len(m.of))
	for _, l := range m.of {
		gone = append(gone, l.Gone.UnixNano())
	}
	slices.Sort(gone)
	bound, left := gone[len(gone)/4], len(gone)/4+1
	for key, l := range m.of {
		if l.Gone.UnixNano() <= bound && left > 0 {
			delete(m.of, key)
			left--
		}
	}
}
