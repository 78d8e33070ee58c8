package turns

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"shaftbook/kernel/pause"
)

// room is a queue with one place and a clock that stands still, so that turns are
// counted by their work alone and what happens is the same each time.
type room struct {
	*testing.T
	*Queue
	group sync.WaitGroup

	starting sync.Mutex // one begins after the other, so that each is known to be in the queue

	mu    sync.Mutex
	turns []string // whose they were
	ends  []string // who has finished, in order
}

func newRoom(t *testing.T) *room {
	r := &room{T: t, Queue: newQueue(1, func() time.Time { return time.Time{} })}
	t.Cleanup(r.group.Wait)
	return r
}

// begin starts a calculation of some turns and returns when it waits, or has the
// place. during is called in each of its turns.
func (r *room) begin(name string, task Task, turns int, during func(turn int)) {
	r.Helper()
	r.starting.Lock()
	defer r.starting.Unlock()
	before := r.begunCount()
	r.group.Go(func() {
		err := r.Do(context.Background(), task, func(ctx context.Context) error {
			for i := range turns {
				r.mu.Lock()
				r.turns = append(r.turns, name)
				r.mu.Unlock()
				if during != nil {
					during(i)
				}
				pause.Here(ctx, Work)
			}
			// Noted while it has the place: after Do another goroutine may be quicker.
			r.mu.Lock()
			r.ends = append(r.ends, name)
			r.mu.Unlock()
			return nil
		})
		if err != nil {
			r.Errorf("%s: %v", name, err)
		}
	})
	for r.begunCount() == before {
		runtime.Gosched()
	}
}

func (r *room) begunCount() int64 {
	r.Queue.mu.Lock()
	defer r.Queue.mu.Unlock()
	return r.begun
}

// count returns how many turns each name had among the first n.
func (r *room) count(n int) map[string]int {
	r.mu.Lock()
	defer r.mu.Unlock()
	had := map[string]int{}
	for _, name := range r.turns[:n] {
		had[name]++
	}
	return had
}

func person(name string) Who { return Who{Share: name} }

// The bar of the package: however many long calculations a person has, an edit of
// somebody else waits for the turn that is going on and no longer, and the long ones
// finish one after the other.
func TestOthersWaitForOneTurn(t *testing.T) {
	r := newRoom(t)
	const windows, long = 12, 600
	edits, waits := 0, false // of the goroutine that has the place
	during := func(turn int) {
		if turn%29 != 0 || waits {
			return
		}
		edits++
		waits = true
		name := fmt.Sprintf("edit %d", edits)
		from := r.Ended()
		r.begin(name, Task{Who: person("learner"), Class: Edit}, 1, func(int) {
			if waited := r.Ended() - from; waited > 1 {
				t.Errorf("%s waited for %d turns, want at most the one that was going on", name, waited)
			}
			waits = false
		})
	}
	for i := range windows {
		r.begin(fmt.Sprintf("window %02d", i), Task{Who: person("busy"), Class: Edit}, long, during)
	}
	r.group.Wait()
	var finished []string
	last := map[string]int{}
	for i, name := range r.turns {
		last[name] = i
	}
	for _, name := range r.ends {
		if name < "f" { // an edit
			continue
		}
		finished = append(finished, name)
	}
	if len(finished) != windows || !slices.IsSorted(finished) {
		t.Errorf("the windows finished in the order %v, want that in which they began", finished)
	}
	for i := 1; i < windows; i++ {
		if apart := last[finished[i]] - last[finished[i-1]]; apart < long/8 {
			t.Errorf("%s finished only %d turns after %s: all are dragged out to the end", finished[i], apart, finished[i-1])
		}
	}
	if edits < windows*long/60 {
		t.Errorf("only %d edits", edits)
	}
}

// An edit of a few turns is not interrupted either.
func TestAShortEditGoesThrough(t *testing.T) {
	r := newRoom(t)
	r.begin("busy", Task{Who: person("busy")}, 30, func(turn int) {
		if turn == 10 {
			r.begin("edit", Task{Who: person("learner")}, 4, nil)
		}
	})
	r.group.Wait()
	first := slices.Index(r.turns, "edit")
	if got := r.turns[first : first+4]; first != 11 || slices.Contains(got, "busy") {
		t.Errorf("turns from %d on: %v, want all of the edit after turn 10", first, got)
	}
}

// Who uses much gets no more than another who does, however many windows there are.
func TestPeopleHaveEqualShares(t *testing.T) {
	r := newRoom(t)
	for i := range 11 {
		r.begin("many", Task{Who: person("many")}, 200, func(turn int) {
			if i == 0 && turn == 0 {
				for range 3 {
					r.begin("few", Task{Who: person("few")}, 200, nil)
				}
			}
		})
	}
	r.group.Wait()
	if had := r.count(1000); had["few"] < 490 || had["few"] > 510 {
		t.Errorf("of 1000 turns %v, want half each", had)
	}
}

// Browsers that are not known yet share what one known person has, and share it
// equally.
func TestNewBrowsersOfAnAddressShare(t *testing.T) {
	r := newRoom(t)
	r.begin("known", Task{Who: person("known")}, 600, func(turn int) {
		if turn > 0 {
			return
		}
		for i := range 5 {
			for range 1 + i {
				r.begin(fmt.Sprint("new ", i), Task{Who: Who{Share: "address", Member: fmt.Sprint(i)}}, 600, nil)
			}
		}
	})
	r.group.Wait()
	had := r.count(1000)
	if had["known"] < 490 || had["known"] > 510 {
		t.Errorf("of 1000 turns %v, want half for the known one", had)
	}
	for i := range 5 {
		if n := had[fmt.Sprint("new ", i)]; n < 90 || n > 110 {
			t.Errorf("of 1000 turns %v, want a tenth for each new one", had)
		}
	}
}

// A person who was away has a few turns ahead of the others and no more.
func TestIdlenessIsNotSavedUp(t *testing.T) {
	r := newRoom(t)
	r.begin("busy", Task{Who: person("busy")}, 400, func(turn int) {
		if turn == 200 {
			r.begin("late", Task{Who: person("late")}, 400, nil)
		}
	})
	r.group.Wait()
	late := slices.Index(r.turns, "late")
	had := 0
	for _, name := range r.turns[late : late+100] {
		if name == "late" {
			had++
		}
	}
	if had < 50 || had > 55 {
		t.Errorf("%d of the first 100 turns, want half and a few", had)
	}
}

// Within a person a new small calculation overtakes an old long one, work of which
// nobody watches the result come goes last, and no calculation waits for ever.
func TestWithinAPerson(t *testing.T) {
	r := newRoom(t)
	me := person("me")
	r.begin("long", Task{Who: me}, 60, func(turn int) {
		if turn == 10 {
			r.begin("proof", Task{Who: me, Class: Prove}, 10, nil)
			r.begin("small", Task{Who: me}, 3, nil)
		}
	})
	r.group.Wait()
	at := slices.Index(r.turns, "small")
	if at < 11 || at > 12 {
		t.Errorf("the small one began at turn %d, want 11 or 12: %v", at, r.turns)
	}
	if first := slices.Index(r.turns, "proof"); first < at {
		t.Errorf("the proof began at %d, before the small one", first)
	}
	// 3 turns in 4 may go to small ones without end; the oldest gets the fourth.
	r = newRoom(t)
	r.begin("long", Task{Who: me}, 10, func(turn int) {
		if turn == 0 {
			for i := range 40 {
				r.begin(fmt.Sprint("small ", i), Task{Who: me}, 1, nil)
			}
		}
	})
	r.group.Wait()
	last := 0
	for i, name := range r.turns {
		if name == "long" {
			last = i
		}
	}
	if last > 41 {
		t.Errorf("the long one had its last turn at %d of %d", last, len(r.turns))
	}
}

// Whoever gives up does not keep a place, and whatever ends badly gives it back.
func TestPlacesComeBack(t *testing.T) {
	r := newRoom(t)
	boom := errors.New("boom")
	if err := r.Do(t.Context(), Task{}, func(context.Context) error { return boom }); !errors.Is(err, boom) {
		t.Errorf("error %v", err)
	}
	func() {
		defer func() { _ = recover() }()
		_ = r.Do(t.Context(), Task{}, func(context.Context) error { panic(boom) })
	}()
	var stale context.Context
	_ = r.Do(t.Context(), Task{}, func(ctx context.Context) error {
		gone, cancel := context.WithCancelCause(t.Context())
		cancel(boom)
		if err := r.Do(gone, Task{}, func(context.Context) error { t.Error("called"); return nil }); !errors.Is(err, boom) {
			t.Errorf("error of one that gave up while it waited: %v", err)
		}
		stale = ctx
		return nil
	})
	pause.Here(stale, 100*Work)
	if r.free != 1 || len(r.shares.all) != 0 || r.shares.waiting != 0 {
		t.Errorf("%d free places, %d shares, %d waiting; want 1, 0, 0", r.free, len(r.shares.all), r.shares.waiting)
	}
}

// A calculation that is given up in the middle of a turn's wait unwinds at once.
func TestGivenUpBetweenTurns(t *testing.T) {
	r := newRoom(t)
	ctx, cancel := context.WithCancel(t.Context())
	seen := false
	_ = r.Do(ctx, Task{Who: person("a")}, func(ctx context.Context) error {
		r.begin("b", Task{Who: person("b")}, 3, func(turn int) {
			if turn == 0 {
				cancel()
			}
		})
		pause.Here(ctx, Work) // b has the place now, and never gives it back by itself
		seen = ctx.Err() != nil
		return ctx.Err()
	})
	if !seen {
		t.Error("the one that was given up had another turn")
	}
	r.group.Wait()
	if r.free != 1 {
		t.Errorf("%d free places", r.free)
	}
}

func TestWaitingIsBounded(t *testing.T) {
	r := newRoom(t)
	err := r.Do(t.Context(), Task{}, func(context.Context) error {
		for i := range mostWaiting {
			r.begin(fmt.Sprint(i), Task{}, 1, nil)
		}
		for r.Waiting() < mostWaiting {
			runtime.Gosched()
		}
		return r.Do(t.Context(), Task{}, func(context.Context) error { return nil })
	})
	if !errors.Is(err, ErrFull) {
		t.Errorf("error %v, want ErrFull", err)
	}
}

func TestDoOfAContext(t *testing.T) {
	q := newQueue(1, time.Now)
	depth := 0
	err := Do(With(t.Context(), q, person("a")), Edit, func(ctx context.Context) error {
		if pause.From(ctx) == nil {
			t.Error("the context has no point to pause at")
		}
		return Do(ctx, Page, func(context.Context) error { depth++; return nil }) // would wait for itself
	})
	if err != nil || depth != 1 {
		t.Errorf("%v, called %d times", err, depth)
	}
	if err := Do(t.Context(), Edit, func(ctx context.Context) error { depth++; return nil }); err != nil || depth != 2 {
		t.Errorf("without a queue: %v, called %d times", err, depth-1)
	}
}

// TestManyAtOnce is of use with the race detector.
func TestManyAtOnce(t *testing.T) {
	q := newQueue(2, time.Now)
	var group sync.WaitGroup
	for i := range 40 {
		group.Go(func() {
			for k := range 20 {
				ctx, cancel := context.WithCancel(t.Context())
				if (i+k)%7 == 0 {
					cancel()
				}
				_ = q.Do(ctx, Task{Who: Who{Share: fmt.Sprint(i % 5), Member: fmt.Sprint(i % 3)}, Class: Class(k % len(weights)), Waiting: func() {}}, func(ctx context.Context) error {
					for range k % 4 {
						pause.Here(ctx, Work)
					}
					return nil
				})
				cancel()
			}
		})
	}
	group.Wait()
	if q.free != 2 || q.shares.busy != 0 || len(q.shares.all) != 0 {
		t.Errorf("%d free places, %d busy shares, %d shares", q.free, q.shares.busy, len(q.shares.all))
	}
}

// What goes on when its context has ended, because it has to come to an end of its own,
// has one turn beside the others and then waits for its turns like them.
func TestWhatGoesOnAfterItsEndWaitsForTurns(t *testing.T) {
	r := newRoom(t)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	const long = 40
	begun := make(chan struct{})
	r.group.Go(func() {
		err := r.Do(ctx, Task{Who: person("gone")}, func(ctx context.Context) error {
			close(begun)
			c := ctx.Value(insideKey{}).(*calculation)
			for r.Waiting() == 0 {
				runtime.Gosched()
			}
			beside := 0
			for range long {
				pause.Here(ctx, Work) // the first time it is given up while it waits
				r.Queue.mu.Lock()
				if !c.placed {
					beside++
				}
				r.Queue.mu.Unlock()
			}
			if ctx.Err() == nil || beside > 1 {
				t.Errorf("it went on for %d turns beside the others, of %d after its end", beside, long)
			}
			return nil
		})
		if err != nil {
			t.Error(err)
		}
	})
	<-begun
	r.begin("busy", Task{Who: person("busy")}, 2*long, func(int) { cancel() })
	r.group.Wait()
	if r.Waiting() != 0 || r.free != 1 || len(r.placed) != 0 {
		t.Errorf("in the end %d wait, %d places are free and %d taken", r.Waiting(), r.free, len(r.placed))
	}
}
