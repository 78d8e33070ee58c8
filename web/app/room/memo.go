package room

import (
	"sync"

	"shaftbook/kernel/source"
)

// mostKept bounds what one memo holds: the answers of some hundred classes.
const mostKept = 1 << 15

// A memoKey names an answer, or a learner, at an exercise as it is written.
type memoKey struct {
	exercise *source.Text
	learner  string
	part     string
	said     string // the answer or the guess
}

// A memo remembers what was worked out from a student's numbers, which never
// change while the text of the exercise is the same. The zero value is empty.
type memo[V any] struct {
	mu   sync.Mutex
	kept map[memoKey]V
}

// of returns what is kept under a key, or what work returns. What it could not
// work out is asked for again.
func (m *memo[V]) of(k memoKey, work func() (V, error)) (V, error) {
	m.mu.Lock()
	v, ok := m.kept[k]
	m.mu.Unlock()
	if ok {
		return v, nil
	}
	v, err := work()
	if err != nil {
		return v, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.kept == nil || len(m.kept) >= mostKept {
		m.kept = map[memoKey]V{}
	}
	m.kept[k] = v
	return v, nil
}
