package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"shaftbook/exercises/store"
)

// Restored is the result of a restore.
type Restored struct {
	Contents Contents // of what is now the store
	Replaced string   // where the store that was there is kept, or empty
}

// Restore makes a copy that [Backup] made the store of a data folder. The server
// of that folder must have been stopped: a store in use is [store.ErrBusy].
//
// A store that holds work is replaced only with force, else the error is
// [store.ErrNotEmpty]; a damaged one counts as holding work. What is replaced
// stays in the folder under another name. What root restores belongs to the owner of
// the folder. At every moment the folder holds the
// old store or the new one, each whole.
func Restore(ctx context.Context, from, folder string, force bool, options ...Option) (Restored, error) {
	if err := mustBeStore(ctx, from); err != nil {
		return Restored{}, namedRights(err, from)
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return Restored{}, systemFault(err)
	}
	target := FileIn(folder)
	if err := mayOverwrite(ctx, from, target, force); err != nil {
		return Restored{}, err
	}
	part, contents, err := checkedCopy(ctx, from, target, "&mode=ro", options)
	if err != nil {
		return Restored{}, namedFull(err, folder)
	}
	if err := known(ctx, part); err != nil {
		return Restored{}, errors.Join(err, os.Remove(part))
	}
	if err := TakeOwner(part); err != nil {
		return Restored{}, errors.Join(systemFault(err), os.Remove(part))
	}
	replaced, err := retire(ctx, target, force)
	if err != nil {
		return Restored{}, errors.Join(err, os.Remove(part))
	}
	return Restored{contents, replaced}, takeName(part, target)
}

// known refuses a copy with a schema that this program does not know. The copy is closed
// when it returns.
func known(ctx context.Context, part string) (err error) {
	db, err := peek(part)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	return notNewer(ctx, db)
}

// mayOverwrite refuses to replace work without force.
func mayOverwrite(ctx context.Context, from, target string, force bool) error {
	there, err := os.Stat(target)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return systemFault(err)
	}
	if copied, err := os.Stat(from); err == nil && os.SameFile(there, copied) {
		return fmt.Errorf("%s is the store itself; name a copy of it", from)
	}
	if force {
		return nil
	}
	db, err := sql.Open(driverName, dsn(target, "&mode=rw", "busy_timeout(5000)", "query_only(1)"))
	if err != nil {
		return err
	}
	contents, err := contentsOf(ctx, db)
	if err := errors.Join(err, db.Close()); err != nil {
		return fmt.Errorf("%w; what is in it cannot be read: %w", store.ErrNotEmpty, err)
	}
	if !contents.Empty() {
		return fmt.Errorf("%w: %s", store.ErrNotEmpty, contents)
	}
	return nil
}

// retire makes the store that is there one file, keeps it under a second name
// and takes away what would be read as belonging to its successor.
func retire(ctx context.Context, target string, force bool) (keptAs string, err error) {
	if _, err := os.Stat(target); errors.Is(err, fs.ErrNotExist) {
		return "", retireLogs(target, target+".lost-"+time.Now().UTC().Format("20060102-150405"))
	}
	err = leaveWAL(ctx, target)
	switch {
	case errors.Is(err, store.ErrBusy):
		return "", fmt.Errorf("%w: stop the server of this folder first", err)
	case err != nil && !force:
		return "", err
	}
	// A store that could not be read to its end keeps its log beside it.
	keptAs = target + ".replaced-" + time.Now().UTC().Format("20060102-150405")
	if err := os.Link(target, keptAs); err != nil {
		return "", fmt.Errorf("the store that is there cannot be kept beside the new one: %w", systemFault(err))
	}
	if err := retireLogs(target, keptAs); err != nil {
		return "", err
	}
	return keptAs, onDisk(filepath.Dir(target))
}

// retireLogs takes away the log that a store, or one that was deleted, left: SQLite
// would read it as belonging to the next file of that name.
func retireLogs(target, keptAs string) error {
	for _, end := range []string{"-wal", "-shm", "-journal"} {
		if err := os.Rename(target+end, keptAs+end); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return systemFault(err)
		}
	}
	return nil
}

// leaveWAL writes the log back into the file and ends WAL mode, which SQLite
// does only while no other process has the file open.
func leaveWAL(ctx context.Context, path string) error {
	db, err := sql.Open(driverName, dsn(path, "&mode=rw", "busy_timeout(500)"))
	if err != nil {
		return err
	}
	var mode string
	err = wrap(db.QueryRowContext(ctx, "PRAGMA journal_mode=DELETE").Scan(&mode))
	return errors.Join(err, db.Close())
}
