package sqlite

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"os"
	"sync/atomic"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlstore"
)

// location is the path of a store, with the file that was found there when it was
// opened. It implements sqlstore.Place.
//
// SQLite goes on writing to a file that was removed, moved away or replaced, since
// it has it open; all of that is lost. The file itself must not be opened here to
// look at it: closing it again would end SQLite's locks (sqlite.org/howtocorrupt.html,
// section 2.2).
type location struct {
	path    string
	further []string                // settings for the writer
	secrets string                  // of the store, once it was asked for: see secretsOf
	at      atomic.Pointer[opening] // nil while the old file is closed and what is there now is not open yet
}

// An opening is a file as it was found, with what is open.
type opening struct {
	found os.FileInfo
	files *files
}

// open opens the file at the path.
func (p *location) open(ctx context.Context) (*sqlstore.Pools, error) {
	before, err := os.Stat(p.path)
	if err != nil {
		return nil, systemFault(err)
	}
	check := func() error { _, err := p.inPlace(before); return err }
	pools, err := openPools(ctx, p.path, check, p.further...)
	if err != nil {
		return nil, err
	}
	keeper := sql.OpenDB(&connector{pools.Write.Driver(), dsn(p.path, "&mode=rw", settings...), check})
	keeper.SetMaxOpenConns(1)
	f, err := openFiles(ctx, p.path, keeper)
	if err != nil {
		return nil, errors.Join(err, pools.Close(), keeper.Close())
	}
	pools.Files = f
	pools.Spoilt = func() bool {
		inPlace := func() (os.FileInfo, error) { return p.inPlace(before) }
		_, err := inPlace()
		return err == nil && f.check(inPlace) != nil && f.found() == spoilt
	}
	if err := check(); err != nil { // replaced just now: which of the two is open is not known
		return nil, errors.Join(err, pools.Close())
	}
	p.at.Store(&opening{before, f})
	return pools, nil
}

// inPlace returns a store.ErrGone if the file at the path is not the one that was
// opened.
func (p *location) inPlace(opened os.FileInfo) (there os.FileInfo, err error) {
	there, err = os.Stat(p.path)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", store.ErrGone, err)
	}
	if !os.SameFile(there, opened) {
		return nil, fmt.Errorf("%w: there is another file at %s", store.ErrGone, p.path)
	}
	return there, nil
}

// Check implements sqlstore.Place. It costs some microseconds, a hundredth of what a
// commit waits for the disk.
func (p *location) Check() error {
	at := p.at.Load()
	if at == nil {
		return store.ErrGone
	}
	return at.files.check(func() (os.FileInfo, error) { return p.inPlace(at.found) })
}

// Reopen implements sqlstore.Place. The file that is there now must be a store with
// the secrets of the one that was open, as a restored backup is: with others the
// learners' numbers would change. What the log of the old file holds is first
// written back, since a new file must not have the log of another beside it; it is
// also what saves a log that was removed. A database and a log that were written over
// do not fit each other, and are left as they are.
func (p *location) Reopen(ctx context.Context, old *sqlstore.Pools) (*sqlstore.Pools, error) {
	if _, err := os.Stat(p.path); err != nil {
		return nil, systemFault(err)
	}
	if at := p.at.Load(); at != nil {
		if err := p.leave(ctx, at, old); err != nil {
			return nil, err
		}
	} else if err := p.sameStore(ctx); err != nil {
		return nil, err
	}
	if n := old.Read.Stats().InUse; n > 0 {
		return nil, fmt.Errorf("%w: %d readers of the old file", store.ErrBusy, n)
	}
	return p.open(ctx)
}

// leave closes the old file if the one that is there now can take its place.
func (p *location) leave(ctx context.Context, at *opening, old *sqlstore.Pools) error {
	held, err := at.files.keeper.Conn(ctx)
	if err != nil {
		return wrap(err)
	}
	defer held.Close()
	_, elsewhere := p.inPlace(at.found)
	harm := at.files.found()
	if elsewhere == nil && harm == spoilt {
		return errors.New("restart the server")
	}
	if p.secrets, err = secretsOf(ctx, held); err != nil {
		return wrap(err)
	}
	if elsewhere != nil {
		if err := p.sameStore(ctx); err != nil {
			return err
		}
	}
	if harm == spoilt {
		err = at.files.dropLog() // it belongs to the file that was written over
	} else {
		err = emptyLog(ctx, held)
	}
	if err != nil {
		return err
	}
	held.Close()
	p.at.Store(nil)
	return old.Close()
}

// sameStore returns an error unless the file that is there now is a store of this
// program's schema with the secrets of the one that was open. It looks at the file
// without its log, which may be that of the old one.
func (p *location) sameStore(ctx context.Context) (err error) {
	db, err := sql.Open(driverName, dsn(p.path, "&mode=ro&immutable=1"))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	var id, have int64
	if err := db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return wrap(err)
	}
	if id != applicationID {
		return fmt.Errorf("%w, as far as it goes without its log: %s; if it is one, restart the server", store.ErrNotOurs, p.path)
	}
	if err := db.QueryRowContext(ctx, "SELECT max(version_id) FROM goose_db_version WHERE is_applied").Scan(&have); err != nil {
		return wrap(err)
	}
	newest, err := sqlstore.Newest(dialect.Name)
	if err != nil {
		return err
	}
	if have != newest {
		return fmt.Errorf("the store at %s has schema %d, not %d: restart the server to use it", p.path, have, newest)
	}
	there, err := secretsOf(ctx, db)
	if err != nil {
		return wrap(err)
	}
	if there != p.secrets {
		return fmt.Errorf("%s is another store: restart the server to use it", p.path)
	}
	return nil
}

// A queryer is a pool or a connection.
type queryer interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// secretsOf is a hash of the secrets of a store, by which it is told from others.
func secretsOf(ctx context.Context, db queryer) (string, error) {
	rows, err := db.QueryContext(ctx, "SELECT name, value FROM secrets ORDER BY name")
	if err != nil {
		return "", err
	}
	defer rows.Close()
	h := sha256.New()
	for rows.Next() {
		var name, value string
		if err := rows.Scan(&name, &value); err != nil {
			return "", err
		}
		fmt.Fprintf(h, "%q %q\n", name, value)
	}
	return string(h.Sum(nil)), rows.Err()
}

// emptyLog writes the log of the open file back into it, wherever that is now.
func emptyLog(ctx context.Context, db *sql.Conn) error {
	var busy, inLog, moved int
	if err := db.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &inLog, &moved); err != nil {
		return wrap(err)
	}
	if busy != 0 {
		return store.ErrBusy
	}
	return nil
}

// connector opens connections to the file of a store, but to no other file that has
// taken its name: SQLite would read the log of the old file into it.
type connector struct {
	driver driver.Driver
	dsn    string
	check  func() error
}

func (c *connector) Driver() driver.Driver { return c.driver }

func (c *connector) Connect(context.Context) (driver.Conn, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	return c.driver.Open(c.dsn)
}
