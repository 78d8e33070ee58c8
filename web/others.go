package web

import (
	"context"
	"strings"
	"time"

	"shaftbook/web/request"
)

// tellWait is how long the others are told, at most.
const tellWait = 10 * time.Second

// recheck closes the live connections that a person may no longer have, here and at
// the other servers on the store.
func (s *Server) recheck(person string) {
	s.hub.Recheck(person)
	if person == "" {
		return
	}
	ctx, cancel := context.WithTimeout(context.Background(), tellWait)
	defer cancel()
	if err := s.Classes.Tell(ctx, request.AboutPerson+person); err != nil {
		s.Log.Warn("other servers close the connections of somebody who signed out a little later", "error", err)
	}
}

// followOthers does here what other servers tell. What is missed while there is no
// connection to the store is found at the next ping of each connection.
func (s *Server) followOthers() {
	ctx, stop := context.WithCancel(context.Background())
	s.stopFollowing = stop
	news, err := s.Classes.Watch(ctx)
	if err != nil {
		s.Log.Warn("what other servers tell is not heard", "error", err)
		return
	}
	go func() {
		for name := range news {
			if person, ok := strings.CutPrefix(name, request.AboutPerson); ok {
				s.hub.Recheck(person)
			}
		}
	}()
}
