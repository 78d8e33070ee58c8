// Package postgres keeps learners' work in a PostgreSQL database, for several
// servers on one store.
package postgres

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"slices"
	"strconv"
	"strings"

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

// hasty lets a transaction end without waiting for the disk (PostgreSQL manual,
// section 30.4 "Asynchronous Commit").
const hasty = `SET LOCAL synchronous_commit = off`

var dialect = sqlstore.Dialect{Name: "postgres", Placeholder: '$', Serialise: serialise, Notify: notify, Hasty: hasty, Lost: lost, Fault: fault}

// Open opens the store in a database named as postgres://user@host/name. The
// database must exist; its tables are made. With several hosts, as in
// postgres://user@/name?host=a,b&target_session_attrs=read-write, the one that takes
// writes is found anew whenever connections are lost. One that acknowledges a commit
// before the disk has it is refused with [store.ErrNotDurable], also later, after a
// failover.
func Open(ctx context.Context, dsn string) (*sqlstore.Store, error) {
	config, err := parse(dsn)
	if err != nil {
		return nil, err
	}
	db := stdlib.OpenDB(*config, stdlib.OptionAfterConnect(checkDurable))
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	if err := db.PingContext(ctx); err != nil {
		var known store.Fault
		if f := fault(err); f != "" && !errors.As(err, &known) {
			err = fmt.Errorf("%w: %w", f, err)
		}
		return nil, errors.Join(err, db.Close())
	}
	d := dialect
	d.Listen = func(ctx context.Context, tell func(string)) { listen(ctx, config, tell) }
	return sqlstore.Open(ctx, d, &sqlstore.Pools{Write: db, Read: db}, false)
}

// Verify reads all answers and the log in a database and compares them with their
// checksums. It changes nothing, and makes no tables.
func Verify(ctx context.Context, dsn string) (found store.Verification, err error) {
	config, err := parse(dsn)
	if err != nil {
		return found, err
	}
	db := stdlib.OpenDB(*config)
	defer func() { err = errors.Join(err, db.Close()) }()
	found, err = sqlstore.VerifyDB(ctx, db)
	if f := fault(err); err != nil && f != "" {
		err = fmt.Errorf("%w: %w", f, err)
	}
	return found, err
}

func parse(dsn string) (*pgx.ConnConfig, error) {
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		return nil, fmt.Errorf("the address of the database cannot be read: %w", err)
	}
	if config.ConnectTimeout == 0 {
		config.ConnectTimeout = connectWait
	}
	config.DialFunc = dialer.DialContext
	return config, nil
}

// Hosts returns the hosts of an address of a database with their ports, as
// "a.example:5432, b.example:5432", or nothing if it cannot be read.
func Hosts(dsn string) string {
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		return ""
	}
	var all []string
	add := func(host string, port uint16) {
		if at := net.JoinHostPort(host, strconv.Itoa(int(port))); !slices.Contains(all, at) { // once with TLS and once without
			all = append(all, at)
		}
	}
	add(config.Host, config.Port)
	for _, f := range config.Fallbacks {
		add(f.Host, f.Port)
	}
	return strings.Join(all, ", ")
}

// checkDurable reads the two settings that acknowledging a commit rests on
// (PostgreSQL manual, section 20.5 "Write Ahead Log"). It is asked of every new
// connection, since a server that takes over may have others.
func checkDurable(ctx context.Context, conn *pgx.Conn) error {
	var fsync, commit string
	err := conn.QueryRow(ctx, "SELECT current_setting('fsync'), current_setting('synchronous_commit')").Scan(&fsync, &commit)
	switch {
	case err != nil:
		return err
	case fsync == "off":
		return fmt.Errorf("%w: set fsync to on", store.ErrNotDurable)
	case commit == "off":
		return fmt.Errorf("%w: set synchronous_commit to on", store.ErrNotDurable)
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
		case "57P01", "57P02": // admin_shutdown, crash_shutdown
			return store.ErrUnavailable
		case "XX001", "XX002": // data_corrupted, index_corrupted
			return store.ErrDamaged
		}
		return ""
	}
	var connecting *pgconn.ConnectError
	var network net.Error
	if errors.As(err, &connecting) || errors.As(err, &network) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return store.ErrUnavailable
	}
	return ""
}

// lost reports whether the server ended the connection, or nobody answers there: what
// was not committed is undone, and another connection may do better. The codes are
// those of the manual's appendix A.
func lost(err error) bool {
	var e *pgconn.PgError
	if errors.As(err, &e) {
		switch e.Code {
		case "57P01", "57P02", "57P03": // the server stops, has crashed, or is starting
			return true
		}
		return strings.HasPrefix(e.Code, "08") // the connection itself
	}
	return pgconn.SafeToRetry(err) || fault(err) == store.ErrUnavailable
}
