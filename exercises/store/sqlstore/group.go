package sqlstore

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"sync"
	"time"

	"shaftbook/exercises/store"
)

// most is how many writes share a commit at the most. It bounds how long the
// first of them waits for the last.
const most = 64

// moments is how long a batch that follows another waits for company. It is a
// fraction of what a commit waits for the disk.
const moments = 50 * time.Microsecond

// A job is one write on its way through a transaction.
type job struct {
	ctx  context.Context
	work writeFunc
	err  error
	done chan struct{} // closed when the job is over and err is final
}

// A group lets writes that wait for one another share a transaction, and so
// its one wait for the disk. A write that finds no other ahead runs at once, in
// its caller's goroutine: grouping adds no delay.
type group struct {
	store *Store
	conn  connection // belongs to the goroutine that leads

	mu      sync.Mutex
	waiting []*job
	leading bool // a goroutine is running batches
	closed  bool
	over    chan struct{} // closed when the group is closed and no goroutine leads
}

func newGroup(s *Store) *group {
	return &group{store: s, conn: connection{pools: &s.pools}, over: make(chan struct{})}
}

// do runs a work and returns when it is durable.
func (g *group) do(ctx context.Context, w writeFunc) error {
	j := &job{ctx: ctx, work: w, done: make(chan struct{})}
	first, err := g.enter(j)
	if err != nil {
		return err
	}
	if first {
		g.lead()
	}
	select {
	case <-j.done:
		return j.err
	case <-ctx.Done():
		return ctx.Err()
	}
}

// enter adds a job to those that wait. It reports whether the caller has to
// lead.
func (g *group) enter(j *job) (first bool, err error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.closed {
		return false, store.ErrClosed
	}
	g.waiting = append(g.waiting, j)
	first = !g.leading
	g.leading = true
	return first, nil
}

// lead runs one batch. Work that has come meanwhile is led by a goroutine of
// their own, so that the caller's answer is not kept waiting for theirs.
func (g *group) lead() {
	if g.batch() {
		go func() {
			for more := true; more; more = g.batch() {
				g.gather()
			}
		}()
	}
}

// gather waits for as long as others join, and a moment more. Callers that were
// just told often have their next write ready; without the moment they would
// form two halves that wait for each other's commits in turn.
func (g *group) gather() {
	before := 0
	for last := time.Now(); time.Since(last) < moments; runtime.Gosched() {
		g.mu.Lock()
		n := len(g.waiting)
		g.mu.Unlock()
		if n >= most {
			return
		}
		if n > before {
			before, last = n, time.Now()
		}
	}
}

// batch commits what waits and reports whether to lead on: there is more, or more
// than one write was just answered. If not, no goroutine leads any longer.
func (g *group) batch() (more bool) {
	g.mu.Lock()
	n := min(len(g.waiting), most)
	jobs := slices.Clone(g.waiting[:n])
	g.waiting = slices.Delete(g.waiting, 0, n)
	g.mu.Unlock()

	g.commit(jobs)

	g.mu.Lock()
	defer g.mu.Unlock()
	g.leading = len(g.waiting) > 0 || n > 1
	if g.closed && !g.leading {
		close(g.over)
	}
	return g.leading
}

// close runs what was handed over and ends the group.
func (g *group) close() {
	g.mu.Lock()
	g.closed = true
	if !g.leading {
		close(g.over)
	}
	g.mu.Unlock()
	<-g.over
	g.conn.drop()
}

// commit runs a batch and answers each caller. The transaction does not follow
// the context of one caller, since others share it; a caller that has gone by
// now is left out.
func (g *group) commit(batch []*job) {
	live := batch[:0]
	for _, j := range batch {
		if err := j.ctx.Err(); err != nil {
			j.err = err
			close(j.done)
			continue
		}
		live = append(live, j)
	}
	if len(live) == 0 {
		return
	}
	g.run(live)
	for _, j := range live {
		close(j.done)
	}
}

// run leaves in each job what became of it.
func (g *group) run(jobs []*job) {
	err := g.transact(jobs)
	if err == nil {
		return
	}
	var known store.Fault
	if len(jobs) > 1 && !errors.As(err, &known) && g.store.dialect.Fault(err) == "" {
		// The database is well, so one job is at fault. Alone, each gets what is
		// its own.
		for _, j := range jobs {
			g.run([]*job{j})
		}
		return
	}
	for _, j := range jobs {
		j.err = err
	}
}

// transact runs jobs in one transaction. A refusal is left in its job; any other
// error is that of the transaction. What was committed to a file that is no longer
// in its place is an error too: nobody would find it there again.
func (g *group) transact(jobs []*job) (err error) {
	ctx := context.Background()
	defer func(began time.Time) { g.store.ended(began, len(jobs), err) }(time.Now())
	if err := g.store.ensurePlace(ctx, &g.conn); err != nil {
		return err
	}
	tx := &transaction{store: g.store, runner: &g.conn}
	err = g.conn.transact(ctx, func() error {
		for _, j := range jobs {
			if j.err = j.work(ctx, tx); j.err != nil && !refused(j.err) {
				return j.err
			}
		}
		return nil
	})
	if gone := g.store.checkPlace(); gone != nil {
		return errors.Join(gone, err)
	}
	if err == nil {
		g.store.hub.tell(tx.told...)
	}
	return err
}
