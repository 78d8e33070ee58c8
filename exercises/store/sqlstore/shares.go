package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const shareColumns = `s.hash, s.id, s.learner, s.page, s.by_name, s.made_us, s.ends_us, p.name, p.deleted_us`

const (
	insertShare = `INSERT INTO shares (hash, id, learner, page, by_name, made_us, ends_us) VALUES ($1, $2, $3, $4, $5, $6, $7)`

	sharesFrom  = `SELECT ` + shareColumns + ` FROM shares s JOIN pages p ON p.learner = s.learner AND p.page = s.page `
	lasting     = `(s.ends_us = 0 OR s.ends_us > $1)`
	shareByHash = sharesFrom + `WHERE ` + lasting + ` AND s.hash = $2 AND p.deleted_us = 0`
	sharesOf    = sharesFrom + `WHERE ` + lasting + ` AND s.learner = $2 AND s.page = $3 ORDER BY s.made_us, s.id`
	allShares   = sharesFrom + `WHERE ` + lasting + ` ORDER BY s.made_us, s.id`
	sharesBy    = sharesFrom + `WHERE s.learner = $1 ORDER BY s.made_us, s.id`

	forgetShares  = `DELETE FROM shares WHERE learner = $1 AND page = $2 AND ends_us > 0 AND ends_us <= $3`
	hasShare      = `SELECT id FROM shares WHERE id = $1 AND ($2 = '' OR learner = $2)`
	withdrawShare = `DELETE FROM shares WHERE id = $1`
	deleteShares  = `DELETE FROM shares WHERE learner = $1 AND page = $2`

	hasPage = `SELECT page FROM pages WHERE learner = $1 AND page = $2 AND deleted_us = 0`
)

// AddShare implements contract.Shares.
func (s *Store) AddShare(ctx context.Context, l store.Share, most int) error {
	if err := l.Validate(); err != nil {
		return err
	}
	return s.changePages(ctx, l.Learner, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, hasPage, l.Learner, l.Page); err != nil {
			return err
		}
		there, err := list(ctx, tx.query, scanShare, sharesOf, l.MadeAt.UnixMicro(), l.Learner, l.Page)
		if err != nil {
			return err
		}
		if len(there) >= most {
			return store.ErrSharesFull
		}
		if err := tx.exec(ctx, forgetShares, l.Learner, l.Page, l.MadeAt.UnixMicro()); err != nil {
			return err
		}
		return tx.exec(ctx, insertShare, l.Hash, l.ID, l.Learner, l.Page, l.By, l.MadeAt.UnixMicro(), micros(l.EndsAt))
	})
}

// Shared implements contract.Shares.
func (s *Store) Shared(ctx context.Context, hash string, now time.Time) (store.Share, store.Page, error) {
	l, err := one(ctx, s.query, scanShare, shareByHash, now.UnixMicro(), hash)
	if err != nil {
		return store.Share{}, store.Page{}, err
	}
	p, err := s.Page(ctx, l.Learner, l.Page)
	if err == nil && !p.DeletedAt.IsZero() { // between the two
		err = class.ErrNone
	}
	if err != nil {
		return store.Share{}, store.Page{}, err
	}
	return l, p, nil
}

// SharesOf implements contract.Shares.
func (s *Store) SharesOf(ctx context.Context, learner, page string, now time.Time) ([]store.Share, error) {
	return list(ctx, s.query, scanShare, sharesOf, now.UnixMicro(), learner, page)
}

// AllShares implements contract.Shares.
func (s *Store) AllShares(ctx context.Context, now time.Time) ([]store.Share, error) {
	return list(ctx, s.query, scanShare, allShares, now.UnixMicro())
}

// WithdrawShare implements contract.Shares.
func (s *Store) WithdrawShare(ctx context.Context, learner, id string) error {
	withdraw := func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, hasShare, id, learner); err != nil {
			return err
		}
		return tx.exec(ctx, withdrawShare, id)
	}
	if learner == "" {
		return s.alter(ctx, withdraw)
	}
	err := s.changePages(ctx, learner, withdraw)
	if errors.Is(err, store.ErrErased) { // and its links with it
		err = class.ErrNone
	}
	return err
}

func scanShare(rows *sql.Rows) (l store.Share, err error) {
	var made, ends, deleted int64
	err = rows.Scan(&l.Hash, &l.ID, &l.Learner, &l.Page, &l.By, &made, &ends, &l.PageName, &deleted)
	l.MadeAt, l.EndsAt, l.PageDeleted = moment(made), momentOrNone(ends), deleted > 0
	return l, err
}
