package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	sqlite3 "modernc.org/sqlite"

	"shaftbook/exercises/store"
)

// An Option changes what Backup and Restore refuse.
type Option int

// KeepDamaged copies a store also if some of its answers or lines of the log are not
// as they were written, for want of a better one.
const KeepDamaged Option = 1

// Backup copies the store in a file, which may be in use, to another file: all
// of what was committed at one moment. The copy is checked and on the disk
// before it takes its name, so the name never holds half a copy. It replaces an
// earlier copy, and no other file ([store.ErrNotOurs]). A store with a damaged row is
// not copied ([store.ErrDamaged]), so that the earlier copy stays.
func Backup(ctx context.Context, from, to string, options ...Option) (Contents, error) {
	if err := mustBeStore(ctx, from); err != nil {
		return nil, namedRights(err, from)
	}
	if err := mayReplace(ctx, from, to); err != nil {
		return nil, err
	}
	part, contents, err := checkedCopy(ctx, from, to, "&mode=rw", options)
	if err != nil {
		return nil, namedRights(namedFull(err, filepath.Dir(to)), from)
	}
	return contents, takeName(part, to)
}

// mustBeStore refuses a file that is missing or is not a store with its tables.
func mustBeStore(ctx context.Context, path string) error {
	if _, err := os.Stat(path); err != nil {
		return systemFault(err)
	}
	db, err := peek(path)
	if err != nil {
		return err
	}
	defer db.Close()
	id, _, err := identity(ctx, db)
	if err == nil && id != applicationID {
		err = fmt.Errorf("%w: %s", store.ErrNotOurs, path)
	}
	return err
}

// mayReplace refuses a target that is the store itself or not a store.
func mayReplace(ctx context.Context, from, to string) error {
	there, err := os.Stat(to)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return systemFault(err)
	}
	store, err := os.Stat(from)
	if err != nil {
		return systemFault(err)
	}
	if there.IsDir() {
		return fmt.Errorf("%s is a folder; name a file in it for the copy, such as %s", to, filepath.Join(to, "shaftbook-copy.db"))
	}
	if os.SameFile(there, store) {
		return fmt.Errorf("%s is the store itself; name another file for the copy", to)
	}
	return look(ctx, to)
}

// checkedCopy copies a store to a file beside the one it is to become, checks
// the copy and waits for the disk. On error nothing is left.
func checkedCopy(ctx context.Context, from, to, mode string, options []Option) (name string, contents Contents, err error) {
	f, err := os.CreateTemp(filepath.Dir(to), "."+filepath.Base(to)+"-*")
	if err != nil {
		return "", nil, systemFault(err)
	}
	part := f.Name()
	defer func() {
		if err != nil {
			for _, end := range []string{"", "-journal", "-wal", "-shm"} {
				os.Remove(part + end)
			}
		}
	}()
	if err := f.Close(); err != nil {
		return "", nil, err
	}
	if err := copyPages(ctx, dsn(from, mode, "busy_timeout(5000)", "query_only(1)"), dsn(part, "")); err != nil {
		return "", nil, wrap(err)
	}
	if contents, err = check(ctx, part, options); err != nil {
		return "", nil, err
	}
	return part, contents, onDisk(part)
}

// A backuper is a connection of the driver.
type backuper interface {
	NewBackup(to string) (*sqlite3.Backup, error)
}

// copyPages copies all pages in one step, and so of one moment. Writers go on
// meanwhile, since the source is in WAL mode.
func copyPages(ctx context.Context, from, to string) error {
	db, err := sql.Open(driverName, from)
	if err != nil {
		return err
	}
	defer db.Close()
	conn, err := db.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return conn.Raw(func(c any) error {
		b, err := c.(backuper).NewBackup(to)
		if err != nil {
			return err
		}
		_, err = b.Step(-1)
		return errors.Join(err, b.Finish())
	})
}

// check makes a copy one file that any folder can hold, reads all of it, and
// reports what is in it.
func check(ctx context.Context, path string, options []Option) (contents Contents, err error) {
	db, err := sql.Open(driverName, dsn(path, "&mode=rw"))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	defer func() { err = errors.Join(err, db.Close()) }()
	// The copy has the source's WAL mode in its head, in which opening it would
	// need two more files.
	var mode string
	if err := db.QueryRowContext(ctx, "PRAGMA journal_mode=DELETE").Scan(&mode); err != nil {
		return nil, wrap(err)
	}
	if err := integrity(ctx, db); err != nil {
		return nil, fmt.Errorf("the copy: %w", err)
	}
	found, err := verifyRows(ctx, db)
	if err != nil {
		return nil, err
	}
	if err := found.Err(); err != nil && !slices.Contains(options, KeepDamaged) {
		return nil, damagedRows{err}
	}
	return contentsOf(ctx, db)
}

// damagedRows is the error of a copy that [KeepDamaged] would make.
type damagedRows struct{ error }

func (d damagedRows) Unwrap() error { return d.error }

// RowsDamaged reports whether a copy was refused only for rows that are not as they were
// written, so that [KeepDamaged] would make it.
func RowsDamaged(err error) bool {
	var d damagedRows
	return errors.As(err, &d)
}

// integrity reads all of an SQLite database and returns [store.ErrDamaged] if its
// structure or its references do not hold.
func integrity(ctx context.Context, db *sql.DB) error {
	var first string
	if err := db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&first); err != nil {
		return wrap(err)
	}
	if first != "ok" {
		return fmt.Errorf("%w: %s", store.ErrDamaged, first)
	}
	var orphans int
	if err := db.QueryRowContext(ctx, "SELECT count(*) FROM pragma_foreign_key_check").Scan(&orphans); err != nil {
		return wrap(err)
	}
	if orphans > 0 {
		return fmt.Errorf("%w: %d rows refer to nothing", store.ErrDamaged, orphans)
	}
	return nil
}

// takeName gives a finished file its name.
func takeName(part, name string) error {
	if err := os.Rename(part, name); err != nil {
		return errors.Join(systemFault(err), os.Remove(part))
	}
	return onDisk(filepath.Dir(name))
}

// onDisk waits until the disk has a file or a folder.
func onDisk(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return systemFault(err)
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return systemFault(err)
	}
	return nil
}
