package sqlstore

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

	"shaftbook/exercises/store"
)

// The schema as a row of steps, one folder for each dialect. A step that was
// ever released is never changed; the next one mends it.
//
//go:embed migrations
var migrations embed.FS

// stepper returns what runs the steps of a dialect on a database.
func stepper(dialect string, db *sql.DB) (*goose.Provider, error) {
	steps, err := fs.Sub(migrations, "migrations/"+dialect)
	if err != nil {
		return nil, err
	}
	options := []goose.ProviderOption{goose.WithDisableGlobalRegistry(true), goose.WithLogger(goose.NopLogger())}
	if dialect == string(goose.DialectPostgres) {
		// Two servers that start at once take turns.
		locker, err := lock.NewPostgresSessionLocker(lock.WithLockTimeout(1, 60)) // once a second for a minute
		if err != nil {
			return nil, err
		}
		options = append(options, goose.WithSessionLocker(locker))
	}
	return goose.NewProvider(goose.Dialect(dialect), db, steps, options...)
}

// MakeEarlier gives an empty database the schema that a version of it had, for tests
// of what Open makes of a store that an earlier program kept.
func MakeEarlier(ctx context.Context, dialect string, db *sql.DB, version int64) error {
	provider, err := stepper(dialect, db)
	if err == nil {
		_, err = provider.UpTo(ctx, version)
	}
	return err
}

// migrate brings a database to the schema of this program.
func migrate(ctx context.Context, d Dialect, db *sql.DB) error {
	provider, err := stepper(d.Name, db)
	if err != nil {
		return err
	}
	have, want, err := provider.GetVersions(ctx)
	if err != nil {
		return err
	}
	if have > want {
		return fmt.Errorf("%w: it has schema %d, this program knows %d: use the newer program, or restore a copy from before the upgrade", store.ErrNewer, have, want)
	}
	if have == want {
		return nil
	}
	if _, err := provider.Up(ctx); err != nil {
		// Another process may have been first.
		if have, _, again := provider.GetVersions(ctx); again == nil && have == want {
			return nil
		}
		return err
	}
	return nil
}

// Newest is the schema version of this program in a dialect.
func Newest(dialect string) (int64, error) {
	files, err := fs.Glob(migrations, "migrations/"+dialect+"/*.sql")
	if err != nil || len(files) == 0 {
		return 0, fmt.Errorf("there is no schema for %q", dialect)
	}
	return goose.NumericComponent(files[len(files)-1])
}
