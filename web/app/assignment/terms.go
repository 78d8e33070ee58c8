package assignment

import (
	"context"
	"strconv"
	"strings"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// Terms are the terms of one assignment for one person: due time, tries and
// overrides.
type Terms struct {
	Assignment class.Assignment
	Class      class.Class
	Staff      bool             // the person is an instructor of the class
	Extension  *class.Extension // of the person, or nil
	class.Terms
	Overrides []class.Override // of the person, the oldest first
}

// A TermsStore is read for terms; contract.School has it.
type TermsStore interface {
	Member(ctx context.Context, class, person string) (class.Member, error)
	Class(ctx context.Context, id string) (class.Class, error)
	Extensions(ctx context.Context, assignment string) ([]class.Extension, error)
	Overrides(ctx context.Context, assignment string) ([]class.Override, error)
}

// TermsFor returns the terms of an assignment for a person of its class.
func TermsFor(ctx context.Context, store TermsStore, a class.Assignment, person string) (*Terms, error) {
	w := &Terms{Assignment: a}
	m, err := store.Member(ctx, a.Class, person)
	if err != nil {
		return nil, err
	}
	w.Staff = m.Role == class.Staff
	if w.Class, err = store.Class(ctx, a.Class); err != nil {
		return nil, err
	}
	extensions, err := store.Extensions(ctx, a.ID)
	if err != nil {
		return nil, err
	}
	w.Extension = class.ExtensionOf(extensions, person)
	overrides, err := store.Overrides(ctx, a.ID)
	if err != nil {
		return nil, err
	}
	for _, o := range overrides {
		if o.Person == person {
			w.Overrides = append(w.Overrides, o)
		}
	}
	w.Terms = a.TermsFor(w.Extension)
	if w.Staff {
		w.Terms.Opens = time.Time{} // they look at it before
	}
	return w, nil
}

// Bind puts the terms of an assignment to a place in it. An exercise that does
// not count is as free as in the lesson on the shelf.
func (w *Terms) Bind(p *attempt.Place) {
	if w == nil || !w.Assignment.Counts(p.Cell.ID) {
		return
	}
	p.Terms, p.Overrides = &w.Terms, w.Overrides
}

// ExerciseWords say the terms of an exercise as they stand for the person now.
func (w *Terms) ExerciseWords(exercise string, now time.Time) []string {
	if !w.Assignment.Counts(exercise) {
		return []string{"This exercise does not count towards the assignment."}
	}
	words := append(w.DueWords(now), w.OwnWords()...)
	if off := w.Terms.TryOff; off > 0 && !w.closed(now) {
		words = append(words, "Each wrong try costs "+class.Shown(off)+" % of the part’s points.")
	}
	return words
}

func (w *Terms) closed(now time.Time) bool {
	_, closed := w.Terms.Late(now)
	return closed
}

// DueWords say until when an answer is taken, and what comes off a late one.
func (w *Terms) DueWords(now time.Time) []string {
	t, zone := w.Terms, w.Assignment.Zone
	days, closed := t.Late(now)
	off := class.Shown(t.LateOff)
	switch {
	case closed && t.Closes.After(t.Due):
		return []string{"It was due on " + page.Zoned(t.Due, zone) + " and closed on " + page.Zoned(t.Closes, zone) + ". No more answers are accepted; the solutions are shown."}
	case closed:
		return []string{"It was due on " + page.Zoned(t.Due, zone) + ". No more answers are accepted; the solutions are shown."}
	case days > 0:
		words := "It was due on " + page.Zoned(t.Due, zone) + ". An answer now is " + daysLate(days) + " late"
		if t.LateOff > 0 {
			words += ": " + class.Shown(min(100, float64(days)*t.LateOff)) + " % is deducted from its points"
		}
		return []string{words + ". It closes on " + page.Zoned(t.Closes, zone) + "."}
	case t.Closes.After(t.Due) && t.LateOff > 0:
		return []string{"Due " + page.Zoned(t.Due, zone) + ".", "Closes " + page.Zoned(t.Closes, zone) + ": late work is accepted until then, less " + off + " % for each day late or part of a day."}
	case t.Closes.After(t.Due):
		return []string{"Due " + page.Zoned(t.Due, zone) + ".", "Closes " + page.Zoned(t.Closes, zone) + ": late work is accepted until then."}
	}
	return []string{"Due " + page.Zoned(t.Due, zone) + "."}
}

func daysLate(n int) string {
	if n == 1 {
		return "a day"
	}
	return strconv.Itoa(n) + " days"
}

// OwnWords say that the times are the person's own.
func (w *Terms) OwnWords() []string {
	if w.Extension == nil {
		return nil
	}
	return []string{"You have an extension; reason: " + strings.TrimSuffix(w.Extension.Reason, ".") + "."}
}

// Head is shown above an assigned lesson.
func (w *Terms) Head(now time.Time) page.AssignedHead {
	h := page.AssignedHead{Title: w.Assignment.Title, Class: w.Class.Name, Words: append(w.DueWords(now), w.OwnWords()...)}
	if w.Staff {
		h.Own = page.AssignmentPath(&w.Assignment)
	} else {
		h.Mine = page.MinePath(w.Class.ID)
	}
	return h
}
