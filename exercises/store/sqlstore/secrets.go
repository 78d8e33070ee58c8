package sqlstore

import (
	"context"
	"database/sql"
	"encoding/hex"

	"shaftbook/exercises/store"
)

const (
	insertSecret = `INSERT INTO secrets (name, value) VALUES ($1, $2) ON CONFLICT DO NOTHING`
	selectSecret = `SELECT value FROM secrets WHERE name = $1`
)

// Secret implements contract.Work.
func (s *Store) Secret(ctx context.Context, name string, fresh []byte) ([]byte, error) {
	if name == "" || len(fresh) == 0 {
		return nil, store.ErrInvalid
	}
	return change(ctx, s, "", func(ctx context.Context, tx *transaction) ([]byte, error) {
		if err := tx.exec(ctx, insertSecret, name, hex.EncodeToString(fresh)); err != nil {
			return nil, err
		}
		var value []byte
		err := tx.query(ctx, func(rows *sql.Rows) error {
			var text string
			if err := rows.Scan(&text); err != nil {
				return err
			}
			var err error
			value, err = hex.DecodeString(text)
			return err
		}, selectSecret, name)
		return value, err
	})
}
