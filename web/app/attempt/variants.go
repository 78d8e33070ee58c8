package attempt

import (
	"container/list"
	"sync"

	"shaftbook/exercises"
)

// mostVariants bounds the variants that are kept drawn. One holds the working
// of an exercise, some tens of kilobytes; a class answers the same few for a
// while.
const mostVariants = 256

type variantKey struct {
	exercise *exercises.Exercise
	learner  string
	series   int
}

// A keptVariant is a variant with the lock under which it is used.
type keptVariant struct {
	sync.Mutex
	v *exercises.Variant // nil until it is drawn
}

// variants keeps the variants that were used last.
type variants struct {
	mu    sync.Mutex
	order *list.List // of *variantEntry, the one used last in front
	at    map[variantKey]*list.Element
}

type variantEntry struct {
	key  variantKey
	kept *keptVariant
}

func newVariants() *variants {
	return &variants{order: list.New(), at: map[variantKey]*list.Element{}}
}

// of returns the place of a variant, which may have to be drawn yet.
func (c *variants) of(k variantKey) *keptVariant {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.at[k]; ok {
		c.order.MoveToFront(e)
		return e.Value.(*variantEntry).kept
	}
	entry := &variantEntry{k, &keptVariant{}}
	c.at[k] = c.order.PushFront(entry)
	if c.order.Len() > mostVariants {
		last := c.order.Remove(c.order.Back()).(*variantEntry)
		delete(c.at, last.key)
	}
	return entry.kept
}
