package store

import "time"

// A Share is a link with which anybody can see a page of a learner's own, as the page is
// at that moment. The store keeps the hash of its secret only.
type Share struct {
	ID      string // names the link to its owner; opens nothing
	Hash    string // SHA-256 of the secret, hexadecimal
	Learner string // whose page it is
	Page    string
	By      string // the name that is shown with the page; empty for none
	MadeAt  time.Time
	EndsAt  time.Time // zero for a link that does not end by itself

	PageName    string // the name of the page; the store fills it in, as the rest
	PageDeleted bool   // the page is deleted, so that the link does not work until it is brought back
}

// Validate returns an error that wraps [ErrInvalid] for a link that no store may keep.
func (s *Share) Validate() error {
	switch {
	case s.ID == "" || s.Hash == "" || s.Learner == "" || s.Page == "":
		return invalid("a link needs an identifier, a hash, a learner and a page")
	case s.MadeAt.IsZero():
		return invalid("a link needs a time")
	case !s.EndsAt.IsZero() && !s.EndsAt.After(s.MadeAt):
		return invalid("a link ends after it is made")
	}
	return texts(field{"identifier", s.ID, maxName}, field{"hash", s.Hash, maxName}, field{"learner", s.Learner, maxName},
		field{"page", s.Page, maxName}, field{"name", s.By, maxName})
}
