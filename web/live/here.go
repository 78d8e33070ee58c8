package live

import (
	"context"
	"errors"
	"time"
)

// herePeriod is the shortest time between two places of one person that are
// kept.
const herePeriod = 5 * time.Second

// ErrNowhere is Config.Here's error for a place that a lesson does not have.
var ErrNowhere = errors.New("the lesson has no such place")

// whereabouts is where the reader of a session is. Its mutex is the session's.
type whereabouts struct {
	place string      // heading or cell in view; empty while the page is hidden
	soon  *time.Timer // keeps the place when the person's turn comes; nil if nothing waits
}

// A sight is when and from which session a person's place was kept last.
type sight struct {
	at   time.Time
	from *session
}

// isAt notes a new place. It is kept as soon as the person's turn comes. An open
// server has no accounts and keeps nothing. The caller holds mu.
func (s *session) isAt(place string) {
	if s.holder.Person == "" {
		return
	}
	s.place = place
	if place != "" && s.soon == nil {
		s.keepSoon()
	}
}

// keepSoon waits for the person's turn. The caller holds mu.
func (s *session) keepSoon() {
	if s.ended {
		return
	}
	s.hub.running.Add(1)
	s.soon = time.AfterFunc(s.hub.turn(s.holder.Person), s.keepHere)
}

// keepHere keeps the place of the reader.
func (s *session) keepHere() {
	defer s.hub.running.Done()
	s.mu.Lock()
	s.soon = nil
	lesson, place, ended := s.lesson, s.place, s.ended
	if !ended && place != "" && !s.hub.takeTurn(s, time.Now()) {
		s.keepSoon() // another window of the person was faster
		ended = true
	}
	s.mu.Unlock()
	if ended || place == "" {
		return
	}
	ctx, cancel := context.WithTimeout(context.Background(), openWait)
	defer cancel()
	switch err := s.hub.config.Here(ctx, s.holder, lesson, place); {
	case errors.Is(err, ErrNowhere):
		s.refuse(problem("unknown-place", 404, "There is no such place in this lesson", place))
	case err != nil:
		s.hub.config.Log.Warn("a place was not kept", "lesson", lesson, "error", err)
	}
}

// stillThere keeps the place once more, so that it does not age while the page
// stays open. Of several windows of a person the one that moved last does so.
func (s *session) stillThere() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.place != "" && s.soon == nil && s.hub.isLast(s) {
		s.keepSoon()
	}
}

// stopWatching gives up what waits to be kept. The caller holds mu.
func (s *session) stopWatching() {
	if s.soon != nil && s.soon.Stop() {
		s.hub.running.Done()
		s.soon = nil
	}
}

// turn is how long a person has to wait before a place may be kept.
func (h *Hub) turn(person string) time.Duration {
	h.mu.Lock()
	defer h.mu.Unlock()
	return max(0, h.herePeriod-time.Since(h.seen[person].at))
}

// takeTurn reports whether a place of the session's person may be kept now.
func (h *Hub) takeTurn(s *session, now time.Time) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if now.Sub(h.seen[s.holder.Person].at) < h.herePeriod {
		return false
	}
	h.seen[s.holder.Person] = sight{now, s}
	for person, last := range h.seen {
		if _, open := h.sessions[last.from]; !open && now.Sub(last.at) >= h.herePeriod {
			delete(h.seen, person)
		}
	}
	return true
}

// isLast reports whether a session was the last to say where its person is.
func (h *Hub) isLast(s *session) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.seen[s.holder.Person].from == s
}
