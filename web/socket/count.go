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

// Wait waits until all that is running has ended, or ctx has; then it returns ctx's
// error.
func Wait(ctx context.Context, running *sync.WaitGroup) error {
	ended := make(chan struct{})
	go func() {
		running.Wait()
		close(ended)
	}()
	select {
	case <-ended:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
