// Package open opens a learners' store by its name, so that a command that wants a
// store need not know the databases there are.
package open

import (
	"context"
	"strings"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
	"shaftbook/exercises/store/postgres"
	"shaftbook/exercises/store/sqlite"
)

// Store opens the store of a name: postgres://… (or postgresql://…) is a
// PostgreSQL database, anything else the path of an SQLite file, which is made
// if it is not there. See [postgres.Open] and [sqlite.Open] for the errors.
func Store(ctx context.Context, name string) (contract.Store, error) {
	if OnServer(name) {
		s, err := postgres.Open(ctx, name)
		if err != nil {
			return nil, err // not s, which would be a store that is not nil
		}
		return s, nil
	}
	s, err := sqlite.Open(ctx, name)
	if err != nil {
		return nil, err
	}
	return s, nil
}

// Verify reads all of the store of a name and compares what it holds with its
// checksums; it changes nothing, and makes no store. contents is what a file holds,
// empty for a database on a server.
func Verify(ctx context.Context, name string) (found store.Verification, contents string, err error) {
	if OnServer(name) {
		found, err = postgres.Verify(ctx, name)
		return found, "", err
	}
	found, all, err := sqlite.Verify(ctx, name)
	return found, all.String(), err
}

// Hosts returns where the database of a name is looked for, as host:port, with nothing of
// who uses it; empty for a file.
func Hosts(name string) string {
	if !OnServer(name) {
		return ""
	}
	return postgres.Hosts(name)
}

// UnknownScheme returns the scheme of a name that is like that of a database on a
// server, but of none that there is a store for; else it is empty.
func UnknownScheme(name string) string {
	scheme, _, found := strings.Cut(name, "://")
	if !found || OnServer(name) || strings.ContainsAny(scheme, "/\\.") {
		return ""
	}
	return scheme
}

// OnServer reports whether a name is that of a database on a server.
func OnServer(name string) bool {
	scheme, _, found := strings.Cut(name, "://")
	return found && (strings.EqualFold(scheme, "postgres") || strings.EqualFold(scheme, "postgresql"))
}
