package live

import (
	"context"
	"slices"
	"strings"
	"sync"
	"time"

	"shaftbook/kernel"
)

const (
	// mostBenches is how many workings are kept while nobody evaluates with them.
	mostBenches = 1024

	// benchBytes is what all workings may take, those that are kept and those that
	// are evaluated, as counted; and one share a quarter of it, or what it likes to keep
	// while all of them take less than half: a class that has just come in from one
	// address is one share.
	benchBytes = 256 << 20
	shareOf    = 4

	// smallBench is what a working takes that is let in whatever the others take,
	// beside those of its own share.
	smallBench = 2 << 20
)

// benches keeps workings that nobody uses, and bounds the memory of all workings:
// whoever is to evaluate enters first. Make one with newBenches. It is safe for
// concurrent use.
type benches struct {
	all, each int64 // bytes, of all workings and of one share

	mu      sync.Mutex
	free    []*bench // the one used last at the end
	made    int      // for tests and measurements
	kept    account  // of free
	using   account  // of the berths
	waiting []*berth // in the order of coming
}

// An account is bytes, in all and by share.
type account struct {
	sum int64
	by  map[string]int64
}

func (a *account) add(share string, bytes int64) {
	a.sum += bytes
	if a.by[share] += bytes; a.by[share] == 0 {
		delete(a.by, share)
	}
}

func newBenches(bytes int64) *benches {
	return &benches{all: bytes, each: bytes / shareOf, kept: account{by: map[string]int64{}}, using: account{by: map[string]int64{}}}
}

// A berth is the memory that one evaluation may take.
type berth struct {
	pool  *benches
	share string
	bytes int64
	ready chan struct{} // closed when it is let in
	in    bool
}

// enter waits until there is room for a working of about so many bytes. A share that
// evaluates nothing else is let in with any number of them as soon as all others
// together leave room, or evaluate nothing. While it waits it calls waiting now and
// then. Unless ctx ends first, leave must be called.
func (p *benches) enter(ctx context.Context, share string, bytes int64, waiting func()) (*berth, error) {
	o := &berth{pool: p, share: share, bytes: bytes, ready: make(chan struct{})}
	p.mu.Lock()
	p.waiting = append(p.waiting, o)
	p.admit()
	in := o.in
	p.mu.Unlock()
	if in {
		return o, nil
	}
	look := time.NewTicker(sayEvery)
	defer look.Stop()
	for {
		select {
		case <-o.ready:
			return o, nil
		case <-look.C:
			waiting()
		case <-ctx.Done():
			o.leave()
			return nil, context.Cause(ctx)
		}
	}
}

// sayEvery is the time between two signs of life while an evaluation waits for room.
const sayEvery = 500 * time.Millisecond

// admit lets in whoever there is room for. One that waits for others than its own
// share is not passed by later ones of its kind. The caller holds mu.
func (p *benches) admit() {
	blocked := false
	for i := 0; i < len(p.waiting); {
		o := p.waiting[i]
		mine, small := p.using.by[o.share], o.bytes <= smallBench
		full := p.using.sum > 0 && p.using.sum+o.bytes > p.all
		switch {
		case mine > 0 && mine+o.bytes > p.each:
			i++
			continue
		case !small && (blocked || full):
			blocked = true
			i++
			continue
		}
		p.waiting = slices.Delete(p.waiting, i, i+1)
		p.using.add(o.share, o.bytes)
		o.in = true
		close(o.ready)
	}
	p.trim()
}

// leave gives the room back; a second time it does nothing.
func (o *berth) leave() {
	p := o.pool
	p.mu.Lock()
	defer p.mu.Unlock()
	if !o.in {
		p.waiting = slices.DeleteFunc(p.waiting, func(w *berth) bool { return w == o })
		return
	}
	o.in = false
	p.using.add(o.share, -o.bytes)
	p.admit()
}

// grow notes that the evaluation takes more than was expected.
func (o *berth) grow(bytes int64) {
	p := o.pool
	p.mu.Lock()
	defer p.mu.Unlock()
	if o.in {
		o.bytes += bytes
		p.using.add(o.share, bytes)
		p.trim()
	}
}

// trim lets go of the workings that were used least recently while all take too much.
func (p *benches) trim() {
	for len(p.free) > 0 && (len(p.free) > mostBenches || p.kept.sum+p.using.sum > p.all) {
		p.remove(0)
	}
	for share := range p.kept.by {
		p.trimShare(share)
	}
}

// trimShare is trim for what one share takes, while all take more than half.
func (p *benches) trimShare(share string) {
	for i := 0; i < len(p.free) && p.kept.by[share]+p.using.by[share] > p.each && p.kept.sum+p.using.sum > p.all/2; {
		if p.free[i].owner == share {
			p.remove(i)
		} else {
			i++
		}
	}
}

// remove takes out one of those that are free.
func (p *benches) remove(i int) *bench {
	b := p.free[i]
	p.free = slices.Delete(p.free, i, i+1)
	p.kept.add(b.owner, -b.bytes)
	return b
}

// take returns the bench to evaluate with: the session's own, else one with the texts
// of the state, else, for a session that has none yet, any of the lesson. It may
// return nil: then a new one is to be made.
func (p *benches) take(s *session, st state) *bench {
	p.mu.Lock()
	defer p.mu.Unlock()
	best, rank := -1, 0
	for i, b := range p.free {
		if b.lesson != s.sum {
			continue
		}
		r := 1
		switch {
		case b.user == s:
			r = 3
		case b.texts.sum == st.sum:
			r = 2
		case s.evaluated > 0 && len(p.free) < mostBenches:
			continue // whoever goes on changing things gets a working that stays as it is
		}
		if r >= rank {
			best, rank = i, r
		}
	}
	if best < 0 {
		p.made++
		return nil
	}
	return p.remove(best)
}

// give puts a bench back, that the session used if it is not nil.
func (p *benches) give(b *bench, s *session, share string, now time.Time) {
	b.working.GiveWay(context.Background())
	b.progress = nil
	b.user, b.used, b.owner, b.bytes = s, now, share, b.size()
	p.mu.Lock()
	defer p.mu.Unlock()
	p.free = append(p.free, b)
	p.kept.add(share, b.bytes)
	p.trim()
}

// age lets go of what has not been used for a while, and reports whether anything is
// left.
func (p *benches) age(now time.Time) (left bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for i := 0; i < len(p.free); {
		if now.Sub(p.free[i].used) > idleWorking {
			p.remove(i)
		} else {
			i++
		}
	}
	return len(p.free) > 0
}

// forget lets go of a session that has ended; others may use its bench.
func (p *benches) forget(s *session) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, b := range p.free {
		if b.user == s {
			b.user = nil
		}
	}
}

// What a working takes before it is evaluated is estimated by its text, on the high
// side: a line of one letter may have a message.
const (
	lineSize = 2000
	byteSize = 76
)

func sizeOfText(text string) int64 {
	return lineSize*int64(1+strings.Count(text, "\n")) + byteSize*int64(len(text))
}

// need is about what the working of the session takes with the changes that have been
// taken.
func (s *session) need() int64 {
	texts := map[string]string{}
	for id, text := range s.state.texts {
		texts[id] = text
	}
	for _, c := range s.pending {
		switch c.kind {
		case edited:
			texts[c.key] = c.text
		case restored:
			clear(texts)
		}
	}
	var n int64
	for i := range s.cells {
		n += sizeOfText(s.textOf(&s.cells[i], texts))
	}
	return n
}

func (s *session) textOf(c *kernel.Cell, texts map[string]string) string {
	if text, ok := texts[c.ID]; ok {
		return text
	}
	return c.Text.Content
}
