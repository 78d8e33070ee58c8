package web

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// A work is what holds for one person in an assignment.
type work struct {
	assignment class.Assignment
	class      class.Class
	staff      bool
	extension  *class.Extension // of the person, or nil
	terms      class.Terms
	overrides  []class.Override // of the person, the oldest first
}

// workAt returns what holds for a person in a lesson, or nil for a lesson that
// is read freely.
func (s *Server) workAt(ctx context.Context, p *lessonPage, person string) (*work, error) {
	_, id := class.SplitKey(p.lesson.Slug)
	if id == "" || s.Class == nil {
		return nil, nil
	}
	a, err := s.Class.Assignment(ctx, id)
	if err != nil {
		return nil, err
	}
	return s.workOf(ctx, a, person)
}

// workOf returns what holds for a person in an assignment of a class that the
// person is in.
func (s *Server) workOf(ctx context.Context, a class.Assignment, person string) (*work, error) {
	w := &work{assignment: a}
	m, err := s.Class.Member(ctx, a.Class, person)
	if err != nil {
		return nil, err
	}
	w.staff = m.Role == class.Staff
	if w.class, err = s.Class.Class(ctx, a.Class); err != nil {
		return nil, err
	}
	extensions, err := s.Class.Extensions(ctx, a.ID)
	if err != nil {
		return nil, err
	}
	if i := slices.IndexFunc(extensions, func(x class.Extension) bool { return x.Person == person }); i >= 0 {
		w.extension = &extensions[i]
	}
	overrides, err := s.Class.Overrides(ctx, a.ID)
	if err != nil {
		return nil, err
	}
	for _, o := range overrides {
		if o.Person == person {
			w.overrides = append(w.overrides, o)
		}
	}
	w.terms = a.TermsFor(w.extension)
	if w.staff {
		w.terms.Opens = time.Time{} // they look at it before
	}
	return w, nil
}

// bind puts the terms of an assignment to a place in it. An exercise that does
// not count is as free as in the lesson on the shelf.
func (w *work) bind(p *attempt.Place) {
	if w == nil || !w.assignment.Counts(p.Cell.ID) {
		return
	}
	p.Terms, p.Overrides = &w.terms, w.overrides
}

// words say the terms of an exercise as they stand for the person now.
func (w *work) words(exercise string, now time.Time) []string {
	if !w.assignment.Counts(exercise) {
		return []string{"This exercise does not count in the assignment."}
	}
	words := append(w.dueWords(now), w.ownWords()...)
	if off := w.terms.TryOff; off > 0 && !w.closed(now) {
		words = append(words, "Each wrong try takes "+class.Shown(off)+" % off the part.")
	}
	return words
}

func (w *work) closed(now time.Time) bool {
	_, closed := w.terms.Late(now)
	return closed
}

// dueWords say until when an answer is taken, and what comes off a late one.
func (w *work) dueWords(now time.Time) []string {
	t, zone := w.terms, w.assignment.Zone
	days, closed := t.Late(now)
	off := class.Shown(t.LateOff)
	switch {
	case closed && t.Closes.After(t.Due):
		return []string{"It was due on " + zoned(t.Due, zone) + " and closed on " + zoned(t.Closes, zone) + ". Nothing more is taken; the solutions are shown."}
	case closed:
		return []string{"It was due on " + zoned(t.Due, zone) + ". Nothing more is taken; the solutions are shown."}
	case days > 0:
		words := "It was due on " + zoned(t.Due, zone) + ". An answer now is " + daysLate(days) + " late"
		if t.LateOff > 0 {
			words += ": " + class.Shown(min(100, float64(days)*t.LateOff)) + " % comes off what it gives"
		}
		return []string{words + ". It closes on " + zoned(t.Closes, zone) + "."}
	case t.Closes.After(t.Due) && t.LateOff > 0:
		return []string{"Due " + zoned(t.Due, zone) + ".", "Taken late until " + zoned(t.Closes, zone) + ", with " + off + " % off for each day, a begun one as a whole."}
	case t.Closes.After(t.Due):
		return []string{"Due " + zoned(t.Due, zone) + ".", "Taken late until " + zoned(t.Closes, zone) + "."}
	}
	return []string{"Due " + zoned(t.Due, zone) + "."}
}

func daysLate(n int) string {
	if n == 1 {
		return "a day"
	}
	return strconv.Itoa(n) + " days"
}

// ownWords say that the times are the person's own.
func (w *work) ownWords() []string {
	if w.extension == nil {
		return nil
	}
	return []string{"These are your own times, because: " + strings.TrimSuffix(w.extension.Reason, ".") + "."}
}

// head is what stands above an assigned lesson.
func (w *work) head(now time.Time) page.AssignedHead {
	h := page.AssignedHead{Title: w.assignment.Title, Class: w.class.Name, Words: append(w.dueWords(now), w.ownWords()...)}
	if w.staff {
		h.Own = assignmentPath(&w.assignment)
	} else {
		h.Mine = minePath(w.class.ID)
	}
	return h
}
