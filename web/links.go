package web

import (
	"context"
	"strings"
)

// SetUpLink makes a one-time link for the first instructor of a server, which
// ends an earlier one, and returns its whole address. class.ErrTaken where there
// is an instructor.
func (s *Server) SetUpLink(ctx context.Context) (string, error) {
	path, err := s.account.SetUpLink(ctx)
	return s.readersURL() + path, err
}

// EntryLink makes a one-time link with which a person chooses another password,
// where it was lost and there is no instructor to ask. class.ErrNone if the sign-in
// name is not known.
func (s *Server) EntryLink(ctx context.Context, signIn string) (string, error) {
	path, err := s.account.EntryLink(ctx, signIn)
	return s.readersURL() + path, err
}

// readersURL is the address under which readers reach the server, without a slash
// at its end: the first origin it was told of, or its own.
func (s *Server) readersURL() string {
	if len(s.Origins) > 0 {
		return strings.TrimSuffix(s.Origins[0], "/")
	}
	return strings.TrimSuffix(s.URL(), "/")
}
