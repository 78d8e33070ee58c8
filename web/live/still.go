package live

import (
	"context"

	"shaftbook/web/socket"
)

// Recheck asks again, of every connection of a person, whether the person is
// still signed in and may see the lesson; those that may not are closed. It is
// for a caller that has just ended that: without it a connection is asked about with
// each ping, which also finds what another server has ended.
func (h *Hub) Recheck(person string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closing || person == "" {
		return
	}
	for s := range h.sessions {
		if s.holder.Person == person {
			h.running.Add(1)
			go s.recheck()
		}
	}
}

// RecheckLinks is Recheck for every connection that was opened with a link.
func (h *Hub) RecheckLinks() {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closing {
		return
	}
	for s := range h.sessions {
		if s.holder.Link != "" {
			h.running.Add(1)
			go s.recheck()
		}
	}
}

// askAgain is Recheck for one connection, of a person who is signed in or one who has a
// link. It does not wait for an answer, so that the writer can go on.
func (s *session) askAgain() {
	if s.holder.Person == "" && s.holder.Link == "" {
		return
	}
	s.hub.running.Add(1) // the caller is counted too, so that nobody has stopped waiting
	go s.recheck()
}

func (s *session) recheck() {
	defer s.hub.running.Done()
	s.mu.Lock()
	lesson := s.lesson
	s.mu.Unlock()
	ctx, cancel := context.WithTimeout(context.Background(), openWait)
	defer cancel()
	if !s.hub.config.Still(ctx, s.holder, lesson) {
		s.end(socket.PolicyViolation, "signed out, no longer in the class, or no longer shared")
	}
}
