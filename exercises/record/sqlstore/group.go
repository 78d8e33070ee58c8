package sqlstore

import (
	"context"
	"runtime"
	"sync"

	"shaftbook/exercises/record"
)

// most is how many writes share a commit at the most. It bounds how long the
// first of them waits for the last.
const most = 64

// A job is one learner's write on its way through a transaction.
type job struct {
	ctx     context.Context
	learner string
	work    work
	err     error
	done    chan struct{} // closed when the job is over and err is final
}

// A group lets writes that wait for one another share a transaction, and so
// its one wait for the disk. A write that finds nobody waiting is committed at
// once: grouping adds no delay.
type group struct {
	store *Store
	jobs  chan *job
	over  chan struct{} // closed when the loop has ended

	mu     sync.RWMutex // held for reading while a job is handed over
	closed bool
}

func newGroup(s *Store) *group {
	g := &group{store: s, jobs: make(chan *job, most), over: make(chan struct{})}
	go g.loop()
	return g
}

// do runs a work and returns when it is durable.
func (g *group) do(ctx context.Context, learner string, w work) error {
	j := &job{ctx: ctx, learner: learner, work: w, done: make(chan struct{})}
	if err := g.hand(j); err != nil {
		return err
	}
	select {
	case <-j.done:
		return j.err
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (g *group) hand(j *job) error {
	g.mu.RLock()
	defer g.mu.RUnlock()
	if g.closed {
		return record.ErrClosed
	}
	select {
	case g.jobs <- j:
		return nil
	case <-j.ctx.Done():
		return j.ctx.Err()
	}
}

// close runs what was handed over and ends the loop.
func (g *group) close() {
	g.mu.Lock()
	g.closed = true
	close(g.jobs)
	g.mu.Unlock()
	<-g.over
}

func (g *group) loop() {
	defer close(g.over)
	batch := make([]*job, 0, most)
	for first := range g.jobs {
		batch = g.gather(append(batch[:0], first))
		g.commit(batch)
	}
}

// gather adds the jobs that are waiting. Those whose callers have just been
// told of the last commit get one turn of the processor to send the next.
func (g *group) gather(batch []*job) []*job {
	runtime.Gosched()
	for len(batch) < most {
		select {
		case j, open := <-g.jobs:
			if !open {
				return batch
			}
			batch = append(batch, j)
		default:
			return batch
		}
	}
	return batch
}

// commit runs a batch and tells each caller. The transaction does not follow
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
	err := g.store.transact(context.Background(), jobs)
	if err == nil || len(jobs) == 1 {
		if err != nil {
			jobs[0].err = err
		}
		return
	}
	if g.store.dialect.Fault(err) == "" {
		// The database is well, so one job is at fault. Alone, each gets what
		// is its own.
		for _, j := range jobs {
			j.err = g.store.transact(context.Background(), []*job{j})
		}
		return
	}
	for _, j := range jobs {
		j.err = err
	}
}
