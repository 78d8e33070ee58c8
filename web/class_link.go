package web

import (
	"crypto/rand"
	"encoding/json"
	"net/http"
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

// studentData is everything kept about a person, for the person or whoever the
// person asks. What opens an account is no part of it.
func studentData(d class.Dossier) ([]byte, error) {
	d.Person.Password, d.Person.Feed = "", ""
	return json.MarshalIndent(d, "", "  ")
}
