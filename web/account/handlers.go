// Package account answers the requests with which people sign in, join a class,
// use a one-time link and look after their own account. Sessions finds the visitor
// who sent a request; RateLimits bound how often all this is tried. It begins at
// New; Handlers.Routes are its addresses.
package account

import (
	"context"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/account/password"
	"shaftbook/web/app/throttle"
	"shaftbook/web/app/token"
	"shaftbook/web/request"
)

// People keeps accounts; contract.School has it.
type People interface {
	Person(ctx context.Context, id string) (class.Person, error)
	PersonBySignIn(ctx context.Context, signIn string) (class.Person, error)
	HasInstructor(ctx context.Context) (bool, error)
	UpdatePerson(ctx context.Context, p class.Person) error
	SetPassword(ctx context.Context, person, encoded string) error
	Rehash(ctx context.Context, person, was, encoded string) error
	EndSessions(ctx context.Context, person string) error
	Dossier(ctx context.Context, person string) (class.Dossier, error)
}

// Links keeps one-time links and the codes of classes; contract.School has it.
type Links interface {
	token.Links
	LinkOf(ctx context.Context, hash string, now time.Time) (class.Link, error)
	Redeem(ctx context.Context, hash string, p class.Person, now time.Time) (class.Person, error)
	Claim(ctx context.Context, code, person, encoded string) error
}

// Classes is what accounts see of classes; contract.School has it.
type Classes interface {
	Class(ctx context.Context, id string) (class.Class, error)
	ClassByCode(ctx context.Context, code string) (class.Class, error)
	ClassesOf(ctx context.Context, person string) ([]class.Class, []class.Member, error)
	Members(ctx context.Context, class string) ([]class.Person, []class.Member, error)
	Note(ctx context.Context, e class.Entry) error
}

// A Store keeps all that accounts need.
type Store interface {
	People
	Links
	Classes
	SessionStore
}

// Handlers answer the requests about accounts.
type Handlers struct {
	*request.Site
	Store    Store
	Sessions *Sessions
	Limits   *RateLimits
	Recheck  func(person string) // closes the live connections that a person may no longer have

	passwords *password.Hasher
}

// New returns the handlers of a site. recheck closes the live connections that a
// person may no longer have. tries keeps how often it was tried to sign in; nil keeps
// it in the memory of this server.
func New(site *request.Site, store Store, tries throttle.Keeper, recheck func(person string)) *Handlers {
	return &Handlers{
		Site: site, Store: store, Limits: NewRateLimits(tries), Recheck: recheck, passwords: password.NewHasher(),
		Sessions: &Sessions{Site: site, Store: store, Recheck: recheck},
	}
}
