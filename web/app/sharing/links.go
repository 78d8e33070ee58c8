// Package sharing lets others see pages of a learner's own: anybody who has a link
// (Links), and in a class the instructors, who answer beside a block (Shown). What they
// see is the page as it is at that moment; nothing that they do is kept with it. It does
// not use HTTP.
package sharing

import (
	"context"
	"crypto/rand"
	"errors"
	"time"
	"unicode/utf8"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/web/app/throttle"
	"shaftbook/web/app/token"
)

// What can be shared.
const (
	MostLinks = 10 // of one page, that have not ended
	NameLimit = 80 // characters of the name that is shown
)

// The reasons for which nothing is shared.
var (
	ErrOff      = errors.New("sharing is switched off")
	ErrNoLength = errors.New("a link has no such length")
	ErrNameLong = errors.New("a name is too long")
)

// A TooSoonError is the error of one who has tried many links that do not exist.
type TooSoonError struct{ Wait time.Duration }

func (e *TooSoonError) Error() string { return "too many links were tried that do not exist" }

// A Length is how long a link can work.
type Length struct {
	Key, Words string
	For        time.Duration // 0 for a link that does not end by itself
}

const day = 24 * time.Hour

// Lengths are what can be chosen.
var Lengths = []Length{{"day", "1 day", day}, {"week", "1 week", 7 * day}, {"month", "1 month", 30 * day}, {"never", "until I withdraw it", 0}}

// Links makes, finds and withdraws links to pages.
type Links struct {
	Store contract.Shares
	Now   func() time.Time
	Off   bool // no link works and none is made

	guesses *throttle.Waits
}

// NewLinks returns links that are kept in a store. What is tried in vain is counted in
// tries, or by this server if it is nil.
func NewLinks(s contract.Shares, now func() time.Time, off bool, tries throttle.Keeper) *Links {
	return &Links{Store: s, Now: now, Off: off, guesses: throttle.NewWaits(
		// A class behind one address can mistype a link each before anyone waits.
		throttle.Rule{Name: "links address", Free: 60, First: time.Second, Longest: time.Minute, Forgives: 5 * time.Second}, tries)}
}

// Share makes a link to a page of a learner's, with the name by which the page is said
// to be shared, and returns its secret, which is not kept. The errors are ErrOff,
// ErrNoLength, ErrNameLong, store.ErrSharesFull and class.ErrNone.
func (l *Links) Share(ctx context.Context, learner, page, length, name string) (secret string, made store.Share, err error) {
	switch {
	case l.Off:
		return "", made, ErrOff
	case learner == "":
		return "", made, class.ErrNone
	case utf8.RuneCountInString(name) > NameLimit:
		return "", made, ErrNameLong
	}
	lasts, err := lengthOf(length)
	if err != nil {
		return "", made, err
	}
	secret = rand.Text()
	made = store.Share{ID: class.NewID(), Hash: token.Hash(secret), Learner: learner, Page: page, By: name, MadeAt: l.Now()}
	if lasts.For > 0 {
		made.EndsAt = made.MadeAt.Add(lasts.For)
	}
	return secret, made, l.Store.AddShare(ctx, made, MostLinks)
}

func lengthOf(key string) (Length, error) {
	for _, l := range Lengths {
		if l.Key == key {
			return l, nil
		}
	}
	return Length{}, ErrNoLength
}

// Of returns the links to a page that work, the oldest first.
func (l *Links) Of(ctx context.Context, learner, page string) ([]store.Share, error) {
	if l.Off || learner == "" {
		return nil, nil
	}
	return l.Store.SharesOf(ctx, learner, page, l.Now())
}

// Withdraw ends a link of a learner.
func (l *Links) Withdraw(ctx context.Context, learner, id string) error {
	if learner == "" {
		return class.ErrNone
	}
	return l.Store.WithdrawShare(ctx, learner, id)
}

// Open returns the page of a secret for one who asks from an address. class.ErrNone
// whatever the reason why there is nothing to see; a TooSoonError for one who guesses.
func (l *Links) Open(ctx context.Context, secret, address string) (store.Share, store.Page, error) {
	ctx = context.WithoutCancel(ctx) // one who goes away has tried too
	wait, err := l.guesses.Try(ctx, address, l.Now())
	if err == nil && wait > 0 {
		err = &TooSoonError{wait}
	}
	if err != nil {
		return store.Share{}, store.Page{}, err
	}
	s, p, err := l.Find(ctx, secret)
	if errors.Is(err, class.ErrNone) {
		return s, p, err
	}
	return s, p, errors.Join(err, l.guesses.Back(ctx, address, l.Now()))
}

// Find is Open for one whose tries were counted before.
func (l *Links) Find(ctx context.Context, secret string) (store.Share, store.Page, error) {
	if l.Off {
		return store.Share{}, store.Page{}, class.ErrNone
	}
	return l.Store.Shared(ctx, token.Hash(secret), l.Now())
}
