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
	draftColumns = `person, lesson, content, base, on_file, revision, writer, changed_us`
	draftHead    = `person, lesson, '', '', on_file, revision, writer, changed_us`

	insertDraft = `INSERT INTO lesson_drafts (` + draftColumns + `) VALUES ($1, $2, $3, $4, $5, 1, $6, $7)`
	updateDraft = `UPDATE lesson_drafts SET content = $3, revision = revision + 1, writer = $4, changed_us = $5
	WHERE person = $1 AND lesson = $2`
	deleteDraft = `DELETE FROM lesson_drafts WHERE person = $1 AND lesson = $2`
	endDraft    = deleteDraft + ` AND revision = $3`

	selectDraft  = `SELECT ` + draftColumns + ` FROM lesson_drafts WHERE person = $1 AND lesson = $2`
	selectDrafts = `SELECT ` + draftHead + ` FROM lesson_drafts WHERE person = $1 ORDER BY lesson`
	draftsAt     = `SELECT ` + draftHead + ` FROM lesson_drafts WHERE lesson = $1 ORDER BY person`
	wholeDrafts  = `SELECT ` + draftColumns + ` FROM lesson_drafts WHERE person = $1 ORDER BY lesson`

	versionColumns = `lesson, number, person, reason, content, at_us`
	versionHead    = `lesson, number, person, reason, '', at_us`

	insertLessonVersion = `INSERT INTO lesson_versions (` + versionColumns + `) VALUES ($1, $2, $3, $4, $5, $6)`
	deleteLessonVersion = `DELETE FROM lesson_versions WHERE lesson = $1 AND number = $2`
	versionSeen         = `(reason <> 'draft' OR person = $2)`
	selectNewest        = `SELECT ` + versionColumns + ` FROM lesson_versions WHERE lesson = $1 AND reason <> 'draft' ORDER BY number DESC LIMIT 1`
	selectHeads         = `SELECT ` + versionHead + ` FROM lesson_versions WHERE lesson = $1 AND ` + versionSeen + ` ORDER BY number DESC`
	selectOneVersion    = `SELECT ` + versionColumns + ` FROM lesson_versions WHERE lesson = $1 AND ` + versionSeen + ` AND number = $3`
	versionsBy          = `SELECT ` + versionColumns + ` FROM lesson_versions WHERE person = $1 ORDER BY lesson, number`
	lastNumber          = `SELECT coalesce(max(number), 0) FROM lesson_versions WHERE lesson = $1`
)

// WriteDraft implements contract.Writing.
func (s *Store) WriteDraft(ctx context.Context, d class.Draft, base int64, keep bool, most int) (class.Draft, error) {
	if err := soundDraft(&d); err != nil {
		return class.Draft{}, err
	}
	return learn(ctx, s, d.Person, func(ctx context.Context, tx *transaction) (class.Draft, error) {
		old, err := one(ctx, tx.query, scanDraft, selectDraft, d.Person, d.Lesson)
		switch {
		case errors.Is(err, class.ErrNone) && base == 0:
			return beginDraft(ctx, tx, &d, most)
		case err != nil:
			return class.Draft{}, err
		case old.Revision != base:
			return old, store.ErrMoved
		case old.Text == d.Text:
			return old, nil
		}
		if keep {
			if err := keepDraft(ctx, tx, &old); err != nil {
				return class.Draft{}, err
			}
		}
		if err := tx.exec(ctx, updateDraft, d.Person, d.Lesson, d.Text, d.Writer, d.ChangedAt.UnixMicro()); err != nil {
			return class.Draft{}, err
		}
		return one(ctx, tx.query, scanDraft, selectDraft, d.Person, d.Lesson)
	})
}

func soundDraft(d *class.Draft) error {
	if d.Person == "" || d.Lesson == "" || d.ChangedAt.IsZero() {
		return fmt.Errorf("%w: a draft needs a person, a lesson and a time", store.ErrInvalid)
	}
	if len(d.Text) > class.MostLessonText || len(d.Writer) > 256 {
		return fmt.Errorf("%w: the draft is too long", store.ErrInvalid)
	}
	return sound(*d)
}

func beginDraft(ctx context.Context, tx *transaction, d *class.Draft, most int) (class.Draft, error) {
	there, err := list(ctx, tx.query, scanDraft, selectDrafts, d.Person)
	if err == nil && len(there) >= most {
		err = store.ErrPagesFull
	}
	if err == nil {
		err = tx.exec(ctx, insertDraft, d.Person, d.Lesson, d.Text, d.Base, digit(d.OnFile), d.Writer, d.ChangedAt.UnixMicro())
	}
	if err != nil {
		return class.Draft{}, err
	}
	return one(ctx, tx.query, scanDraft, selectDraft, d.Person, d.Lesson)
}

// keepDraft makes a version of a draft's text, and lets those give way for which there is
// no room.
func keepDraft(ctx context.Context, tx *transaction, d *class.Draft) error {
	if tx.store.dialect.Serialise != "" { // the numbers of versions are everybody's
		if err := tx.exec(ctx, tx.store.dialect.Serialise, writing); err != nil {
			return err
		}
	}
	v := class.LessonVersion{Lesson: d.Lesson, Person: d.Person, Reason: class.VersionDraft, Text: d.Text, At: d.ChangedAt}
	if err := addVersion(ctx, tx, &v); err != nil {
		return err
	}
	return dropVersions(ctx, tx, d.Lesson, d.Person, class.MostDraftVersions, func(v *class.LessonVersion) bool { return v.Reason == class.VersionDraft })
}

// addVersion keeps a version under the next number.
func addVersion(ctx context.Context, tx *transaction, v *class.LessonVersion) error {
	last, err := one(ctx, tx.query, func(rows *sql.Rows) (n int64, err error) {
		err = rows.Scan(&n)
		return n, err
	}, lastNumber, v.Lesson)
	if err != nil {
		return err
	}
	return tx.exec(ctx, insertLessonVersion, v.Lesson, last+1, v.Person, string(v.Reason), v.Text, v.At.UnixMicro())
}

// dropVersions deletes the oldest versions of a sort beyond most.
func dropVersions(ctx context.Context, tx *transaction, lesson, person string, most int, counts func(*class.LessonVersion) bool) error {
	all, err := list(ctx, tx.query, scanLessonVersion, selectHeads, lesson, person)
	if err != nil {
		return err
	}
	for i, n := 0, 0; i < len(all); i++ {
		if !counts(&all[i]) {
			continue
		}
		if n++; n <= most {
			continue
		}
		if err := tx.exec(ctx, deleteLessonVersion, lesson, all[i].Number); err != nil {
			return err
		}
	}
	return nil
}

// Draft implements contract.Writing.
func (s *Store) Draft(ctx context.Context, person, lesson string) (class.Draft, error) {
	return one(ctx, s.query, scanDraft, selectDraft, person, lesson)
}

// Drafts implements contract.Writing.
func (s *Store) Drafts(ctx context.Context, person string) ([]class.Draft, error) {
	return list(ctx, s.query, scanDraft, selectDrafts, person)
}

// Drafting implements contract.Writing.
func (s *Store) Drafting(ctx context.Context, lesson string) ([]class.Draft, error) {
	return list(ctx, s.query, scanDraft, draftsAt, lesson)
}

// DiscardDraft implements contract.Writing.
func (s *Store) DiscardDraft(ctx context.Context, person, lesson string) error {
	return s.changePages(ctx, person, func(ctx context.Context, tx *transaction) error {
		n, err := tx.count(ctx, deleteDraft, person, lesson)
		if err == nil && n == 0 {
			err = class.ErrNone
		}
		return err
	})
}

// writing is the name under which the versions of lessons follow one another.
const writing = "writing"

// Published implements contract.Writing.
func (s *Store) Published(ctx context.Context, texts []class.LessonVersion, person string, revision int64) error {
	if err := sound(texts); err != nil {
		return err
	}
	for _, v := range texts {
		if v.Lesson == "" || v.At.IsZero() || v.Reason != class.VersionPublished && v.Reason != class.VersionFound {
			return fmt.Errorf("%w: a version needs a lesson, a time and a reason", store.ErrInvalid)
		}
	}
	_, err := change(ctx, s, writing, func(ctx context.Context, tx *transaction) (struct{}, error) {
		for _, v := range texts {
			if err := publish(ctx, tx, &v); err != nil {
				return struct{}{}, err
			}
			if err := tx.exec(ctx, endDraft, person, v.Lesson, revision); err != nil {
				return struct{}{}, err
			}
		}
		return struct{}{}, nil
	})
	return err
}

func publish(ctx context.Context, tx *transaction, v *class.LessonVersion) error {
	newest, err := one(ctx, tx.query, scanLessonVersion, selectNewest, v.Lesson)
	switch {
	case err == nil && newest.Text == v.Text:
		return nil
	case err != nil && !errors.Is(err, class.ErrNone):
		return err
	}
	if err := addVersion(ctx, tx, v); err != nil {
		return err
	}
	return dropVersions(ctx, tx, v.Lesson, "", class.MostPublished, func(v *class.LessonVersion) bool { return v.Reason != class.VersionDraft })
}

// LessonVersions implements contract.Writing.
func (s *Store) LessonVersions(ctx context.Context, lesson, person string) ([]class.LessonVersion, error) {
	return list(ctx, s.query, scanLessonVersion, selectHeads, lesson, person)
}

// LessonVersion implements contract.Writing.
func (s *Store) LessonVersion(ctx context.Context, lesson, person string, number int64) (class.LessonVersion, error) {
	return one(ctx, s.query, scanLessonVersion, selectOneVersion, lesson, person, number)
}

func scanDraft(rows *sql.Rows) (d class.Draft, err error) {
	var onFile int
	var changed int64
	err = rows.Scan(&d.Person, &d.Lesson, &d.Text, &d.Base, &onFile, &d.Revision, &d.Writer, &changed)
	d.OnFile, d.ChangedAt = onFile == 1, moment(changed)
	return d, err
}

func scanLessonVersion(rows *sql.Rows) (v class.LessonVersion, err error) {
	var at int64
	err = rows.Scan(&v.Lesson, &v.Number, &v.Person, &v.Reason, &v.Text, &at)
	v.At = moment(at)
	return v, err
}
