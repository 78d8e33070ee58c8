package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const pageColumns = `page, name, kind, content, revision, writer, made_us, changed_us, deleted_us`

const (
	insertPage = `INSERT INTO pages (learner, ` + pageColumns + `) VALUES ($1, $2, $3, $4, $5, 1, $6, $7, $7, 0)`
	updatePage = `UPDATE pages SET name = $3, content = $4, revision = revision + 1, writer = $5, changed_us = $6
	WHERE learner = $1 AND page = $2`
	markPage      = `UPDATE pages SET deleted_us = $3 WHERE learner = $1 AND page = $2`
	deletePage    = `DELETE FROM pages WHERE learner = $1 AND page = $2`
	deleteEarlier = `DELETE FROM page_versions WHERE learner = $1 AND page = $2`

	selectPage  = `SELECT ` + pageColumns + ` FROM pages WHERE learner = $1 AND page = $2`
	selectPages = `SELECT page, name, kind, '', revision, writer, made_us, changed_us, deleted_us FROM pages
	WHERE learner = $1 ORDER BY changed_us DESC, page`
	selectDeleted = `SELECT page FROM pages WHERE learner = $1 AND deleted_us > 0 ORDER BY deleted_us DESC, page`
	countPages    = `SELECT page FROM pages WHERE learner = $1 AND deleted_us = 0`

	insertVersion = `INSERT INTO page_versions (learner, page, revision, name, content, reason, at_us)
	VALUES ($1, $2, $3, $4, $5, $6, $7)`
	selectVersions = `SELECT revision, name, content, reason, at_us FROM page_versions
	WHERE learner = $1 AND page = $2 ORDER BY revision DESC`
	deleteVersion = `DELETE FROM page_versions WHERE learner = $1 AND page = $2 AND revision = $3`
)

// AddPage implements contract.Pages.
func (s *Store) AddPage(ctx context.Context, learner string, p store.Page, most int) error {
	if err := p.Validate(learner); err != nil {
		return err
	}
	return s.changePages(ctx, learner, func(ctx context.Context, tx *transaction) error {
		old, err := one(ctx, tx.query, scanPage, selectPage, learner, p.ID)
		switch {
		case err == nil && old.Name == p.Name && old.Text == p.Text && old.Kind == p.Kind:
			return nil
		case err == nil:
			return store.ErrReused
		case !errors.Is(err, class.ErrNone):
			return err
		}
		if err := roomForPage(ctx, tx, learner, most); err != nil {
			return err
		}
		return tx.exec(ctx, insertPage, learner, p.ID, p.Name, p.Kind, p.Text, p.Writer, p.ChangedAt.UnixMicro())
	})
}

// WritePage implements contract.Pages.
func (s *Store) WritePage(ctx context.Context, learner string, p store.Page, base int64, keep store.VersionReason) (store.Page, error) {
	if err := errors.Join(p.Validate(learner), keep.Validate()); err != nil {
		return store.Page{}, err
	}
	return learn(ctx, s, learner, func(ctx context.Context, tx *transaction) (store.Page, error) {
		old, err := one(ctx, tx.query, scanPage, selectPage, learner, p.ID)
		if err != nil {
			return store.Page{}, err
		}
		switch {
		case !old.DeletedAt.IsZero():
			return store.Page{}, class.ErrNone
		case old.Revision != base:
			return old, store.ErrMoved
		case old.Name == p.Name && old.Text == p.Text:
			return old, nil
		}
		if keep != store.NotKept {
			if err := keepVersion(ctx, tx, learner, &old, keep); err != nil {
				return store.Page{}, err
			}
		}
		if err := tx.exec(ctx, updatePage, learner, p.ID, p.Name, p.Text, p.Writer, p.ChangedAt.UnixMicro()); err != nil {
			return store.Page{}, err
		}
		return one(ctx, tx.query, scanPage, selectPage, learner, p.ID)
	})
}

// keepVersion keeps the text of a page, and as many earlier ones as there is room
// for.
func keepVersion(ctx context.Context, tx *transaction, learner string, p *store.Page, why store.VersionReason) error {
	there, err := list(ctx, tx.query, scanVersion, selectVersions, learner, p.ID)
	if err != nil {
		return err
	}
	for i := store.MostVersions - 1; i < len(there); i++ {
		if err := tx.exec(ctx, deleteVersion, learner, p.ID, there[i].Revision); err != nil {
			return err
		}
	}
	return tx.exec(ctx, insertVersion, learner, p.ID, p.Revision, p.Name, p.Text, string(why), p.ChangedAt.UnixMicro())
}

// Page implements contract.Pages.
func (s *Store) Page(ctx context.Context, learner, id string) (store.Page, error) {
	return one(ctx, s.query, scanPage, selectPage, learner, id)
}

// Pages implements contract.Pages.
func (s *Store) Pages(ctx context.Context, learner string) ([]store.Page, error) {
	return list(ctx, s.query, scanPage, selectPages, learner)
}

// PageVersions implements contract.Pages.
func (s *Store) PageVersions(ctx context.Context, learner, id string) ([]store.PageVersion, error) {
	return list(ctx, s.query, scanVersion, selectVersions, learner, id)
}

// DeletePage implements contract.Pages.
func (s *Store) DeletePage(ctx context.Context, learner, id string, at time.Time) error {
	return s.changePages(ctx, learner, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, `SELECT page FROM pages WHERE learner = $1 AND page = $2 AND deleted_us = 0`, learner, id); err != nil {
			return err
		}
		if err := tx.exec(ctx, markPage, learner, id, at.UnixMicro()); err != nil {
			return err
		}
		gone, err := list(ctx, tx.query, scanText, selectDeleted, learner)
		if err != nil {
			return err
		}
		for i := store.MostDeleted; i < len(gone); i++ {
			if err := removePage(ctx, tx, learner, gone[i]); err != nil {
				return err
			}
		}
		return nil
	})
}

// BringBackPage implements contract.Pages.
func (s *Store) BringBackPage(ctx context.Context, learner, id string, most int) error {
	return s.changePages(ctx, learner, func(ctx context.Context, tx *transaction) error {
		p, err := one(ctx, tx.query, scanPage, selectPage, learner, id)
		if err != nil || p.DeletedAt.IsZero() {
			return err
		}
		if err := roomForPage(ctx, tx, learner, most); err != nil {
			return err
		}
		return tx.exec(ctx, markPage, learner, id, 0)
	})
}

// RemovePage implements contract.Pages.
func (s *Store) RemovePage(ctx context.Context, learner, id string) error {
	return s.changePages(ctx, learner, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, `SELECT page FROM pages WHERE learner = $1 AND page = $2`, learner, id); err != nil {
			return err
		}
		return removePage(ctx, tx, learner, id)
	})
}

func removePage(ctx context.Context, tx *transaction, learner, id string) error {
	for _, statement := range []string{deleteShares, deleteShown, deleteNotes, deleteEarlier, deletePage} {
		if err := tx.exec(ctx, statement, learner, id); err != nil {
			return err
		}
	}
	return nil
}

// roomForPage returns ErrPagesFull where a learner has most pages.
func roomForPage(ctx context.Context, tx *transaction, learner string, most int) error {
	there, err := list(ctx, tx.query, scanText, countPages, learner)
	if err == nil && len(there) >= most {
		err = store.ErrPagesFull
	}
	return err
}

// changePages runs a change of a learner's pages that returns nothing.
func (s *Store) changePages(ctx context.Context, learner string, do func(context.Context, *transaction) error) error {
	_, err := learn(ctx, s, learner, func(ctx context.Context, tx *transaction) (struct{}, error) {
		return struct{}{}, do(ctx, tx)
	})
	return err
}

// pagesWhole returns all pages of a learner with their texts and versions.
func (s *Store) pagesWhole(ctx context.Context, learner string) ([]store.Page, map[string][]store.PageVersion, error) {
	pages, err := s.Pages(ctx, learner)
	if err != nil {
		return nil, nil, err
	}
	versions := make(map[string][]store.PageVersion)
	for i := range pages {
		id := pages[i].ID
		if pages[i], err = s.Page(ctx, learner, id); err != nil {
			return nil, nil, err
		}
		earlier, err := s.PageVersions(ctx, learner, id)
		if err != nil {
			return nil, nil, err
		}
		if len(earlier) > 0 {
			versions[id] = earlier
		}
	}
	return pages, versions, nil
}

func scanPage(rows *sql.Rows) (p store.Page, err error) {
	var made, changed, deleted int64
	err = rows.Scan(&p.ID, &p.Name, &p.Kind, &p.Text, &p.Revision, &p.Writer, &made, &changed, &deleted)
	p.MadeAt, p.ChangedAt = moment(made), moment(changed)
	if deleted > 0 {
		p.DeletedAt = moment(deleted)
	}
	return p, err
}

func scanVersion(rows *sql.Rows) (v store.PageVersion, err error) {
	var at int64
	err = rows.Scan(&v.Revision, &v.Name, &v.Text, &v.Reason, &at)
	v.At = moment(at)
	return v, err
}
