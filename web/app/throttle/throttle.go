// Package throttle bounds how often things are tried: Waits makes those who fail
// wait, the longer the more often; Flow bounds a rate. Both forget with time. What
// they know of each key is in a Keeper: the Memory of one server, or the store, for
// several servers that count together. All are safe for concurrent use.
package throttle

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"math"
	"slices"
	"strings"
	"time"

	"shaftbook/exercises/store"
)

// A Keeper keeps levels by key. contract.Levels has it, and so has Memory.
type Keeper interface {
	// Level changes the level of a key; a key that is not known has the zero Level.
	// Changes of one key follow one another. next may be called more than once, and
	// the last call counts.
	Level(ctx context.Context, key string, next func(store.Level) store.Level) error
}

// MostKeys is how many keys of one kind a server remembers by itself.
const MostKeys = 1 << 14

// or returns a keeper, or a new Memory for nil.
func or(k Keeper) Keeper {
	if k == nil {
		return NewMemory(MostKeys)
	}
	return k
}

// A Rule is how long someone who fails has to wait.
type Rule struct {
	Name     string        // no other rule has it
	Free     int           // failures without a wait
	First    time.Duration // the wait after the last of those; it doubles with each failure
	Longest  time.Duration // no wait is longer, so that nobody is locked out for good
	Forgives time.Duration // so long after a failure there is one less
}

// Waits counts failures by key.
type Waits struct {
	rule Rule
	keep Keeper
}

// NewWaits returns a Waits that keeps failures in k, or by itself if k is nil.
func NewWaits(r Rule, k Keeper) *Waits { return &Waits{r, or(k)} }

// Try returns 0 if a key may be tried now, or how long it has to wait. A try is
// counted as a failure at once, so that many at the same time are not all free;
// Back or Clear say that it was none. One that has to wait is not counted. The error
// is the keeper's.
func (w *Waits) Try(ctx context.Context, key string, now time.Time) (wait time.Duration, err error) {
	err = w.change(ctx, key, func(was store.Level) store.Level {
		if wait = max(0, was.Until.Sub(now)); wait > 0 {
			return was
		}
		l := forgiven(was, w.rule.Forgives, now)
		l.Much++
		// The half is for what time has forgiven since the failures before.
		if over := l.Much - float64(w.rule.Free); over > -0.5 {
			wait := float64(w.rule.First) * math.Exp2(max(0, over))
			l.Until = now.Add(time.Duration(min(wait, float64(w.rule.Longest))))
		}
		return dated(l, w.rule.Forgives)
	})
	if err != nil {
		return 0, err
	}
	return wait, nil
}

// Back takes one try of a key back.
func (w *Waits) Back(ctx context.Context, key string, now time.Time) error {
	return w.change(ctx, key, func(was store.Level) store.Level {
		l := lessOne(was, w.rule.Forgives, now)
		if l.Much < float64(w.rule.Free) {
			l.Until = time.Time{}
		}
		return dated(l, w.rule.Forgives)
	})
}

// Clear forgets all failures of a key.
func (w *Waits) Clear(ctx context.Context, key string) error {
	return w.change(ctx, key, func(store.Level) store.Level { return store.Level{} })
}

func (w *Waits) change(ctx context.Context, key string, next func(store.Level) store.Level) error {
	return w.keep.Level(ctx, w.rule.Name+" "+key, next)
}

// Flow bounds how many of something a key may have: so many at once, and then one
// after each interval.
type Flow struct {
	name  string
	burst float64
	each  time.Duration
	keep  Keeper
}

// NewFlow returns a Flow of a name that no other has, which keeps what was had in k,
// or by itself if k is nil.
func NewFlow(name string, burst int, each time.Duration, k Keeper) *Flow {
	return &Flow{name, float64(burst), each, or(k)}
}

// Take returns 0 if a key may have one more now, or how long it has to wait. The
// error is the keeper's.
func (f *Flow) Take(ctx context.Context, key string, now time.Time) (wait time.Duration, err error) {
	err = f.keep.Level(ctx, f.name+" "+key, func(was store.Level) store.Level {
		wait = 0
		l := forgiven(was, f.each, now)
		if over := l.Much + 1 - f.burst; over > 0 {
			wait = time.Duration(math.Ceil(over * float64(f.each)))
			return was
		}
		l.Much++
		return dated(l, f.each)
	})
	if err != nil {
		return 0, err
	}
	return wait, nil
}

// TakeFor is Take for something that may come again: what was taken for lately is not
// counted a second time, since a server may end after counting it and before the rest is
// done. taken is whether it was counted now, and so may be given back with BackFor.
func (f *Flow) TakeFor(ctx context.Context, key, what string, now time.Time) (taken bool, wait time.Duration, err error) {
	name := nameOf(what)
	err = f.keep.Level(ctx, f.name+" "+key, func(was store.Level) store.Level {
		taken, wait = false, 0
		l := forgiven(was, f.each, now)
		had := strings.Fields(l.Had)
		if slices.Contains(had, name) {
			return was
		}
		if over := l.Much + 1 - f.burst; over > 0 {
			wait = time.Duration(math.Ceil(over * float64(f.each)))
			return was
		}
		taken = true
		l.Much++
		had = append(had, name)
		l.Had = strings.Join(had[max(0, len(had)-int(f.burst)):], " ")
		return dated(l, f.each)
	})
	if err != nil {
		return false, 0, err
	}
	return taken, wait, nil
}

// BackFor gives back what a key took for something.
func (f *Flow) BackFor(ctx context.Context, key, what string, now time.Time) error {
	return f.keep.Level(ctx, f.name+" "+key, func(was store.Level) store.Level {
		l := lessOne(was, f.each, now)
		had := strings.Fields(l.Had)
		l.Had = strings.Join(slices.DeleteFunc(had, func(n string) bool { return n == nameOf(what) }), " ")
		return dated(l, f.each)
	})
}

// nameOf is a short name of something, which says nothing about it.
func nameOf(what string) string {
	sum := sha256.Sum256([]byte(what))
	return hex.EncodeToString(sum[:8])
}

// Back gives one that a key took back.
func (f *Flow) Back(ctx context.Context, key string, now time.Time) error {
	return f.keep.Level(ctx, f.name+" "+key, func(was store.Level) store.Level { return dated(lessOne(was, f.each, now), f.each) })
}

// forgiven is a level as it is at a time, when each so long forgives one. A clock
// that was set back forgives nothing.
func forgiven(l store.Level, each time.Duration, now time.Time) store.Level {
	if past := now.Sub(l.At); l.At.IsZero() || past > 0 {
		l.Much, l.At = max(0, l.Much-float64(past)/float64(each)), now
	}
	return l
}

// lessOne is a level at a time, with one less.
func lessOne(l store.Level, each time.Duration, now time.Time) store.Level {
	l = forgiven(l, each, now)
	l.Much = max(0, l.Much-1)
	return l
}

// dated sets from when on a level is as good as none.
func dated(l store.Level, each time.Duration) store.Level {
	l.Gone = l.At.Add(time.Duration(math.Ceil(l.Much * float64(each))))
	if l.Until.After(l.Gone) {
		l.Gone = l.Until
	}
	if l.Much == 0 && l.Until.IsZero() {
		return store.Level{}
	}
	return l
}
