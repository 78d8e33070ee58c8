package live

import (
	"time"

	"shaftbook/web/socket"
)

// startWriting is called when there is something to write. A connection that is idle
// has no writer, since a goroutine takes some kilobytes.
func (s *session) startWriting() {
	if s.writing.CompareAndSwap(false, true) {
		s.hub.running.Add(1) // whoever put something into the outbox is counted too
		go s.write()
	}
}

// write is the connection's one writer of data frames. It ends when there is nothing
// to write.
func (s *session) write() {
	defer s.hub.running.Done()
	for {
		select {
		case <-s.out.ready:
			frames, answered, closed := s.out.take()
			for _, frame := range frames {
				if err := s.conn.WriteText(frame); err != nil {
					s.conn.Close() // wakes the reader, which cleans up
					return         // and nobody writes any more
				}
			}
			if meter := s.hub.config.Meter; meter != nil {
				for _, asked := range answered {
					meter.Edit(time.Since(asked))
				}
			}
			if closed {
				return
			}
		default:
			s.writing.Store(false)
			if len(s.out.ready) == 0 || !s.writing.CompareAndSwap(false, true) {
				return
			}
		}
	}
}

// look is called now and then while the connection is open.
func (s *session) look() {
	s.mu.Lock()
	if s.ended {
		s.mu.Unlock()
		return
	}
	s.hub.running.Add(1) // the reader is counted too: it sets ended before it ends
	s.mu.Unlock()
	defer s.hub.running.Done()
	if err := s.conn.Ping(); err != nil {
		s.conn.Close()
		return
	}
	s.putAway()
	s.stillThere()
	s.askAgain()
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.ended {
		s.looks.Reset(socket.PingPeriod)
	}
}

// putAway lets go of what is only there to be quick, when the page has not been used for
// a while. What the reader has changed stays, and so do the judgements that go on.
func (s *session) putAway() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.judging.present == nil && time.Since(s.lastUsed) > idleWorking {
		s.judging.memory = nil
	}
}
