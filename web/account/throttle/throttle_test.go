package throttle

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

var (
	start = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	rule  = Rule{Free: 3, First: 2 * time.Second, Longest: time.Minute, Forgives: time.Hour, Keys: 100}
)

// Each failure after the free ones doubles the wait, up to the longest; those who
// waits is let in again, always.
func TestWaitsGrow(t *testing.T) {
	w, now := NewWaits(rule), start
	var waits []time.Duration
	for range 10 {
		if wait := w.Try("s01", now); wait != 0 {
			t.Fatalf("after the wait: %v more", wait)
		}
		wait := w.Try("s01", now)
		waits = append(waits, wait.Round(time.Second))
		if wait == 0 {
			waits[len(waits)-1] = 0
			w.Back("s01", now)
		}
		now = now.Add(wait)
	}
	want := []time.Duration{0, 0, 2, 4, 8, 16, 32, 60, 60, 60}
	for i := range want {
		if waits[i] != want[i]*time.Second {
			t.Fatalf("waits %v, want seconds %v", waits, want)
		}
	}
	if w.Try("s02", now) != 0 {
		t.Error("another key has to wait too")
	}
}

func TestWaitsForget(t *testing.T) {
	for _, c := range []struct {
		name  string
		later time.Duration
		then  func(*Waits, time.Time)
		free  int
	}{
		{"after the wait only", 2 * time.Second, func(*Waits, time.Time) {}, 1},
		{"an hour later", time.Hour, func(*Waits, time.Time) {}, 1},
		{"a day later", 24 * time.Hour, func(*Waits, time.Time) {}, 3},
		{"cleared", 0, func(w *Waits, _ time.Time) { w.Clear("s01") }, 3},
		{"one taken back", 0, func(w *Waits, now time.Time) { w.Back("s01", now) }, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := NewWaits(rule)
			for range rule.Free {
				w.Try("s01", start)
			}
			now := start.Add(c.later)
			c.then(w, now)
			free := 0
			for w.Try("s01", now) == 0 {
				free++
			}
			if free != c.free {
				t.Errorf("%d tries, want %d", free, c.free)
			}
		})
	}
}

// Many at the same time get no more than one after the other.
func TestWaitsCountAtOnce(t *testing.T) {
	w := NewWaits(rule)
	var through atomic.Int32
	var all sync.WaitGroup
	for range 200 {
		all.Go(func() {
			if w.Try("s01", start) == 0 {
				through.Add(1)
			}
		})
	}
	all.Wait()
	if through.Load() != int32(rule.Free) {
		t.Errorf("%d went through, want %d", through.Load(), rule.Free)
	}
}

// However many keys come, the table stays as small as it was told, and the key
// that is tried most is not pushed out.
func TestKeysAreBounded(t *testing.T) {
	w := NewWaits(rule)
	for range rule.Free {
		w.Try("s01", start)
	}
	f := NewFlow(2, time.Second, rule.Keys)
	f.Take("192.0.2.7", start)
	f.Take("192.0.2.7", start)
	for i := range 1000 {
		w.Try(fmt.Sprint("nobody", i), start)
		f.Take(fmt.Sprint("198.51.100.", i), start)
		if len(w.of) > rule.Keys || len(f.of) > rule.Keys {
			t.Fatalf("%d and %d keys", len(w.of), len(f.of))
		}
	}
	if w.Try("s01", start) == 0 {
		t.Error("the failures of one key were pushed out")
	}
	if f.Take("192.0.2.7", start) == 0 {
		t.Error("the flow of one key was pushed out")
	}
}

func TestFlow(t *testing.T) {
	f, now := NewFlow(3, 2*time.Second, 10), start
	for i := range 3 {
		if wait := f.Take("a", now); wait != 0 {
			t.Fatalf("number %d waits %v", i, wait)
		}
	}
	wait := f.Take("a", now)
	if wait != 2*time.Second {
		t.Fatalf("the wait is %v", wait)
	}
	if f.Take("b", now) != 0 {
		t.Error("another key has to wait too")
	}
	if f.Take("a", now.Add(wait)) != 0 || f.Take("a", now.Add(wait)) == 0 {
		t.Error("after the wait there is not one more")
	}
	if f.Take("a", now.Add(-time.Hour)) == 0 {
		t.Error("a clock that is set back gives more")
	}
}
