package attempt

import (
	"sync"

	"shaftbook/exercises"
)

// mostStructures bounds what is remembered: some hundred classes.
const mostStructures = 1 << 15

// structures remember in which way an exercise is set for whom, which never
// changes while its text is the same. The zero value is empty.
type structures struct {
	mu   sync.Mutex
	kept map[variantKey]*exercises.Structure
}

func (s *structures) of(k variantKey) (*exercises.Structure, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	found, ok := s.kept[k]
	return found, ok
}

func (s *structures) keep(k variantKey, found *exercises.Structure) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.kept == nil || len(s.kept) >= mostStructures {
		s.kept = map[variantKey]*exercises.Structure{}
	}
	s.kept[k] = found
}
