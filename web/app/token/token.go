// Package token makes the secrets of sessions and one-time links, and the hashes
// under which the store keeps them.
package token

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"time"

	"shaftbook/exercises/class"
)

const sessionBytes = 32

// Hash is how a token of a session or a link is kept, so that a reader of the
// store cannot sign in with what is there.
func Hash(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// NewSession returns the token of a session.
func NewSession() string {
	b := make([]byte, sessionBytes)
	_, _ = rand.Read(b) // never fails: see crypto/rand
	return base64.RawURLEncoding.EncodeToString(b)
}

// Links keeps one-time links; contract.School has it.
type Links interface {
	PutLink(ctx context.Context, l class.Link) error
}

// NewLink makes a one-time link that works from now on for a time, and returns its
// path. The errors are those of PutLink.
func NewLink(ctx context.Context, store Links, l class.Link, now time.Time, valid time.Duration) (path string, err error) {
	secret := rand.Text()
	l.Hash, l.MadeAt, l.EndsAt = Hash(secret), now, now.Add(valid)
	if err := store.PutLink(ctx, l); err != nil {
		return "", err
	}
	return "/link/" + secret, nil
}
