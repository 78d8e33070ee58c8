package attempt

import (
	"sync"

	"shaftbook/exercises"
	"shaftbook/kernel/source"
)

// mostRead bounds the exercises that are kept read. A shelf has some dozens; an
// assigned lesson that is made again brings its texts anew.
const mostRead = 1024

// readings remember the exercises of cells by their texts. The zero value is
// empty.
type readings struct {
	mu sync.Mutex
	of map[*source.Text]*exercises.Exercise
}

func (r *readings) find(t *source.Text) (*exercises.Exercise, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	e, ok := r.of[t]
	return e, ok
}

// keep keeps an exercise and returns the one that stands for the text: of two
// that were read at the same time the first, so that variants are drawn once.
func (r *readings) keep(t *source.Text, e *exercises.Exercise) *exercises.Exercise {
	r.mu.Lock()
	defer r.mu.Unlock()
	if first, ok := r.of[t]; ok {
		return first
	}
	if r.of == nil || len(r.of) >= mostRead {
		r.of = map[*source.Text]*exercises.Exercise{}
	}
	r.of[t] = e
	return e
}
