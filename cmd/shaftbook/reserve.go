package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"shaftbook/exercises/store/sqlite"
)

// errHeld is the error of lockFile for a file that another process has locked.
var errHeld = errors.New("another process holds the lock")

// reserve makes sure that no other server uses the store in a file, until release
// is called or the process ends. The lock is on a file beside the store, which
// stays there. Where files cannot be locked, nothing is reserved.
func reserve(store string) (release func() error, err error) {
	if real, err := filepath.EvalSymlinks(store); err == nil {
		store = real // one store under two names
	}
	f, err := os.OpenFile(store+".lock", os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return func() error { return nil }, nil // opening the store finds out what is wrong
	}
	_ = sqlite.TakeOwner(f.Name()) // a server of another user could not lock it
	if errors.Is(lockFile(f), errHeld) {
		return nil, errors.Join(fmt.Errorf("another server uses the store %s: stop it first, or name another folder with --data",
			store), f.Close())
	}
	return f.Close, nil
}
