// Package lru keeps the values that were used last, up to a bound, so that what
// is costly to make is made once while it is in use.
//
// Start with New. Where a cache is full the least recently used value gives way.
package lru

import (
	"container/list"
	"sync"
)

// A Cache keeps values by their keys. It is safe for concurrent use. The zero
// Cache keeps nothing.
type Cache[K comparable, V any] struct {
	max  int
	cost func(V) int // nil where every value costs 1

	mu    sync.Mutex
	used  int
	stats Stats
	order list.List // of *entry[K, V], the most recently used in front
	at    map[K]*list.Element
}

type entry[K comparable, V any] struct {
	key   K
	value V
	cost  int
}

// New returns a cache of at most max values.
func New[K comparable, V any](max int) *Cache[K, V] { return NewOfCost[K, V](max, nil) }

// NewOfCost returns a cache of values whose costs, such as their sizes in bytes,
// add up to at most max. A value that costs more than max is not kept. The cost
// of a value must not change.
func NewOfCost[K comparable, V any](max int, cost func(V) int) *Cache[K, V] {
	return &Cache[K, V]{max: max, cost: cost, at: map[K]*list.Element{}}
}

// Get returns the value under a key and marks it as used.
func (c *Cache[K, V]) Get(k K) (v V, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.at[k]
	if !ok {
		c.stats.Misses++
		return v, false
	}
	c.stats.Hits++
	c.order.MoveToFront(e)
	return e.Value.(*entry[K, V]).value, true
}

// Add keeps a value and returns the one to use: where the key has a value
// already, as when two callers made it at the same time, that is the first.
func (c *Cache[K, V]) Add(k K, v V) V {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e, ok := c.at[k]; ok {
		c.order.MoveToFront(e)
		return e.Value.(*entry[K, V]).value
	}
	cost := 1
	if c.cost != nil {
		cost = c.cost(v)
	}
	if cost > c.max {
		return v
	}
	c.at[k] = c.order.PushFront(&entry[K, V]{k, v, cost})
	for c.used += cost; c.used > c.max; {
		last := c.order.Remove(c.order.Back()).(*entry[K, V])
		delete(c.at, last.key)
		c.used -= last.cost
	}
	return v
}

// Do returns the value under a key, or else keeps and returns the one that make
// returns. An error of make is returned and not kept. Other keys do not wait for
// make; callers of the same key at the same time may each call it, and all get
// the value that was kept first.
func (c *Cache[K, V]) Do(k K, make func() (V, error)) (V, error) {
	if v, ok := c.Get(k); ok {
		return v, nil
	}
	v, err := make()
	if err != nil {
		return v, err
	}
	return c.Add(k, v), nil
}

// Stats is how a cache was used since it was made.
type Stats struct {
	Hits, Misses int64 // calls of Get and Do that found a value, or none
	Values       int   // that are kept
	Cost         int   // of those
}

// Stats returns how the cache was used.
func (c *Cache[K, V]) Stats() Stats {
	c.mu.Lock()
	defer c.mu.Unlock()
	s := c.stats
	s.Values, s.Cost = len(c.at), c.used
	return s
}

// Len returns the number of values that are kept.
func (c *Cache[K, V]) Len() int {
	c.mu.Lock()
	defer c.mu.Unlock()
	return len(c.at)
}
