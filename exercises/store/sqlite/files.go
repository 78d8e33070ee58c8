package sqlite

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"

	"shaftbook/exercises/store"
)

// files are what an open store writes to: the file of the database, its log (-wal) and
// the index of the log (-shm). SQLite goes on writing to each of them when it was
// removed, cut or written over, and what it writes then is lost.
//
// A connection of its own is kept open, so that SQLite never takes the last one for
// closed and removes the log: the files at the paths are the same ones as long as
// nobody else touches them.
type files struct {
	path       string // of the database, without links
	log, index os.FileInfo
	logFile    *os.File // open to be read; SQLite locks nothing on it
	keeper     *sql.DB
	frame      int64 // bytes of the log for one page

	wiping atomic.Int32 // the database is written anew by ourselves
	mu     sync.Mutex
	seen   sight
	harm   harm // what was found last
}

// A sight is what is known of the files' contents.
type sight struct {
	size     int64 // of the database
	modified time.Time
	head     [logHead]byte // of the log; zeros while it is empty
	logSize  int64
	moved    int // frames of the log that were written back into the database
}

// logHead is the size of the log's head. It begins with one of two numbers, and its
// bytes 12 to 19 change when the log begins anew (sqlite.org/fileformat2.html,
// section 4.1).
const logHead = 32

// frameHead is what the log has before each page.
const frameHead = 24

// harm is what happened to the files of a store.
type harm int

const (
	unharmed harm = iota
	logGone       // the log or its index is not at its path; all that they hold is still open
	spoilt        // the database or the log was written over: they no longer fit each other
)

// openFiles looks at the files of a store that keeper has open.
func openFiles(ctx context.Context, path string, keeper *sql.DB) (f *files, err error) {
	f = &files{keeper: keeper}
	if f.path, err = filepath.EvalSymlinks(path); err != nil {
		return nil, systemFault(err)
	}
	var page int64
	if err := keeper.QueryRowContext(ctx, "PRAGMA page_size").Scan(&page); err != nil {
		return nil, wrap(err)
	}
	f.frame = frameHead + page
	var objects int // reading the schema opens the log
	if err := keeper.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema").Scan(&objects); err != nil {
		return nil, wrap(err)
	}
	if f.index, err = os.Stat(f.path + "-shm"); err != nil {
		return nil, systemFault(err)
	}
	if f.logFile, err = os.Open(f.path + "-wal"); err != nil {
		return nil, systemFault(err)
	}
	if f.log, err = f.logFile.Stat(); err != nil {
		return nil, errors.Join(err, f.logFile.Close())
	}
	if err := f.note(); err != nil {
		return nil, errors.Join(err, f.logFile.Close())
	}
	return f, nil
}

// Close implements io.Closer. It comes after the pools.
func (f *files) Close() error { return errors.Join(f.logFile.Close(), f.keeper.Close()) }

// note takes the files as they are.
func (f *files) note() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	db, err := os.Stat(f.path)
	if err != nil {
		return err
	}
	now, err := f.look(db)
	if err == nil {
		_, now.moved, err = f.ask()
	}
	f.seen = now
	return err
}

// check returns a store.ErrGone if the database is not in its place, or it or its
// log is not as SQLite left it, and writes a long log back. It costs three look-ups of
// paths and a read of 32 bytes that are in memory; only when the log began anew or is
// long SQLite is asked.
func (f *files) check(inPlace func() (os.FileInfo, error)) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	db, err := inPlace() // while nothing is written back
	if err != nil {
		return err
	}
	err = f.contents(db)
	f.harm = unharmed
	if err != nil {
		f.harm = spoilt
		return fmt.Errorf("%w: %w", store.ErrGone, err)
	}
	if err := f.places(); err != nil {
		f.harm = logGone
		return fmt.Errorf("%w: %w", store.ErrGone, err)
	}
	f.writeBack()
	return nil
}

// mostFrames is how long the log grows before it is written back, as SQLite has it
// (sqlite.org/c3ref/wal_autocheckpoint.html).
const mostFrames = 1000

// writeBack writes a long log back into the database, so that it can begin anew. SQLite
// would do that itself, but one who looks at the time of the file could not tell a
// writing back that failed, on a full disk, from the writing of somebody else. What
// fails is tried again after the next commit: the log still has all.
func (f *files) writeBack() {
	if f.wiping.Load() > 0 || f.seen.logSize < logHead+mostFrames*f.frame {
		return
	}
	if inLog, moved, err := f.ask(); err != nil || inLog < mostFrames || moved == inLog {
		return
	}
	_, _ = f.keeper.Exec("PRAGMA wal_checkpoint(PASSIVE)")
	db, err := os.Stat(f.path)
	if err != nil {
		return
	}
	if now, err := f.look(db); err == nil {
		if _, now.moved, err = f.ask(); err == nil {
			f.seen = now
		}
	}
}

// places returns an error if the log or its index is not at its path.
func (f *files) places() error {
	for _, c := range []struct {
		name string
		is   os.FileInfo
	}{{"-wal", f.log}, {"-shm", f.index}} {
		there, err := os.Stat(f.path + c.name)
		if err != nil {
			return err
		}
		if !os.SameFile(there, c.is) {
			return fmt.Errorf("there is another file at %s%s", f.path, c.name)
		}
	}
	return nil
}

// contents returns an error if somebody else wrote to the database or to the log. The
// database changes only when frames of the log are written back, which SQLite counts.
func (f *files) contents(db os.FileInfo) error {
	if f.wiping.Load() > 0 {
		return nil
	}
	now, err := f.look(db)
	if err != nil {
		return err
	}
	same := now.size == f.seen.size && now.modified.Equal(f.seen.modified)
	if same && now.head == f.seen.head && now.logSize >= f.seen.logSize {
		f.seen.logSize = now.logSize
		return nil
	}
	inLog, moved, err := f.ask()
	if err != nil {
		return err
	}
	if inLog > 0 && (now.logSize < logHead+int64(inLog)*f.frame || !bytes.HasPrefix(now.head[:], []byte{0x37, 0x7f, 0x06})) {
		return fmt.Errorf("%s-wal was cut or written over: stop the server and restore a backup", f.path)
	}
	if !same && now.head == f.seen.head && moved == f.seen.moved {
		return fmt.Errorf("%s was written over by another program: restart the server to use it as it is, or restore a backup", f.path)
	}
	now.moved = moved
	if _, again, err := f.ask(); err == nil && again == moved { // else it is looked at next time
		f.seen = now
	}
	return nil
}

// dropLog empties the log if it still is at its path.
func (f *files) dropLog() error {
	there, err := os.Stat(f.path + "-wal")
	if errors.Is(err, fs.ErrNotExist) || err == nil && !os.SameFile(there, f.log) {
		return nil
	}
	if err == nil {
		err = os.Truncate(f.path+"-wal", 0)
	}
	return err
}

// look looks at the files, but for what only SQLite knows.
func (f *files) look(db os.FileInfo) (now sight, err error) {
	now.size, now.modified = db.Size(), db.ModTime()
	log, err := f.logFile.Stat()
	if err != nil {
		return now, err
	}
	now.logSize = log.Size()
	if _, err := f.logFile.ReadAt(now.head[:], 0); err != nil && !errors.Is(err, io.EOF) {
		return now, err
	}
	return now, nil
}

// ask returns how many frames the log has, and how many of them are in the database.
// It changes nothing (sqlite.org/pragma.html#pragma_wal_checkpoint, NOOP).
func (f *files) ask() (inLog, moved int, err error) {
	var busy int
	err = f.keeper.QueryRow("PRAGMA wal_checkpoint(NOOP)").Scan(&busy, &inLog, &moved)
	return inLog, moved, err
}

// found is what the last check found.
func (f *files) found() harm {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.harm
}
