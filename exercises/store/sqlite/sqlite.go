// Package sqlite keeps learners' work in one SQLite file: the store of a server
// that was given nothing but a folder. It also copies such a file while it is in
// use, and puts a copy back.
package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	_ "modernc.org/sqlite" // the driver "sqlite"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlstore"
)

const driverName = "sqlite"

// readers is the size of the pool of reading connections.
const readers = 4

// settings hold on every connection.
//
//   - journal_mode WAL: readers and the writer do not wait for each other.
//   - synchronous FULL: a commit returns when the disk has it. NORMAL would lose
//     the last commits with the power (sqlite.org/pragma.html#pragma_synchronous).
//   - busy_timeout: a backup or a second process is waited for.
//   - foreign_keys: SQLite leaves them off otherwise.
//   - wal_autocheckpoint off: see files.writeBack.
//   - trusted_schema off: a prepared file cannot run functions through its schema.
var settings = []string{
	"busy_timeout(5000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)", "trusted_schema(0)",
	"wal_autocheckpoint(0)",
}

// FileIn is the path of the store in a data folder.
func FileIn(folder string) string { return filepath.Join(folder, "shaftbook.db") }

// Open opens the store in a file, which is made if it is not there; its folder
// must be. The file must lie on a local disk: locks on network drives do not
// hold. The error is [store.ErrReadOnly], [store.ErrFull],
// [store.ErrNewer], [store.ErrNotOurs] or another of package store's.
func Open(ctx context.Context, path string) (*sqlstore.Store, error) {
	s, err := open(ctx, path)
	return s, namedRights(namedFull(err, filepath.Dir(path)), path)
}

// open is Open with further settings for the writer, which tests use to make a
// disk full.
func open(ctx context.Context, path string, further ...string) (*sqlstore.Store, error) {
	if err := tryFolder(filepath.Dir(path)); err != nil {
		return nil, err
	}
	if err := makeFile(path); err != nil {
		return nil, err
	}
	if err := look(ctx, path); err != nil {
		return nil, err
	}
	p := &location{path: path, further: further}
	pools, err := p.open(ctx)
	if err != nil {
		return nil, err
	}
	d := dialect
	d.Place = p
	d.Room = func(sure bool) error { return room(filepath.Dir(path), sure) }
	d.Wipe = p.wipe
	return sqlstore.Open(ctx, d, pools, true)
}

// openPools opens the file of a store that is there; it makes none. check is called
// before each connection.
func openPools(ctx context.Context, path string, check func() error, further ...string) (*sqlstore.Pools, error) {
	syncData()
	registered, err := sql.Open(driverName, "")
	if err != nil {
		return nil, err
	}
	pool := func(dsn string) *sql.DB { return sql.OpenDB(&connector{registered.Driver(), dsn, check}) }
	pools := &sqlstore.Pools{
		Write: pool(dsn(path, "&mode=rw&_txlock=immediate", append(settings, further...)...)),
		Read:  pool(dsn(path, "&mode=rw", append(settings, "query_only(1)")...)),
	}
	pools.Write.SetMaxOpenConns(1)
	pools.Read.SetMaxOpenConns(readers)
	pools.Read.SetMaxIdleConns(readers)
	if err := errors.Join(registered.Close(), checkVersion(ctx, pools.Write)); err != nil {
		return nil, errors.Join(err, pools.Close())
	}
	return pools, nil
}

// dsn writes a path and settings the way the driver wants them.
func dsn(path, parameters string, pragmas ...string) string {
	u := url.URL{Scheme: "file", Opaque: (&url.URL{Path: path}).EscapedPath()}
	var b strings.Builder
	b.WriteString(u.String() + "?_defensive=1&_error_rc=1" + parameters)
	for _, p := range pragmas {
		b.WriteString("&_pragma=" + url.QueryEscape(p))
	}
	return b.String()
}

// tryFolder makes and removes a file in the folder. SQLite needs to make files
// beside its own, and of a folder where it cannot it only reports that the file
// cannot be opened.
func tryFolder(folder string) error {
	f, err := os.CreateTemp(folder, ".shaftbook-*")
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("the folder of the store is not there: %w", err)
	}
	if err != nil {
		return systemFault(err)
	}
	return errors.Join(f.Close(), os.Remove(f.Name()))
}

// makeFile makes an empty file that only its owner can read, if there is none.
// SQLite gives the files it makes beside it the same rights.
func makeFile(path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return systemFault(err)
	}
	return errors.Join(f.Close(), TakeOwner(path))
}

// look refuses a file that holds something else than a store before a setting
// touches it. A file that is missing or empty is a store to be.
func look(ctx context.Context, path string) error {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) || err == nil && info.Size() == 0 {
		return nil
	}
	if err != nil {
		return systemFault(err)
	}
	db, err := peek(path)
	if err != nil {
		return err
	}
	defer db.Close()
	id, objects, err := identity(ctx, db)
	if err != nil {
		return err
	}
	if id == applicationID {
		return notNewer(ctx, db)
	}
	// A process that ended between making the file and the first step of the
	// schema leaves no table and no number behind.
	if id != 0 || objects > 0 {
		return fmt.Errorf("%w: %s", store.ErrNotOurs, path)
	}
	return nil
}

// applicationID is set by the first step of the schema.
const applicationID = 1397245524

// peek opens a file that may be a store, for questions on one connection, which reads
// the schema once.
func peek(path string) (*sql.DB, error) {
	db, err := sql.Open(driverName, dsn(path, "&mode=rw", "busy_timeout(5000)", "query_only(1)"))
	if err == nil {
		db.SetMaxOpenConns(1)
	}
	return db, err
}

// identity reads the number by which a file is known, and how many tables and
// indexes it has.
func identity(ctx context.Context, db *sql.DB) (id, objects int64, err error) {
	err = db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id)
	if err == nil {
		err = db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema
			WHERE name NOT LIKE 'goose%' AND name NOT LIKE 'sqlite%'`).Scan(&objects)
	}
	return id, objects, wrap(err)
}

// notNewer refuses a store with a schema that this program does not know.
func notNewer(ctx context.Context, db *sql.DB) error {
	var have int64
	if err := db.QueryRowContext(ctx, "SELECT max(version_id) FROM goose_db_version WHERE is_applied").Scan(&have); err != nil {
		return wrap(err)
	}
	newest, err := sqlstore.Newest(dialect.Name)
	if err != nil {
		return err
	}
	if have > newest {
		return fmt.Errorf("%w: it has schema %d, this program knows %d: use the newer program, or restore a copy from before the upgrade", store.ErrNewer, have, newest)
	}
	return nil
}

// checkVersion refuses an SQLite that can lose commits in WAL mode when it has
// two connections (3.7.0 to 3.51.2; sqlite.org/wal.html#the_wal_reset_bug).
func checkVersion(ctx context.Context, db *sql.DB) error {
	var version string
	if err := db.QueryRowContext(ctx, "SELECT sqlite_version()").Scan(&version); err != nil {
		return wrap(err)
	}
	if !recent(version) {
		return fmt.Errorf("SQLite %s can lose work (fixed in 3.51.3); build shaftbook with a newer modernc.org/sqlite", version)
	}
	return nil
}

// recent reports whether a version x.y.z is at least 3.51.3.
func recent(version string) bool {
	parts := strings.Split(version, ".")
	for i, least := range []int{3, 51, 3} {
		if i >= len(parts) {
			return false
		}
		n, err := strconv.Atoi(parts[i])
		if err != nil || n != least {
			return err == nil && n > least
		}
	}
	return true
}
