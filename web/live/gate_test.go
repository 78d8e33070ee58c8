package live

import (
	"context"
	"fmt"
	"sync"
	"testing"
)

// A herd goes through the gate a few at a time, no share has more than half of the
// places, and what costs much makes room.
func TestGate(t *testing.T) {
	g := newGate()
	var all sync.WaitGroup
	for i := range 200 {
		all.Add(1)
		go func() {
			defer all.Done()
			o, err := g.enter(t.Context(), fmt.Sprint("share ", i%3))
			if err != nil {
				t.Error(err)
				return
			}
			g.mu.Lock()
			for share, n := range g.held {
				if n > g.each {
					t.Errorf("%s has %d of %d places", share, n, 2*g.each)
				}
			}
			g.mu.Unlock()
			if i%5 == 0 {
				o.Here(openingWork)
			}
			o.leave()
			o.leave()
		}()
	}
	all.Wait()
	if g.most > 2*g.each || g.free != 2*g.each || len(g.held) > 0 || len(g.waiting) > 0 {
		t.Errorf("%d were let through at a time, want %d; in the end %d places are free", g.most, 2*g.each, g.free)
	}

	var in []*opening
	for range g.each {
		o, err := g.enter(t.Context(), "one")
		if err != nil {
			t.Fatal(err)
		}
		in = append(in, o)
	}
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := g.enter(ended, "one"); err == nil {
		t.Error("a share has more than half of the places")
	}
	if o, err := g.enter(t.Context(), "another"); err != nil {
		t.Error("another share has no place")
	} else {
		o.leave()
	}
	in[0].Here(openingWork - 1)
	if g.held["one"] != g.each {
		t.Error("an evaluation makes room before it has cost much")
	}
	in[0].Here(1)
	if g.held["one"] != g.each-1 {
		t.Error("an evaluation that has cost much makes no room")
	}
}
