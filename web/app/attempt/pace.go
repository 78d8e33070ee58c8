package attempt

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

const (
	perMinute       = 6  // answers that are marked
	checksPerMinute = 60 // answers that are only read
	savesPerMinute  = 90 // changes of a lesson

	mostPaced = 4096            // learners remembered before the idle ones are dropped
	pacedFor  = 2 * time.Minute // after which a learner's allowance is full again
)

// pace bounds how often one learner can do a thing: have answers marked, so
// that an answer is thought about and not searched for.
type pace struct {
	often int // a minute, and at once

	mu sync.Mutex
	of map[string]*paced
}

type paced struct {
	limiter *rate.Limiter
	last    time.Time
}

func newPace(perMinute int) *pace { return &pace{often: perMinute, of: map[string]*paced{}} }

// take reports whether a learner may go ahead now, or how long to wait. Back
// gives the turn back, for what came to nothing through no fault of theirs.
func (p *pace) take(learner string, now time.Time) (back func(), wait time.Duration, ok bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.of) > mostPaced {
		for l, v := range p.of {
			if now.Sub(v.last) > pacedFor {
				delete(p.of, l)
			}
		}
	}
	v := p.of[learner]
	if v == nil {
		v = &paced{limiter: rate.NewLimiter(rate.Every(time.Minute/time.Duration(p.often)), p.often)}
		p.of[learner] = v
	}
	v.last = now
	r := v.limiter.ReserveN(now, 1)
	back = func() { r.CancelAt(now) }
	if wait := r.DelayFrom(now); wait > 0 {
		back()
		return nil, wait, false
	}
	return back, 0, true
}
