package live

import (
	"sync"
	"time"
)

// A keeper calls Hub.age now and then while anything is kept, whether or not a session
// is open.
type keeper struct {
	after func(time.Duration, func()) stopper // time.AfterFunc; tests have their own

	mu    sync.Mutex
	timer stopper // nil while nothing is kept
	ended bool
}

// A stopper is what a timer can do.
type stopper interface{ Stop() bool }

// tend sees that what is kept is let go when it has not been used for a while.
func (h *Hub) tend() {
	k := &h.keeper
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.timer == nil && !k.ended {
		k.timer = k.after(idleWorking/2, h.age)
	}
}

// age lets go of what has not been used for a while.
func (h *Hub) age() {
	k := &h.keeper
	k.mu.Lock()
	k.timer = nil // what is kept from here on begins anew
	k.mu.Unlock()
	now := h.now()
	outcomes, benches := h.outcomes.age(now), h.benches.age(now)
	if outcomes || benches {
		h.tend()
	}
}

func (k *keeper) end() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.ended = true
	if k.timer != nil {
		k.timer.Stop()
	}
}
