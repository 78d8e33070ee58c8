package sqlite

import (
	"context"
	"database/sql"
	"errors"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlstore"
)

// Verify reads all of the store in a file, which may be in use or a copy, and changes
// nothing. A file whose structure does not hold is [store.ErrDamaged]; single rows
// are counted.
func Verify(ctx context.Context, path string) (found store.Verification, contents Contents, err error) {
	if err := mustBeStore(ctx, path); err != nil {
		return found, nil, namedRights(err, path)
	}
	db, err := sql.Open(driverName, dsn(path, "&mode=rw", "busy_timeout(5000)", "query_only(1)"))
	if err != nil {
		return found, nil, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if err := integrity(ctx, db); err != nil {
		return found, nil, err
	}
	if found, err = verifyRows(ctx, db); err != nil {
		return found, nil, err
	}
	contents, err = contentsOf(ctx, db)
	return found, contents, err
}

// verifyRows checks the rows of a database. In one of an earlier schema none has a
// checksum.
func verifyRows(ctx context.Context, db *sql.DB) (found store.Verification, err error) {
	var has bool
	err = db.QueryRowContext(ctx, "SELECT count(*) FROM pragma_table_info('attempts') WHERE name = 'checksum'").Scan(&has)
	if err != nil {
		return found, wrap(err)
	}
	if has {
		found, err = sqlstore.VerifyDB(ctx, db)
		return found, wrap(err)
	}
	contents, err := contentsOf(ctx, db)
	for _, c := range contents {
		switch c.Table {
		case "attempts", "remarked", "entries":
			found.Unchecked += int(c.Rows)
		}
	}
	return found, err
}
