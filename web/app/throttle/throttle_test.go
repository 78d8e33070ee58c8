package throttle

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

var (
	start = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	rule  = Rule{Name: "test", Free: 3, First: 2 * time.Second, Longest: time.Minute, Forgives: time.Hour}
)

func try(t *testing.T, w *Waits, key string, now time.Time) time.Duration {
	t.Helper()
	wait, err := w.Try(t.Context(), key, now)
	if err != nil {
		t.Error(err)
	}
	return wait
}

func take(t *testing.T, f *Flow, key string, now time.Time) time.Duration {
	t.Helper()
	wait, err := f.Take(t.Context(), key, now)
	if err != nil {
		t.Error(err)
	}
	return wait
}

// Each failure after the free ones doubles the wait, up to the longest; those who
// waits is let in again, always.
func TestWaitsGrow(t *testing.T) {
	w, now := NewWaits(rule, nil), start
	var waits []time.Duration
	for range 10 {
		if wait := try(t, w, "s01", now); wait != 0 {
			t.Fatalf("after the wait: %v more", wait)
		}
		wait := try(t, w, "s01", now)
		waits = append(waits, wait.Round(time.Second))
		if wait == 0 {
			waits[len(waits)-1] = 0
			w.Back(t.Context(), "s01", now)
		}
		now = now.Add(wait)
	}
	want := []time.Duration{0, 0, 2, 4, 8, 16, 32, 60, 60, 60}
	for i := range want {
		if waits[i] != want[i]*time.Second {
			t.Fatalf("waits %v, want seconds %v", waits, want)
		}
	}
	if try(t, w, "s02", now) != 0 {
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
		{"cleared", 0, func(w *Waits, _ time.Time) { w.Clear(context.Background(), "s01") }, 3},
		{"one taken back", 0, func(w *Waits, now time.Time) { w.Back(context.Background(), "s01", now) }, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := NewWaits(rule, nil)
			for range rule.Free {
				try(t, w, "s01", start)
			}
			now := start.Add(c.later)
			c.then(w, now)
			free := 0
			for try(t, w, "s01", now) == 0 {
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
	w := NewWaits(rule, nil)
	var through atomic.Int32
	var all sync.WaitGroup
	for range 200 {
		all.Go(func() {
			if try(t, w, "s01", start) == 0 {
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
	const most = 100
	forWaits, forFlow := NewMemory(most), NewMemory(most)
	w, f := NewWaits(rule, forWaits), NewFlow("flow", 2, time.Second, forFlow)
	for range rule.Free {
		try(t, w, "s01", start)
	}
	take(t, f, "192.0.2.7", start)
	take(t, f, "192.0.2.7", start)
	for i := range 1000 {
		try(t, w, fmt.Sprint("nobody", i), start)
		take(t, f, fmt.Sprint("198.51.100.", i), start)
		if len(forWaits.of) > most || len(forFlow.of) > most {
			t.Fatalf("%d and %d keys", len(forWaits.of), len(forFlow.of))
		}
	}
	if try(t, w, "s01", start) == 0 {
		t.Error("the failures of one key were pushed out")
	}
	if take(t, f, "192.0.2.7", start) == 0 {
		t.Error("the flow of one key was pushed out")
	}
}

// Of one keeper, kinds with different names count apart, and two of one name together.
func TestNamesShareAKeeper(t *testing.T) {
	k := NewMemory(100)
	one, two := NewFlow("answers", 1, time.Minute, k), NewFlow("answers", 1, time.Minute, k)
	other := NewFlow("saves", 1, time.Minute, k)
	if take(t, one, "s01", start) != 0 || take(t, two, "s01", start) != time.Minute {
		t.Error("two servers count apart")
	}
	if take(t, other, "s01", start) != 0 {
		t.Error("two kinds count together")
	}
	if err := two.Back(t.Context(), "s01", start); err != nil || take(t, one, "s01", start) != 0 {
		t.Errorf("one that was given back is gone; %v", err)
	}
}

// What time has forgiven leaves nothing behind.
func TestGone(t *testing.T) {
	k := NewMemory(100)
	f := NewFlow("flow", 2, time.Second, k)
	take(t, f, "a", start)
	if l := k.of["flow a"]; !l.Gone.Equal(start.Add(time.Second)) {
		t.Errorf("gone at %v", l.Gone)
	}
	w := NewWaits(rule, k)
	try(t, w, "a", start)
	if err := w.Back(t.Context(), "a", start); err != nil || len(k.of) != 1 {
		t.Errorf("%d keys, %v", len(k.of), err)
	}
}

func TestFlow(t *testing.T) {
	f, now := NewFlow("flow", 3, 2*time.Second, nil), start
	for i := range 3 {
		if wait := take(t, f, "a", now); wait != 0 {
			t.Fatalf("number %d waits %v", i, wait)
		}
	}
	wait := take(t, f, "a", now)
	if wait != 2*time.Second {
		t.Fatalf("the wait is %v", wait)
	}
	if take(t, f, "b", now) != 0 {
		t.Error("another key has to wait too")
	}
	if take(t, f, "a", now.Add(wait)) != 0 || take(t, f, "a", now.Add(wait)) == 0 {
		t.Error("after the wait there is not one more")
	}
	if take(t, f, "a", now.Add(-time.Hour)) == 0 {
		t.Error("a clock that is set back gives more")
	}
}

// What comes again, since a server ended after counting it, is counted once; something
// else is counted, and what was given back may be taken again.
func TestTakeForTheSameOnce(t *testing.T) {
	f, now := NewFlow("flow", 3, time.Minute, nil), start
	for i, c := range []struct {
		what  string
		taken bool
		waits bool
	}{
		{"a", true, false}, {"a", false, false}, {"b", true, false}, {"c", true, false}, {"d", false, true},
		{"a", false, false}, {"b", false, false}, {"c", false, false}, {"e", false, true},
	} {
		taken, wait, err := f.TakeFor(t.Context(), "s01", c.what, now)
		if err != nil || taken != c.taken || wait > 0 != c.waits {
			t.Errorf("%d, %s: taken %v, wait %v, %v; want %v, %v", i, c.what, taken, wait, err, c.taken, c.waits)
		}
	}
	if err := f.BackFor(t.Context(), "s01", "b", now); err != nil {
		t.Fatal(err)
	}
	for _, want := range []bool{true, false} {
		if taken, wait, _ := f.TakeFor(t.Context(), "s01", "b", now); taken != want || wait > 0 {
			t.Errorf("given back: taken %v, wait %v; want %v", taken, wait, want)
		}
	}
	if taken, wait, _ := f.TakeFor(t.Context(), "s01", "d", now.Add(time.Minute)); !taken || wait > 0 {
		t.Errorf("a minute later: taken %v, wait %v", taken, wait)
	}
}
