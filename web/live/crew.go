package live

import "sync/atomic"

// mostIdle is how many goroutines a crew keeps that have nothing to do.
const mostIdle = 4

// A crew runs functions, each on a goroutine of its own while it lasts. It uses
// goroutines again: one that has evaluated has the stack for it, which a new one would
// grow in steps, and copy at each.
type crew struct {
	next  chan func()
	idle  atomic.Int64
	ended chan struct{}
}

func newCrew() *crew { return &crew{next: make(chan func()), ended: make(chan struct{})} }

// run begins f and returns at once.
func (c *crew) run(f func()) {
	select {
	case c.next <- f: // to one that has nothing to do
	default:
		go c.work(f)
	}
}

func (c *crew) work(f func()) {
	for {
		f()
		if c.idle.Add(1) > mostIdle {
			c.idle.Add(-1)
			return
		}
		select {
		case f = <-c.next:
			c.idle.Add(-1)
		case <-c.ended:
			return
		}
	}
}

// end lets go of those that have nothing to do. What runs goes on, and so may run.
func (c *crew) end() { close(c.ended) }
