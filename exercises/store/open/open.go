// Package open opens a learners' store by its name, so that a command that wants a
// store need not know the databases there are.
package open

import (
	"context"
	"strings"

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

// OnServer reports whether a name is that of a database on a server.
func OnServer(name string) bool {
	scheme, _, found := strings.Cut(name, "://")
	return found && (strings.EqualFold(scheme, "postgres") || strings.EqualFold(scheme, "postgresql"))
}
