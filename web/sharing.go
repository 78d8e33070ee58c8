package web

import (
	"context"
	"net/http"
	"sync"
	"time"

	"shaftbook/web/reader"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// answerWait ends a request for which no browser waits any more; it is a little
// less than requestWait, so that the answer can still say so. How much a request may
// cost is bounded by work.
const answerWait = requestWait - 20*time.Second

// sharing lets what a request calculates wait for turns that are shared out among
// people.
func (s *Server) sharing(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		ctx := turns.With(r.Context(), s.queue, s.turnsOf(r))
		if r.Header.Get("Upgrade") == "" { // a websocket stays open
			var cancel context.CancelFunc
			ctx, cancel = context.WithTimeout(ctx, answerWait)
			defer cancel()
		}
		next(w, r.WithContext(ctx))
	}
}

// turnsOf returns for whom a request is calculated: the person who is signed in, or a
// browser that has been here for a while, each with a share of its own. All other
// browsers of an address have one share together, since otherwise whoever throws its
// cookie away would begin with a new share each time.
func (s *Server) turnsOf(r *http.Request) turns.Who {
	if id := request.VisitorFrom(r).Person.ID; id != "" {
		return turns.Who{Share: "person " + id}
	}
	address, browser := s.site.ClientOf(r), reader.LearnerOf(r)
	if browser == "" {
		return turns.Who{Share: "address " + address, Member: r.RemoteAddr}
	}
	if s.browsers.isKnown(browser, address, s.site.Now()) {
		return turns.Who{Share: "browser " + browser}
	}
	return turns.Who{Share: "address " + address, Member: browser}
}

const (
	knownAfter      = 10 * time.Minute // of a browser that comes for the first time
	forgottenAfter  = 24 * time.Hour   // without a request
	mostBrowsers    = 1 << 14
	mostFromAddress = 500
	browsersAtATime = 64 // looked at, to forget old ones, when there is no room
)

// browsers remembers since when browsers have come to an open server. Its zero value
// knows none. It is safe for concurrent use.
type browsers struct {
	mu      sync.Mutex
	seen    map[string]browser
	address map[string]int // how many of seen came from it
}

type browser struct {
	address     string // from which it came first
	first, last time.Time
}

// isKnown notes a request of a browser and reports whether it has been here before,
// at least ten minutes ago and within the last day. What comes when there is no room
// stays unknown.
func (b *browsers) isKnown(name, address string, now time.Time) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	one, ok := b.seen[name]
	if ok && now.Sub(one.last) > forgottenAfter {
		b.forget(name)
		ok = false
	}
	if ok {
		one.last = now
		b.seen[name] = one
		return now.Sub(one.first) >= knownAfter
	}
	if b.address[address] >= mostFromAddress || len(b.seen) >= mostBrowsers {
		b.forgetOld(now)
	}
	if b.address[address] >= mostFromAddress || len(b.seen) >= mostBrowsers {
		return false
	}
	if b.seen == nil {
		b.seen, b.address = map[string]browser{}, map[string]int{}
	}
	b.seen[name] = browser{address, now, now}
	b.address[address]++
	return false
}

// forgetOld looks at some browsers for those that have not come for a day.
func (b *browsers) forgetOld(now time.Time) {
	looked := 0
	for name, one := range b.seen { // in an order that is another each time
		if now.Sub(one.last) > forgottenAfter {
			b.forget(name)
		}
		if looked++; looked >= browsersAtATime {
			return
		}
	}
}

func (b *browsers) forget(name string) {
	from := b.seen[name].address
	delete(b.seen, name)
	if b.address[from]--; b.address[from] == 0 {
		delete(b.address, from)
	}
}
