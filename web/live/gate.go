package live

import (
	"context"
	"runtime"
	"slices"
	"sync"

	"shaftbook/kernel/pause"
	"shaftbook/web/turns"
)

// openingWork is what the first evaluation of a page costs at most while others wait
// for it to end, in the unit of package pause.
const openingWork = 20 * turns.Work

// A gate lets the first evaluations of pages through one after another. A class that
// comes back all at once after the server was away would otherwise have all of them
// begun, and none finished before the last. Whatever costs much goes on beside the
// others. Of the places in the gate one share has half at most. Its zero value is not
// usable; make one with newGate.
type gate struct {
	mu      sync.Mutex
	free    int
	each    int            // places of one share at most
	held    map[string]int // places, by share
	waiting []*opening     // in the order of coming
	most    int            // that were let through at the same time, for tests
}

// An opening is one evaluation that goes through the gate.
type opening struct {
	gate  *gate
	share string
	left  int64 // work before it makes room for others
	outer pause.Point
	ready chan struct{} // closed when it may go through
	in    bool
}

func newGate() *gate {
	each := runtime.GOMAXPROCS(0)
	return &gate{free: 2 * each, each: each, held: map[string]int{}}
}

// enter waits for a place. Unless ctx ends first, leave must be called.
func (g *gate) enter(ctx context.Context, share string) (*opening, error) {
	o := &opening{gate: g, share: share, left: openingWork, ready: make(chan struct{})}
	g.mu.Lock()
	g.waiting = append(g.waiting, o)
	g.admit()
	g.mu.Unlock()
	select {
	case <-o.ready:
		return o, nil
	case <-ctx.Done():
		o.leave()
		return nil, context.Cause(ctx)
	}
}

// admit lets through whoever may. The caller holds mu.
func (g *gate) admit() {
	for i := 0; i < len(g.waiting) && g.free > 0; {
		o := g.waiting[i]
		if g.held[o.share] >= g.each {
			i++
			continue
		}
		g.waiting = slices.Delete(g.waiting, i, i+1)
		g.free--
		g.held[o.share]++
		o.in = true
		g.most = max(g.most, 2*g.each-g.free)
		close(o.ready)
	}
}

// leave makes room for others; a second time it does nothing.
func (o *opening) leave() {
	if o == nil {
		return
	}
	g := o.gate
	g.mu.Lock()
	defer g.mu.Unlock()
	if !o.in {
		g.waiting = slices.DeleteFunc(g.waiting, func(w *opening) bool { return w == o })
		return
	}
	o.in = false
	g.free++
	if g.held[o.share]--; g.held[o.share] == 0 {
		delete(g.held, o.share)
	}
	g.admit()
}

// counting returns a context whose calculations leave the gate when they have cost
// much.
func (o *opening) counting(ctx context.Context) context.Context {
	if o == nil {
		return ctx
	}
	o.outer = pause.From(ctx)
	return pause.With(ctx, o)
}

// Here implements pause.Point.
func (o *opening) Here(work int64) {
	if o.left > 0 {
		if o.left -= work; o.left <= 0 {
			o.leave()
		}
	}
	if o.outer != nil {
		o.outer.Here(work)
	}
}
