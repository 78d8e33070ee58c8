package sqlite

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"syscall"

	sqlite3 "modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlstore"
)

var dialect = sqlstore.Dialect{Name: "sqlite3", Placeholder: '?', InProcess: true, Fault: fault}

// fault sorts an error of the driver. The low byte of SQLite's code is the kind
// (sqlite.org/rescode.html).
func fault(err error) store.Fault {
	var e *sqlite3.Error
	if !errors.As(err, &e) {
		return ""
	}
	switch e.Code() & 0xff {
	case lib.SQLITE_FULL:
		return store.ErrFull
	case lib.SQLITE_READONLY, lib.SQLITE_PERM, lib.SQLITE_AUTH:
		return store.ErrReadOnly
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED, lib.SQLITE_PROTOCOL:
		return store.ErrBusy
	case lib.SQLITE_CORRUPT:
		return store.ErrDamaged
	case lib.SQLITE_IOERR, lib.SQLITE_CANTOPEN, lib.SQLITE_NOMEM:
		return store.ErrUnavailable
	}
	return ""
}

// wrap gives an error of the driver its place among record's errors.
func wrap(err error) error {
	var e *sqlite3.Error
	if errors.As(err, &e) && e.Code()&0xff == lib.SQLITE_NOTADB {
		return fmt.Errorf("%w: %w", store.ErrNotOurs, err)
	}
	switch f := fault(err); f {
	case "":
	case store.ErrBusy:
		return busyError{err} // the driver's words name its own codes, and help nobody
	default:
		return fmt.Errorf("%w: %w", f, err)
	}
	return err
}

// namedFull makes a failure of the files in a folder a [store.ErrFull] if their disk
// has no room: of the files that it makes for itself SQLite only reports that they
// failed.
func namedFull(err error, folder string) error {
	if err == nil || errors.Is(err, store.ErrFull) || !isFull(folder) {
		return err
	}
	var e *sqlite3.Error
	if errors.Is(err, store.ErrUnavailable) || errors.As(err, &e) && fault(e) == store.ErrUnavailable {
		return fmt.Errorf("%w: %w", store.ErrFull, err)
	}
	return err
}

// noRights is a [store.ErrNoRights] for an error of the operating system, with whose
// the file is if that is known.
func noRights(err error) error {
	var of *fs.PathError
	if errors.As(err, &of) {
		if why := rights(filepath.Dir(of.Path)); why != nil {
			return fmt.Errorf("%w: %w", store.ErrNoRights, why)
		}
	}
	return fmt.Errorf("%w: %w", store.ErrNoRights, err)
}

// namedRights makes a failure to open a file, of which SQLite says no more, a
// [store.ErrNoRights] if this user may not read and write it.
func namedRights(err error, path string) error {
	if err == nil || errors.Is(err, store.ErrNoRights) {
		return err
	}
	if why := rights(path); why != nil {
		return fmt.Errorf("%w: %w", store.ErrNoRights, why)
	}
	return err
}

// busyError is store.ErrBusy without the words of the driver's error that it wraps.
type busyError struct{ cause error }

func (e busyError) Error() string   { return store.ErrBusy.Error() }
func (e busyError) Unwrap() []error { return []error{store.ErrBusy, e.cause} }

// systemFault sorts an error of the operating system.
func systemFault(err error) error {
	switch {
	case errors.Is(err, fs.ErrPermission):
		return noRights(err)
	case errors.Is(err, syscall.EROFS):
		return fmt.Errorf("%w: %w", store.ErrReadOnly, err)
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		return fmt.Errorf("%w: %w", store.ErrFull, err)
	}
	return err
}
