// Package turns shares out the processors of a server among the people for whom it
// calculates, in short turns, so that nobody's long calculation keeps another
// waiting for more than a few milliseconds.
//
// Start with [NewQueue] and [With], which say whose work a context is; [Do] runs a
// function when its turn comes. A calculation of the kernel that runs under the
// context of Do gives its place up at the end of each turn (package kernel/pause)
// and goes on where it was when the next one comes.
//
// Who is next is decided in three steps:
//
//   - Between shares, which are people, it is the one that has used least. A share
//     that was idle is treated as if it had used a few turns less than the others, so
//     that a small edit does not wait behind long calculations; what it saved up in
//     hours counts no further.
//   - Between the members of a share, which are browsers behind one address that are
//     not known yet, the same.
//   - Between the calculations of one person, which come from several windows, it is
//     the one that has used fewest turns, in steps that grow by four; of those on the
//     same step the one that began first, so that equal ones finish one after the
//     other. Every fourth turn goes to the one that began first of all, whatever it
//     has used, so that none waits for ever.
//
// A function of Do must not wait for another one, for example for a lock that
// another holds while it calculates: take the lock first, and then the turn.
package turns

import (
	"context"
	"errors"
	"math/bits"
	"runtime"
	"slices"
	"sync"
	"time"

	"shaftbook/kernel/pause"
)

const (
	// Work is the counted work of one turn, in the unit of program.Limits.Work; about a
	// millisecond on a computer of 2020, and twice as long on a slow one.
	Work = 1_000_000

	// turnTime ends a turn whose work is slower than it was counted. Nothing that is
	// calculated depends on when a turn ends.
	turnTime = time.Millisecond

	// credit is by how much a share that was idle goes before the others.
	credit = 8 * Work

	// oldestEvery is how often the oldest calculation of a person has a turn.
	oldestEvery = 4

	// mostWaiting bounds the calculations of one member that wait at a time.
	mostWaiting = 100

	waitingAfter = 250 * time.Millisecond // before Task.Waiting is called
	waitingEvery = 500 * time.Millisecond // and again
)

// ErrFull is the error of work for a person for whom a hundred calculations wait
// already.
var ErrFull = errors.New("too many calculations are waiting for this person")

// A Class is what a calculation is for.
type Class int

// The classes. Work of which nobody watches the result come counts as more than it
// is, so that it is done in what the others leave.
const (
	Edit    Class = iota // an edit or a move of a slider
	Answer               // marking an answer, or reading one
	Judge                // judging a derivation
	Page                 // a page, a figure, a file
	Prove                // proving the exercises of a lesson
	Regrade              // judging the answers of a class again
)

// weights is by how much the work of a class counts as more than it is.
var weights = [...]int64{Edit: 1, Answer: 1, Judge: 1, Page: 1, Prove: 4, Regrade: 4}

// A Who is the person for whom something is calculated.
type Who struct {
	Share  string // a person, or an address
	Member string // of the share; empty where the share is one person
}

// A Task is what Queue.Do does and for whom.
type Task struct {
	Who   Who
	Class Class

	// Waiting, if set, is called now and then while the task waits for its turn, from
	// the goroutine that waits.
	Waiting func()
}

func (c Class) String() string {
	return [...]string{Edit: "edit", Answer: "answer", Judge: "judge", Page: "page", Prove: "prove", Regrade: "regrade"}[c]
}

// A Meter is told how long calculations waited for their first turn, and the counted
// work of each turn. It must return at once and is safe for concurrent use.
type Meter interface {
	Waited(class string, wait time.Duration)
	Worked(class string, work int64)
}

// A Queue hands out turns on some number of processors. It is safe for concurrent
// use.
type Queue struct {
	Meter Meter // nil tells nobody; set before the first calculation
	now   func() time.Time

	mu     sync.Mutex
	free   int // places that nobody has
	begun  int64
	ended  int64 // turns, for tests and measurements
	shares group
	placed []*calculation // those that have a place
}

// NewQueue returns a queue for the processors that the program may use.
func NewQueue() *Queue { return newQueue(runtime.GOMAXPROCS(0), time.Now) }

func newQueue(places int, now func() time.Time) *Queue {
	return &Queue{now: now, free: places, shares: newGroup()}
}

// Do calls f when the task's turn comes. The context of f ends with ctx; under it
// calculations give way at the end of each turn. Without a turn, because ctx ends
// before it comes or too many wait, f is not called and the error is the cause or
// ErrFull; else it is f's.
func (q *Queue) Do(ctx context.Context, t Task, f func(ctx context.Context) error) error {
	c := &calculation{queue: q, task: t, ctx: ctx, ready: make(chan struct{}, 1)}
	asked := q.now()
	if err := q.enter(c); err != nil {
		return err
	}
	if q.Meter != nil {
		q.Meter.Waited(t.Class.String(), c.began.Sub(asked))
	}
	defer q.leave(c)
	return f(pause.With(context.WithValue(ctx, insideKey{}, c), c))
}

// Ended returns how many turns have ended.
func (q *Queue) Ended() int64 {
	q.mu.Lock()
	defer q.mu.Unlock()
	return q.ended
}

// Waiting returns how many calculations wait for a turn.
func (q *Queue) Waiting() int {
	q.mu.Lock()
	defer q.mu.Unlock()
	return q.shares.waiting
}

// A calculation is a task that has begun. Its fields up to the blank line are of
// the goroutine that calculates; the others are the queue's.
type calculation struct {
	queue   *Queue
	task    Task
	ctx     context.Context
	ready   chan struct{} // gets a token when the turn comes
	began   time.Time     // of the turn
	work    int64         // of the turn
	timer   *time.Timer
	unwinds bool // its context has ended while it waited
	over    bool // it has finished; what is worked out later under its context does not pause

	member *member
	number int64 // in the order of beginning
	used   int64 // work of all turns
	placed bool  // it has one of the places
}

// enter waits for the first turn.
func (q *Queue) enter(c *calculation) error {
	q.mu.Lock()
	s := q.shares.get(c.task.Who.Share)
	m := s.members.get(c.task.Who.Member)
	if len(m.tasks) >= mostWaiting {
		q.mu.Unlock()
		return ErrFull
	}
	q.begun++
	c.member, c.number = m, q.begun
	least, ok := q.least(nil)
	q.shares.begin(s, least, ok)
	least, ok = q.least(s)
	s.members.begin(m, least, ok)
	if q.free > 0 { // then nobody waits
		q.free--
		q.place(c)
		q.mu.Unlock()
		c.began = q.now()
		return nil
	}
	q.put(c)
	q.mu.Unlock()
	if !c.wait() {
		q.mu.Lock()
		defer q.mu.Unlock()
		q.finish(c)
		return context.Cause(c.ctx)
	}
	return nil
}

// Here counts work and ends the turn when it has lasted long enough. It implements
// pause.Point.
func (c *calculation) Here(work int64) {
	if c.over {
		return
	}
	c.work += work
	if c.work < Work && c.queue.now().Sub(c.began) < turnTime {
		return
	}
	c.endTurn()
}

// endTurn lets whoever is next have the place. It returns when the turn comes
// again, or the context has ended: then without a place, so that what was given up
// unwinds at once. What goes on all the same, for example with a long text that has to
// be read to its end, waits for places again when it has had one turn without.
func (c *calculation) endTurn() {
	readNetwork()
	q := c.queue
	q.mu.Lock()
	q.charge(c)
	if !c.placed {
		if q.free > 0 { // then nobody waits
			q.free--
			q.place(c)
			q.mu.Unlock()
			return
		}
		q.put(c)
		q.mu.Unlock()
		c.wait()
		return
	}
	if q.shares.waiting == 0 {
		q.mu.Unlock()
		return
	}
	q.put(c)
	next := q.take()
	if next == c {
		q.mu.Unlock()
		return
	}
	q.unplace(c)
	q.start(next)
	q.mu.Unlock()
	c.wait()
}

// place notes that a calculation has one of the places, and unplace that it has none.
func (q *Queue) place(c *calculation) {
	c.placed = true
	q.placed = append(q.placed, c)
}

func (q *Queue) unplace(c *calculation) {
	c.placed = false
	i := slices.Index(q.placed, c)
	q.placed = slices.Delete(q.placed, i, i+1)
}

// least returns what that member of a share has used that has used least, of those
// that calculate or wait; with a nil share what that share has. There may be none.
func (q *Queue) least(share *member) (used int64, ok bool) {
	g := &q.shares
	if share != nil {
		g = &share.members
	}
	if len(g.heap) > 0 {
		used, ok = g.heap[0].used, true
	}
	for _, c := range q.placed {
		m := c.member.parent
		if share != nil {
			m = c.member
			if m.parent != share {
				continue
			}
		}
		if !ok || m.used < used {
			used, ok = m.used, true
		}
	}
	return used, ok
}

// wait waits for the turn and reports whether it came before the context ended. It
// waits through the end of the context if it has found that before.
func (c *calculation) wait() bool {
	ended := c.ctx.Done()
	if c.unwinds {
		ended = nil
	}
	var look <-chan time.Time
	if c.task.Waiting != nil && !c.unwinds {
		if c.timer == nil {
			c.timer = time.NewTimer(waitingAfter)
		} else {
			c.timer.Reset(waitingAfter)
		}
		defer c.timer.Stop()
		look = c.timer.C
	}
	for {
		select {
		case <-c.ready:
			c.began = c.queue.now()
			return true
		case <-look:
			c.task.Waiting()
			c.timer.Reset(waitingEvery)
		case <-ended:
			c.unwinds = true
			q := c.queue
			q.mu.Lock()
			defer q.mu.Unlock()
			if c.placed { // the turn came at the same time
				<-c.ready
				c.began = q.now()
				return true
			}
			q.remove(c)
			c.began = q.now()
			return false
		}
	}
}

// leave ends the last turn of a calculation.
func (q *Queue) leave(c *calculation) {
	q.mu.Lock()
	defer q.mu.Unlock()
	c.over = true
	q.charge(c)
	if c.placed {
		q.unplace(c)
		if q.shares.waiting > 0 {
			q.start(q.take())
		} else {
			q.free++
		}
	}
	q.finish(c)
}

// charge books the turn that ends on its person.
func (q *Queue) charge(c *calculation) {
	now := q.now()
	if q.Meter != nil {
		q.Meter.Worked(c.task.Class.String(), c.work)
	}
	cost := max(c.work, int64(now.Sub(c.began)))
	c.began, c.work = now, 0
	c.used += cost
	if cost > 0 {
		q.ended++
	}
	m := c.member
	m.parent.members.use(m, cost*weights[c.task.Class])
	q.shares.use(m.parent, cost*weights[c.task.Class])
}

// put lets a calculation wait.
func (q *Queue) put(c *calculation) {
	m := c.member
	m.tasks = append(m.tasks, c)
	m.parent.members.wait(m, 1)
	q.shares.wait(m.parent, 1)
}

// remove takes out a calculation that waits.
func (q *Queue) remove(c *calculation) {
	m := c.member
	i := slices.Index(m.tasks, c)
	m.tasks = slices.Delete(m.tasks, i, i+1)
	m.parent.members.wait(m, -1)
	q.shares.wait(m.parent, -1)
}

// take takes out the calculation that is next. At least one must wait.
func (q *Queue) take() *calculation {
	s := q.shares.next()
	m := s.members.next()
	c := m.next()
	q.remove(c)
	return c
}

// start gives a place to a calculation that waited.
func (q *Queue) start(c *calculation) {
	q.place(c)
	c.ready <- struct{}{}
}

// finish forgets a calculation.
func (q *Queue) finish(c *calculation) {
	s := c.member.parent
	s.members.end(c.member)
	q.shares.end(s)
}

// next returns the waiting calculation of a person that is next.
func (m *member) next() *calculation {
	m.turns++
	oldest := m.turns%oldestEvery == 0
	best := m.tasks[0]
	for _, c := range m.tasks[1:] {
		if a, b := c.step(), best.step(); !oldest && a != b {
			if a < b {
				best = c
			}
		} else if c.number < best.number {
			best = c
		}
	}
	return best
}

// step returns how long a calculation has gone on: 0 in its first turn, 1 in the
// three that follow, 2 in the twelve after them and so on. Work of which nobody
// watches the result come begins further down.
func (c *calculation) step() int {
	step := (bits.Len64(uint64(c.used/Work)) + 1) / 2
	if weights[c.task.Class] > 1 {
		step += 3
	}
	return step
}
