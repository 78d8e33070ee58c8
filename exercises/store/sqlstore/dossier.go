package sqlstore

import (
	"context"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const (
	attemptsOf    = `SELECT ` + attemptColumns + ` FROM attempts WHERE ` + ofLearner + ` ORDER BY id`
	remarkedOf    = `SELECT ` + attemptColumns + ` FROM remarked WHERE learner = $1 ORDER BY id`
	predictionsOf = `SELECT ` + predictionColumns + ` FROM predictions WHERE learner = $1 ORDER BY id`
	hintsOf       = `SELECT learner, lesson, exercise, part, series, level, at_us FROM hints
	WHERE learner = $1 ORDER BY at_us, lesson, exercise, part, series, level`
	workingsOf = `SELECT lesson FROM workings WHERE learner = $1 ORDER BY lesson`
)

// Dossier implements contract.School.
func (s *Store) Dossier(ctx context.Context, person string) (class.Dossier, error) {
	var d class.Dossier
	var err error
	if d.Person, err = s.Person(ctx, person); err != nil {
		return class.Dossier{}, err
	}
	d.Person.Password = ""
	lessons, err := list(ctx, s.query, scanText, workingsOf, person)
	if err != nil {
		return class.Dossier{}, err
	}
	d.Workings = make(map[string]store.Working, len(lessons))
	for _, lesson := range lessons {
		if d.Workings[lesson], err = s.Working(ctx, person, lesson); err != nil {
			return class.Dossier{}, err
		}
	}
	if d.Pages, d.PageVersions, err = s.pagesWhole(ctx, person); err != nil {
		return class.Dossier{}, err
	}
	for _, read := range []func() error{
		func() (err error) { d.Shares, err = list(ctx, s.query, scanShare, sharesBy, person); return err },
		func() (err error) { d.Shown, err = list(ctx, s.query, scanShown, shownBy, person); return err },
		func() (err error) { d.PageNotes, err = list(ctx, s.query, scanNote, notesFor, person); return err },
		func() (err error) { d.Members, err = list(ctx, s.query, scanMember, membershipsOf, person); return err },
		func() (err error) {
			d.Extensions, err = list(ctx, s.query, scanExtension, extensionsFor, person)
			return err
		},
		func() (err error) {
			d.Overrides, err = list(ctx, s.query, scanOverride, overridesFor, person)
			return err
		},
		func() (err error) { d.Attempts, err = list(ctx, s.query, wholeAttempt, attemptsOf, person); return err },
		func() (err error) { d.Regraded, err = list(ctx, s.query, wholeAttempt, remarkedOf, person); return err },
		func() (err error) {
			d.Predictions, err = list(ctx, s.query, wholePrediction, predictionsOf, person)
			return err
		},
		func() (err error) { d.Hints, err = list(ctx, s.query, scanHint, hintsOf, person); return err },
		func() (err error) { d.Practice, err = list(ctx, s.query, scanPractice, practiceOf, person); return err },
		func() (err error) { d.Drafts, err = list(ctx, s.query, scanDraft, wholeDrafts, person); return err },
		func() (err error) {
			d.LessonVersions, err = list(ctx, s.query, scanLessonVersion, versionsBy, person)
			return err
		},
		func() (err error) { d.Entries, err = list(ctx, s.query, wholeEntry, entriesAbout, person); return err },
	} {
		if err := read(); err != nil {
			return class.Dossier{}, err
		}
	}
	return d, nil
}
