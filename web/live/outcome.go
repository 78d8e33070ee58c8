package live

import (
	"context"
	"sync"
	"time"

	"shaftbook/kernel"
)

const (
	outcomeBytes = 16 << 20 // of rows in outcomes that are kept
	outcomesKept = 1 << 14

	// flightWait is how long a session waits for what another one is evaluating before
	// it evaluates the same itself: the other one may have less of the processors.
	flightWait = 250 * time.Millisecond
)

// A row is the result of one statement as it is sent, whatever the revision. It never
// changes, and sessions in the same state share it.
type row struct {
	key    string // in an outbox
	tail   []byte // of the message, after the revision
	print  uint64 // of all that the page shows of it, never 0
	resend bool   // it is sent whenever its cell's text changes: for its slider, or the places in it of messages and of changes that are offered
	late   bool   // it depends on what the working had evaluated before, so it is not for others

	kept int // outcomes that are kept and have it; of the collection
}

// An outcome is all rows of a lesson in a state. It never changes.
type outcome struct {
	cells   [][]*row // in the order of the lesson's cells; nil instead of a row that the page lacks
	moved   []kernel.Moved
	sliders map[string]kernel.SliderPlace // by the names that can be varied

	added int // bytes by which what is kept grew with it; of the collection
}

// outcomes keeps outcomes by what they are of, so that a class that looks at the same
// thing has it evaluated once. Those that were used least recently give way, in steps: when
// half of the room is taken, or a minute has gone by, what is kept becomes old, and
// what was old and has not been used since is let go. It is safe for concurrent use.
type outcomes struct {
	mu         sync.Mutex
	young, old map[stateKey]*outcome
	bytes      int // of both
	youngBytes int // of what became young, each as it was when it was added
	grown      time.Time
	flights    map[stateKey]*flight
	made       int64 // flights that have begun, for tests and measurements
}

// A flight is an evaluation that others may wait for.
type flight struct {
	key   stateKey
	ended chan struct{}
}

// get returns an outcome that is kept, or nil.
func (c *outcomes) get(key stateKey) *outcome {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.find(key)
}

func (c *outcomes) find(key stateKey) *outcome {
	if o, ok := c.young[key]; ok {
		return o
	}
	o, ok := c.old[key]
	if !ok {
		return nil
	}
	delete(c.old, key)
	c.put(key, o)
	return o
}

// look returns an outcome that is kept, or else the flight of it, or neither.
func (c *outcomes) look(key stateKey) (*outcome, *flight) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if o := c.find(key); o != nil {
		return o, nil
	}
	return nil, c.flights[key]
}

// flying returns the flight of a key, or nil.
func (c *outcomes) flying(key stateKey) *flight {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.flights[key]
}

// begin begins the flight of a key, or returns the one that has begun already. Whoever
// began it must call end.
func (c *outcomes) begin(key stateKey) (f *flight, mine bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if f, ok := c.flights[key]; ok {
		return f, false
	}
	if c.flights == nil {
		c.flights = map[stateKey]*flight{}
	}
	f = &flight{key, make(chan struct{})}
	c.flights[key] = f
	c.made++
	return f, true
}

// end ends a flight; o is nil if nothing came of it that others may have.
func (c *outcomes) end(f *flight, o *outcome) {
	if o != nil {
		c.add(f.key, o)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	delete(c.flights, f.key)
	close(f.ended)
}

// wait waits until the flight has ended, and reports whether it has within a time.
func (f *flight) wait(ctx context.Context, most time.Duration) (ended bool) {
	late := time.NewTimer(most)
	defer late.Stop()
	select {
	case <-f.ended:
		return true
	case <-ctx.Done():
		return true
	case <-late.C:
		return false
	}
}

// add keeps an outcome.
func (c *outcomes) add(key stateKey, o *outcome) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.find(key) != nil {
		return
	}
	before := c.bytes
	c.hold(o, 1)
	o.added = max(o.added, c.bytes-before)
	c.put(key, o)
}

// put makes an outcome young.
func (c *outcomes) put(key stateKey, o *outcome) {
	if c.young == nil {
		c.young = map[stateKey]*outcome{}
	}
	c.young[key] = o
	c.youngBytes += o.added
	if c.youngBytes > outcomeBytes/2 || len(c.young) > outcomesKept/2 {
		c.grow(time.Now())
	}
	for c.bytes > outcomeBytes {
		c.grow(time.Now()) // the second time nothing is left
	}
}

// grow lets go of what is old, and makes the rest so.
func (c *outcomes) grow(now time.Time) {
	for _, o := range c.old {
		c.hold(o, -1)
	}
	c.old, c.young, c.youngBytes, c.grown = c.young, nil, 0, now
}

// age is to be called now and then. It reports whether anything is left.
func (c *outcomes) age(now time.Time) (left bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if now.Sub(c.grown) >= idleWorking/2 {
		c.grow(now)
	}
	return len(c.young)+len(c.old) > 0
}

// hold counts the bytes of an outcome that is kept (1) or let go (-1); a row that
// several have counts once.
func (c *outcomes) hold(o *outcome, by int) {
	c.bytes += by * o.ownSize()
	for _, cell := range o.cells {
		for _, r := range cell {
			if r == nil {
				continue
			}
			if before := r.kept; before == 0 || before+by == 0 {
				c.bytes += by * r.size()
			}
			r.kept += by
		}
	}
}

func (r *row) size() int { return len(r.tail) + len(r.key) + 100 }

// ownSize is about what an outcome takes beside its rows.
func (o *outcome) ownSize() int {
	n := 400 + 60*len(o.moved) // and its key
	for _, cell := range o.cells {
		n += 24 + 8*len(cell)
	}
	return n
}
