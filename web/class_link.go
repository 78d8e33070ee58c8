package web

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"net/http"
	"strings"
	"time"

	"shaftbook/exercises/class"
)

// classLink makes a one-time link that the class of the address hands out, and
// returns its whole address.
func (s *Server) classLink(r *http.Request, purpose class.Purpose, person string, valid time.Duration) (string, error) {
	v, token := of(r), rand.Text()
	err := s.Class.PutLink(r.Context(), class.Link{
		Hash: hashToken(token), Purpose: purpose, Person: person, Class: v.class.ID, MadeBy: v.person.ID,
		MadeAt: s.now(), EndsAt: s.now().Add(valid),
	})
	if err != nil {
		return "", err
	}
	return s.originFor(r) + "/link/" + token, nil
}

// startLinkFor is how long a link works that whoever starts the server gets.
const startLinkFor = 24 * time.Hour

// SetUpLink makes a one-time link for the first instructor of a server, which
// ends an earlier one, and returns its whole address. class.ErrTaken where there
// is an instructor.
func (s *Server) SetUpLink(ctx context.Context) (string, error) {
	return s.startLink(ctx, class.Link{Purpose: class.ForSetUp})
}

// EntryLink makes a one-time link with which somebody chooses another password,
// for who lost it and has nobody to ask. class.ErrNone if nobody has the sign-in
// name.
func (s *Server) EntryLink(ctx context.Context, signIn string) (string, error) {
	p, err := s.Class.PersonBySignIn(ctx, signIn)
	if err != nil {
		return "", err
	}
	return s.startLink(ctx, class.Link{Purpose: class.ForEntry, Person: p.ID})
}

func (s *Server) startLink(ctx context.Context, l class.Link) (string, error) {
	token := rand.Text()
	l.Hash, l.MadeAt, l.EndsAt = hashToken(token), s.now(), s.now().Add(startLinkFor)
	if err := s.Class.PutLink(ctx, l); err != nil {
		return "", err
	}
	return strings.TrimSuffix(s.readersURL(), "/") + "/link/" + token, nil
}

// readersURL is the address under which readers reach the server: the first
// origin it was told of, or its own.
func (s *Server) readersURL() string {
	if len(s.Origins) > 0 {
		return s.Origins[0]
	}
	return s.URL()
}

// studentData is everything kept about a person, for the person or whoever the
// person asks. What opens an account is no part of it.
func studentData(d class.Dossier) ([]byte, error) {
	d.Person.Password, d.Person.Feed = "", ""
	// What there is nothing of is an empty list to whoever reads the file.
	d.Members, d.Extensions, d.Overrides = listed(d.Members), listed(d.Extensions), listed(d.Overrides)
	d.Attempts, d.Regraded = listed(d.Attempts), listed(d.Regraded)
	d.Predictions, d.Hints, d.Entries = listed(d.Predictions), listed(d.Hints), listed(d.Entries)
	return json.MarshalIndent(d, "", "  ")
}

func listed[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
