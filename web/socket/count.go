package socket

import (
	"context"
	"sync"
)

// A Limit bounds the open sockets that are counted under a key.
type Limit struct {
	Key  string
	Most int
}

// A Count counts open sockets by keys, such as a person or an address. Its zero
// value has none. It is safe for concurrent use.
type Count struct {
	mu   sync.Mutex
	open map[string]int
}

// Enter counts a socket in under each of some keys, if none of them is full: then
// it counts nothing and returns the first of those that are.
func (c *Count) Enter(limits ...Limit) (full string, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, l := range limits {
		if c.open[l.Key] >= l.Most {
			return l.Key, false
		}
	}
	if c.open == nil {
		c.open = map[string]int{}
	}
	for _, l := range limits {
		c.open[l.Key]++
	}
	return "", true
}

// Leave counts out what Enter counted in.
func (c *Count) Leave(limits ...Limit) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, l := range limits {
		if c.open[l.Key]--; c.open[l.Key] <= 0 {
			delete(c.open, l.Key)
		}
	}
}

// Running counts what has begun and not ended. Its zero value has nothing. Unlike a
// sync.WaitGroup it can be waited for until a context ends, and knows at once that
// nothing runs.
type Running struct {
	mu    sync.Mutex
	count int
	ended chan struct{} // closed when nothing runs any more; nil while nobody waits
}

// Add counts n more.
func (r *Running) Add(n int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.count += n
}

// Done counts one less.
func (r *Running) Done() {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.count--; r.count == 0 && r.ended != nil {
		close(r.ended)
		r.ended = nil
	}
}

// Wait waits until all that is running has ended, or ctx has; then it returns ctx's
// error. When nothing runs it returns nil, also when ctx has ended.
func (r *Running) Wait(ctx context.Context) error {
	r.mu.Lock()
	if r.count == 0 {
		r.mu.Unlock()
		return nil
	}
	if r.ended == nil {
		r.ended = make(chan struct{})
	}
	ended := r.ended
	r.mu.Unlock()
	select {
	case <-ended:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
