package live

import (
	"context"
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"shaftbook/kernel"
)

// sizedWorking takes as many bytes as it says.
type sizedWorking struct {
	fakeWorking
	bytes int64
}

func (w *sizedWorking) Size() int64 { return w.bytes }

func freeBench(bytes int64) *bench { return &bench{working: &sizedWorking{bytes: bytes}} }

// Whoever evaluates and whatever is kept, all workings together stay within their bytes
// and those of a share within a quarter where all take more than half; what does not
// fit is let go.
func TestBenchesAreBounded(t *testing.T) {
	const all = 1 << 30
	p := newBenches(all)
	var running sync.WaitGroup
	for i := range 40 {
		share := fmt.Sprint("share ", i%7)
		running.Add(1)
		go func() {
			defer running.Done()
			random := rand.New(rand.NewPCG(1, uint64(i)))
			for range 50 {
				bytes := int64(smallBench + random.IntN(all/shareOf-smallBench))
				o, err := p.enter(context.Background(), share, bytes, func() {})
				if err != nil {
					t.Error(err)
					return
				}
				p.mu.Lock()
				if p.using.sum > all || p.using.by[share] > all/shareOf {
					t.Errorf("%d bytes are used, and %d of them by one share", p.using.sum, p.using.by[share])
				}
				if p.kept.sum+p.using.sum > all {
					t.Errorf("%d bytes are kept beside %d that are used", p.kept.sum, p.using.sum)
				}
				p.mu.Unlock()
				p.give(freeBench(bytes), nil, share, time.Now())
				o.leave()
				o.leave()
				p.mu.Lock()
				if p.kept.by[share] > all/shareOf && p.kept.sum+p.using.sum > all/2 {
					t.Errorf("%d bytes are kept for one share", p.kept.by[share])
				}
				p.mu.Unlock()
			}
		}()
	}
	running.Wait()
	var kept int64
	for _, b := range p.free {
		kept += b.bytes
	}
	if p.using.sum != 0 || len(p.using.by) != 0 || len(p.waiting) != 0 || p.kept.sum != kept || kept == 0 {
		t.Errorf("in the end %d bytes are used by %d shares, %d wait, and %d are kept, counted as %d",
			p.using.sum, len(p.using.by), len(p.waiting), kept, p.kept.sum)
	}
	if p.age(time.Now().Add(2*idleWorking)) || p.kept.sum != 0 || len(p.kept.by) != 0 {
		t.Errorf("%d bytes are kept of what nobody uses", p.kept.sum)
	}
}

// Large workings of one share wait for each other, of whatever size; small ones of
// others wait for nothing.
func TestRoomForLargeWorkings(t *testing.T) {
	p := newBenches(1 << 30)
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	enter := func(share string, bytes int64) *berth {
		o, _ := p.enter(ended, share, bytes, func() {}) // with nil where it would wait
		return o
	}
	huge := enter("one", 5<<30)
	if huge == nil {
		t.Fatal("a working of more than all bytes is never let in")
	}
	if enter("one", 1<<20) != nil {
		t.Error("a share that takes everything evaluates something else")
	}
	if enter("two", 3<<20) != nil {
		t.Error("a large working is let in beside one that takes everything")
	}
	small := enter("two", 1<<20)
	if small == nil {
		t.Error("a small working waits for another share")
	}
	huge.leave()
	if o := enter("one", 1<<28); o == nil {
		t.Error("a share waits when it evaluates nothing else")
	} else {
		o.grow(1 << 30)
		if enter("three", 3<<20) != nil {
			t.Error("what a working has grown by is not counted")
		}
		o.leave()
	}
	small.leave()
	if p.using.sum != 0 || len(p.waiting) != 0 {
		t.Errorf("in the end %d bytes are used and %d wait", p.using.sum, len(p.waiting))
	}
}

// Where there is room for one large working at a time, pages with several windows show
// the same values as where there is room for all.
func TestWorkingsWithoutRoomHaveTheSameValues(t *testing.T) {
	rows := func(bytes int64) (list []string, made int) {
		r, _ := sharedRig(t)
		r.hub.benches = newBenches(bytes)
		var clients []*client
		for range 4 {
			clients = append(clients, r.open())
		}
		for i := range 3 {
			for k, c := range clients {
				list = append(list, c.rows(fmt.Sprintf(`{"type":"edit","revision":%d,"cell":"c2","text":"W = %d·U\nX = %d·T"}`, i+2, k+1, i+1))...)
			}
		}
		r.hub.benches.mu.Lock()
		defer r.hub.benches.mu.Unlock()
		if n := r.hub.benches.kept.sum; n > bytes {
			t.Errorf("%d bytes are kept, and %d may be", n, bytes)
		}
		return list, r.hub.benches.made
	}
	want, few := rows(benchBytes)
	got, many := rows(10_000)
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("rows %q without room, %q with it", got, want)
	}
	if many <= few {
		t.Errorf("%d workings were made without room and %d with it", many, few)
	}
}

// What is kept is let go when it has not been used for a while, also when the last
// session has ended; then nothing runs on.
func TestNothingIsKeptAfterTheLastSession(t *testing.T) {
	r, _ := sharedRig(t)
	now := time.Now()
	ticks := make(chan func(), 100)
	r.hub.now = func() time.Time { return now }
	r.hub.keeper.after = func(_ time.Duration, f func()) stopper {
		ticks <- f
		return noTimer{}
	}
	c := r.open()
	c.rows(`{"type":"vary","revision":2,"name":"d","value":30}`)
	_ = c.conn.Close()
	kept := func() (workings, outcomes int) {
		r.hub.benches.mu.Lock()
		defer r.hub.benches.mu.Unlock()
		r.hub.outcomes.mu.Lock()
		defer r.hub.outcomes.mu.Unlock()
		return len(r.hub.benches.free), len(r.hub.outcomes.young) + len(r.hub.outcomes.old)
	}
	for workings, _ := kept(); workings == 0; workings, _ = kept() {
		time.Sleep(time.Millisecond) // the answer may come before its working is put back
	}
	for workings, outcomes := kept(); workings+outcomes > 0; workings, outcomes = kept() {
		f := <-ticks
		now = now.Add(idleWorking)
		f()
	}
}

type noTimer struct{}

func (noTimer) Stop() bool { return true }

func TestKeeperStopsWithTheHub(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := NewHub(Config{})
		h.benches.give(freeBench(1), nil, "", h.now())
		h.tend()
		time.Sleep(3 * idleWorking)
		if h.benches.age(h.now()) || h.keeper.timer != nil {
			t.Error("a working is kept for three times as long as it may be unused")
		}
		h.benches.give(freeBench(1), nil, "", h.now())
		h.tend()
		if err := h.Close(t.Context()); err != nil {
			t.Error(err)
		}
		time.Sleep(3 * idleWorking)
		h.tend()
		if len(h.benches.free) != 1 {
			t.Error("the timer runs on after the end")
		}
	})
}

var _ Working = (*kernel.Working)(nil)
