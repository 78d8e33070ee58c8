// Package postgres keeps learners' work in a PostgreSQL database, for several
// servers on one store.
package postgres

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlstore"
)

// connections is the size of the pool of one server.
const connections = 16

// serialise makes the transactions of one learner follow one another, so that
// attempts are numbered without gaps and no two devices read the same revision.
// Learners whose names share a hash wait for each other, which is harmless.
const serialise = `SELECT pg_advisory_xact_lock(hashtextextended($1, 0))`

var dialect = sqlstore.Dialect{Name: "postgres", Placeholder: '$', Serialise: serialise, Notify: notify, Fault: fault}

// Open opens the store in a database named as postgres://user@host/name. The
// database must exist; its tables are made. One that acknowledges a commit
// before the disk has it is refused with [store.ErrNotDurable].
func Open(ctx context.Context, dsn string) (*sqlstore.Store, error) {
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		return nil, fmt.Errorf("the address of the database cannot be read: %w", err)
	}
	db := stdlib.OpenDB(*config)
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	if err := checkDurable(ctx, db); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	d := dialect
	d.Listen = func(ctx context.Context, tell func(string)) { listen(ctx, config, tell) }
	return sqlstore.Open(ctx, d, db, db, false)
}

// Verify reads all answers and the log in a database and compares them with their
// checksums. It changes nothing, and makes no tables.
func Verify(ctx context.Context, dsn string) (found store.Verification, err error) {
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		return found, fmt.Errorf("the address of the database cannot be read: %w", err)
	}
	db := stdlib.OpenDB(*config)
	defer func() { err = errors.Join(err, db.Close()) }()
	found, err = sqlstore.VerifyDB(ctx, db)
	if f := fault(err); err != nil && f != "" {
		err = fmt.Errorf("%w: %w", f, err)
	}
	return found, err
}

// checkDurable reads the two settings that acknowledging a commit rests on
// (PostgreSQL manual, section 20.5 "Write Ahead Log").
func checkDurable(ctx context.Context, db *sql.DB) error {
	for _, setting := range []string{"fsync", "synchronous_commit"} {
		var value string
		if err := db.QueryRowContext(ctx, "SELECT current_setting($1)", setting).Scan(&value); err != nil {
			if f := fault(err); f != "" {
				return fmt.Errorf("%w: %w", f, err)
			}
			return err
		}
		if value == "off" {
			return fmt.Errorf("%w: set %s to on", store.ErrNotDurable, setting)
		}
	}
	return nil
}

// fault sorts an error by the server's code (PostgreSQL manual, appendix A).
func fault(err error) store.Fault {
	var e *pgconn.PgError
	if errors.As(err, &e) {
		switch e.Code {
		case "53100": // disk_full
			return store.ErrFull
		case "25006", "42501": // read_only_sql_transaction, insufficient_privilege
			return store.ErrReadOnly
		case "53300", "55P03", "57P03", "40001", "40P01": // too many connections, locked, starting, conflicts
			return store.ErrBusy
		case "XX001", "XX002": // data_corrupted, index_corrupted
			return store.ErrDamaged
		}
		return ""
	}
	var connecting *pgconn.ConnectError
	var network net.Error
	if errors.As(err, &connecting) || errors.As(err, &network) {
		return store.ErrUnavailable
	}
	return ""
}
