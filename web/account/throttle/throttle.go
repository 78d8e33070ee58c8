// Package throttle bounds how often things are tried: Waits makes those who fail
// wait, the longer the more often; Flow bounds a rate. Both forget with time and
// hold a bounded number of keys. They do not use HTTP, and are safe for concurrent
// use.
package throttle

import (
	"math"
	"slices"
	"sync"
	"time"
)

// A level is how much of something there was, less what time has forgiven.
type level struct {
	much  float64
	at    time.Time // of the last change
	until time.Time // nothing is let through before; zero if anything is
}

// levels are the levels of keys. The caller holds the mutex of what they are in.
type levels struct {
	of    map[string]*level
	each  time.Duration // forgives one
	limit int           // keys
}

// get returns the level of a key as it is now.
func (l *levels) get(key string, now time.Time) *level {
	v := l.of[key]
	if v == nil {
		if len(l.of) >= l.limit {
			l.makeRoom(now)
		}
		v = &level{at: now}
		l.of[key] = v
	}
	l.forgive(v, now)
	return v
}

func (l *levels) forgive(v *level, now time.Time) {
	if past := now.Sub(v.at); past > 0 {
		v.much, v.at = max(0, v.much-float64(past)/float64(l.each)), now
	}
}

// makeRoom drops a quarter of the keys: those with the least to forget. The person who
// fills the table with names that do not exist so cannot push out the one that is tried
// again and again.
func (l *levels) makeRoom(now time.Time) {
	much := make([]float64, 0, len(l.of))
	for _, v := range l.of {
		l.forgive(v, now)
		much = append(much, v.much)
	}
	slices.Sort(much)
	bound, left := much[len(much)/4], len(much)/4+1
	for key, v := range l.of {
		if v.much <= bound && left > 0 {
			delete(l.of, key)
			left--
		}
	}
}

// A Rule is how long someone who fails has to wait.
type Rule struct {
	Free     int           // failures without a wait
	First    time.Duration // the wait after the last of those; it doubles with each failure
	Longest  time.Duration // no wait is longer, so that nobody is locked out for good
	Forgives time.Duration // so long after a failure there is one less
	Keys     int           // that are remembered
}

// Waits counts failures by key.
type Waits struct {
	rule Rule
	mu   sync.Mutex
	levels
}

// NewWaits returns a Waits without failures.
func NewWaits(r Rule) *Waits {
	return &Waits{rule: r, levels: levels{of: map[string]*level{}, each: r.Forgives, limit: r.Keys}}
}

// Try returns 0 if a key may be tried now, or how long it has to wait. A try is
// counted as a failure at once, so that many at the same time are not all free;
// Back or Clear say that it was none. One that has to wait is not counted.
func (w *Waits) Try(key string, now time.Time) time.Duration {
	w.mu.Lock()
	defer w.mu.Unlock()
	v := w.get(key, now)
	if wait := v.until.Sub(now); wait > 0 {
		return wait
	}
	v.much++
	// The half is for what time has forgiven since the failures before.
	if over := v.much - float64(w.rule.Free); over > -0.5 {
		wait := float64(w.rule.First) * math.Exp2(max(0, over))
		v.until = now.Add(time.Duration(min(wait, float64(w.rule.Longest))))
	}
	return 0
}

// Back takes one try of a key back.
func (w *Waits) Back(key string, now time.Time) {
	w.mu.Lock()
	defer w.mu.Unlock()
	v := w.get(key, now)
	v.much = max(0, v.much-1)
	if v.much < float64(w.rule.Free) {
		v.until = time.Time{}
	}
}

// Clear forgets all failures of a key.
func (w *Waits) Clear(key string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	delete(w.of, key)
}

// Flow bounds how many of something a key may have: so many at once, and then one
// after each interval.
type Flow struct {
	burst float64
	mu    sync.Mutex
	levels
}

// NewFlow returns a Flow that remembers so many keys.
func NewFlow(burst int, each time.Duration, keys int) *Flow {
	return &Flow{burst: float64(burst), levels: levels{of: map[string]*level{}, each: each, limit: keys}}
}

// Take returns 0 if a key may have one more now, or how long it has to wait.
func (f *Flow) Take(key string, now time.Time) time.Duration {
	f.mu.Lock()
	defer f.mu.Unlock()
	v := f.get(key, now)
	if over := v.much + 1 - f.burst; over > 0 {
		return time.Duration(over * float64(f.each))
	}
	v.much++
	return 0
}
