package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const (
	insertShown = `INSERT INTO shown_pages (class, learner, page, at_us) VALUES ($1, $2, $3, $4)`
	shownFrom   = `SELECT s.class, s.learner, s.page, s.at_us, p.name, p.changed_us,
	(SELECT count(*) FROM page_notes n WHERE n.class = s.class AND n.learner = s.learner AND n.page = s.page)
	FROM shown_pages s JOIN pages p ON p.learner = s.learner AND p.page = s.page `
	shownIn  = shownFrom + `WHERE s.class = $1 AND ($2 = '' OR s.learner = $2) AND p.deleted_us = 0 ORDER BY s.at_us DESC, s.learner, s.page`
	shownTo  = shownFrom + `WHERE s.learner = $1 AND s.page = $2 ORDER BY s.class`
	shownBy  = shownFrom + `WHERE s.learner = $1 ORDER BY s.at_us, s.class, s.page`
	hasShown = `SELECT s.page FROM shown_pages s JOIN pages p ON p.learner = s.learner AND p.page = s.page
	WHERE s.class = $1 AND s.learner = $2 AND s.page = $3 AND p.deleted_us = 0`

	isShown     = `SELECT page FROM shown_pages WHERE class = $1 AND learner = $2 AND page = $3`
	countShown  = `SELECT page FROM shown_pages WHERE class = $1 AND learner = $2`
	hidePage    = `DELETE FROM shown_pages WHERE class = $1 AND learner = $2 AND page = $3`
	hideAll     = `DELETE FROM shown_pages WHERE class = $1 AND learner = $2`
	deleteShown = `DELETE FROM shown_pages WHERE learner = $1 AND page = $2`
	isStudent   = `SELECT person FROM members WHERE class = $1 AND person = $2 AND role = 'student' AND gone = 0`

	noteColumns = `id, class, learner, page, block, quote, content, made_by, at_us`
	insertNote  = `INSERT INTO page_notes (` + noteColumns + `) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`
	notesOn     = `SELECT ` + noteColumns + ` FROM page_notes
	WHERE learner = $1 AND page = $2 AND ($3 = '' OR class = $3) ORDER BY at_us, id`
	notesFor    = `SELECT ` + noteColumns + ` FROM page_notes WHERE learner = $1 ORDER BY at_us, id`
	noteByID    = `SELECT id FROM page_notes WHERE id = $1`
	noteOf      = `SELECT id FROM page_notes WHERE class = $1 AND learner = $2 AND id = $3`
	deleteNote  = `DELETE FROM page_notes WHERE id = $1`
	deleteNotes = `DELETE FROM page_notes WHERE learner = $1 AND page = $2`
)

// What a note may have, in bytes.
const (
	mostNote  = 16 << 10
	mostQuote = 1 << 10
)

// ShowPage implements contract.ShownPages.
func (s *Store) ShowPage(ctx context.Context, p class.ShownPage, most int, e class.Entry) error {
	if err := sound(p.Class, p.Person, p.Page, e); err != nil {
		return err
	}
	return s.showing(ctx, p.Person, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, isStudent, p.Class, p.Person); err != nil {
			return err
		}
		if err := must(ctx, tx.query, hasPage, p.Person, p.Page); err != nil {
			return err
		}
		if there, err := has(ctx, tx.query, isShown, p.Class, p.Person, p.Page); err != nil || there {
			return err
		}
		all, err := list(ctx, tx.query, scanText, countShown, p.Class, p.Person)
		if err != nil {
			return err
		}
		if len(all) >= most {
			return store.ErrShownFull
		}
		if err := tx.exec(ctx, insertShown, p.Class, p.Person, p.Page, p.At.UnixMicro()); err != nil {
			return err
		}
		return note(ctx, tx, &e)
	})
}

// showing runs a change of what a person shows, after those of the person's pages and of
// classes.
func (s *Store) showing(ctx context.Context, person string, do func(context.Context, *transaction) error) error {
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if lock := tx.store.dialect.Serialise; lock != "" {
			if err := tx.exec(ctx, lock, person); err != nil {
				return err
			}
		}
		if err := notErased(ctx, tx, person); err != nil {
			return err
		}
		return do(ctx, tx)
	})
}

// HidePage implements contract.ShownPages.
func (s *Store) HidePage(ctx context.Context, in, person, page string, e class.Entry) error {
	if err := sound(e); err != nil {
		return err
	}
	return s.showing(ctx, person, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, isShown, in, person, page); err != nil {
			return err
		}
		if err := tx.exec(ctx, hidePage, in, person, page); err != nil {
			return err
		}
		return note(ctx, tx, &e)
	})
}

// ShownIn implements contract.ShownPages.
func (s *Store) ShownIn(ctx context.Context, in, person string) ([]class.ShownPage, error) {
	return list(ctx, s.query, scanShown, shownIn, in, person)
}

// ShownTo implements contract.ShownPages.
func (s *Store) ShownTo(ctx context.Context, person, page string) ([]class.ShownPage, error) {
	return list(ctx, s.query, scanShown, shownTo, person, page)
}

// ShownPage implements contract.ShownPages.
func (s *Store) ShownPage(ctx context.Context, in, person, page string) (store.Page, error) {
	if err := must(ctx, s.query, hasShown, in, person, page); err != nil {
		return store.Page{}, err
	}
	return s.Page(ctx, person, page)
}

// AddNote implements contract.ShownPages.
func (s *Store) AddNote(ctx context.Context, n class.PageNote, most int, e class.Entry) error {
	if err := sound(n, e); err != nil {
		return err
	}
	if n.ID == "" || n.Text == "" || len(n.Text) > mostNote || len(n.Quote) > mostQuote {
		return fmt.Errorf("%w: a note needs an identifier and a text, and is not longer than %d bytes", store.ErrInvalid, mostNote)
	}
	return s.showing(ctx, n.Person, func(ctx context.Context, tx *transaction) error {
		if there, err := has(ctx, tx.query, noteByID, n.ID); err != nil || there {
			return err
		}
		if err := must(ctx, tx.query, hasShown, n.Class, n.Person, n.Page); err != nil {
			return err
		}
		all, err := list(ctx, tx.query, scanNote, notesOn, n.Person, n.Page, "")
		if err != nil {
			return err
		}
		if len(all) >= most {
			return store.ErrShownFull
		}
		if err := tx.exec(ctx, insertNote, n.ID, n.Class, n.Person, n.Page, n.Block, n.Quote, n.Text, n.By, n.At.UnixMicro()); err != nil {
			return err
		}
		return note(ctx, tx, &e)
	})
}

// Notes implements contract.ShownPages.
func (s *Store) Notes(ctx context.Context, in, person, page string) ([]class.PageNote, error) {
	return list(ctx, s.query, scanNote, notesOn, person, page, in)
}

// RemoveNote implements contract.ShownPages.
func (s *Store) RemoveNote(ctx context.Context, in, person, id string, e class.Entry) error {
	if err := sound(e); err != nil {
		return err
	}
	err := s.showing(ctx, person, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, noteOf, in, person, id); err != nil {
			return err
		}
		if err := tx.exec(ctx, deleteNote, id); err != nil {
			return err
		}
		return note(ctx, tx, &e)
	})
	if errors.Is(err, store.ErrErased) { // and the note with the page
		err = class.ErrNone
	}
	return err
}

func scanShown(rows *sql.Rows) (p class.ShownPage, err error) {
	var at, changed int64
	err = rows.Scan(&p.Class, &p.Person, &p.Page, &at, &p.Name, &changed, &p.Notes)
	p.At, p.ChangedAt = moment(at), moment(changed)
	return p, err
}

func scanNote(rows *sql.Rows) (n class.PageNote, err error) {
	var at int64
	err = rows.Scan(&n.ID, &n.Class, &n.Person, &n.Page, &n.Block, &n.Quote, &n.Text, &n.By, &at)
	n.At = moment(at)
	return n, err
}
