package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"shaftbook/exercises/store"
)

// patience is how long a wipe waits for readers of the log.
const patience = time.Minute

// wipe writes the file anew from its rows and empties its log, so that neither
// holds a byte of what was deleted (sqlite.org/lang_vacuum.html: VACUUM leaves no
// trace of deleted content; sqlite.org/pragma.html#pragma_wal_checkpoint). It has
// a connection of its own and costs other writes nothing but the wait for it,
// where secure_delete would make every deletion dearer and would still leave
// what was deleted before.
func wipe(ctx context.Context, path string) (err error) {
	db, err := sql.Open(driverName, dsn(path, "&mode=rw", settings...))
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1)
	defer func() { err = errors.Join(err, db.Close()) }()
	if _, err := db.ExecContext(ctx, "VACUUM"); err != nil {
		return err
	}
	for end := time.Now().Add(patience); ; {
		var busy, inLog, moved int
		if err := db.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &inLog, &moved); err != nil {
			return err
		}
		if busy == 0 {
			return nil
		}
		if time.Now().After(end) {
			return store.ErrBusy
		}
	}
}

// wipe is wipe for the open store, whose files are not those that they were after it.
func (p *location) wipe(ctx context.Context) error {
	at := p.at.Load()
	if at == nil {
		return store.ErrGone
	}
	f := at.files
	f.wiping.Add(1)
	defer func() {
		_ = f.note() // what is wrong is found by the next check
		f.wiping.Add(-1)
	}()
	return wipe(ctx, p.path)
}
