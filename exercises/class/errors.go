package class

import (
	"crypto/sha256"
	"encoding/hex"

	"shaftbook/exercises/store"
)

// The refusals of a store of classes, beside those of package store.
const (
	ErrNone      = store.Refusal("class: there is no such thing")
	ErrTaken     = store.Refusal("class: somebody else has that name or identifier")
	ErrSpent     = store.Refusal("class: the link or code was used, has run out or never was")
	ErrStaff     = store.Refusal("class: an instructor's account cannot be touched this way")
	ErrElsewhere = store.Refusal("class: another class looks after the account")
	ErrOwnOut    = store.Refusal("class: a class keeps at least one instructor")
)

// HashText names a text: SHA-256, hexadecimal.
func HashText(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}
