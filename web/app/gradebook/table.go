package gradebook

import (
	"context"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

// A Standing is what one student has in one assignment.
type Standing struct {
	Terms     class.Terms
	Extension *class.Extension // why the terms are the student's own, or nil
	Marks     []class.Mark     // of the exercises of the work
	Sum       class.Sum

	Attempts  []store.Attempt  // of all series, in the order they were made
	Overrides []class.Override // the oldest first

	ways []*exercises.Structure // of the exercises; nil for one that cannot be set
}

// Ask returns a part of an exercise of the work as the student was set it, or
// nil.
func (s *Standing) Ask(exercise int, part string) *exercises.Part {
	if s.ways[exercise] == nil {
		return nil
	}
	return askOf(s.ways[exercise], part)
}

// Predict returns a prediction of an exercise as the student was asked it, or
// nil.
func (s *Standing) Predict(exercise int, name string) *exercises.Prediction {
	if s.ways[exercise] == nil {
		return nil
	}
	for _, q := range s.ways[exercise].Predictions {
		if q.Name == name {
			return q
		}
	}
	return nil
}

// Answered reports whether there is an answer with graded numbers, or a mark set by
// hand.
func (s *Standing) Answered() bool {
	for _, m := range s.Marks {
		if m.Answered || m.Override != nil {
			return true
		}
	}
	return false
}

// An AnswerKey names an answer of a student in an assignment.
type AnswerKey struct{ Exercise, Submission string }

// Key returns the name of an answer in its assignment.
func Key(a *store.Attempt) AnswerKey { return AnswerKey{a.Exercise, a.Submission} }

// Counted returns the answers that give the points of their parts. A mark by
// hand takes nothing from them: it says what they would give.
func (s *Standing) Counted() map[AnswerKey]bool {
	counted := map[AnswerKey]bool{}
	for _, m := range s.Marks {
		for _, p := range m.Parts {
			if p.Best != nil {
				counted[Key(p.Best)] = true
			}
		}
	}
	return counted
}

// A Row is one student of a sheet.
type Row struct {
	Person    class.Person
	Member    class.Member
	Standings []*Standing // by the works of the sheet

	Total  float64 // percent: see class.Total
	Counts bool    // there is a total
}

// A Table is what everybody in a class has, those who have left included.
type Table struct {
	Works []*Work
	Rows  []Row // students, ordered by name, then ID
}

// Table works out a marks sheet of some assignments of a class, at a time. The
// totals are of these assignments alone.
func (r *Reader) Table(ctx context.Context, of string, assigned []class.Assignment, now time.Time) (*Table, error) {
	people, members, err := r.store.Members(ctx, of)
	if err != nil {
		return nil, err
	}
	sheet := &Table{}
	for i, m := range members {
		if m.Role == class.Student {
			sheet.Rows = append(sheet.Rows, Row{Person: people[i], Member: m})
		}
	}
	for _, a := range assigned {
		if err := r.add(ctx, sheet, a, now); err != nil {
			return nil, err
		}
	}
	for i := range sheet.Rows {
		row := &sheet.Rows[i]
		sums := make([]class.Sum, len(row.Standings))
		for j, s := range row.Standings {
			sums[j] = s.Sum
		}
		row.Total, row.Counts = class.Total(sums)
	}
	return sheet, nil
}

// add works out one assignment for everybody of the sheet.
func (r *Reader) add(ctx context.Context, sheet *Table, a class.Assignment, now time.Time) error {
	w, err := r.Work(ctx, a)
	if err != nil {
		return err
	}
	sheet.Works = append(sheet.Works, w)
	attempts, err := r.store.AttemptsIn(ctx, a.Key())
	if err != nil {
		return err
	}
	extensions, overrides, err := r.byHand(ctx, a.ID)
	if err != nil {
		return err
	}
	by := map[string][]store.Attempt{}
	for _, t := range attempts {
		by[t.Learner] = append(by[t.Learner], t)
	}
	for i := range sheet.Rows {
		row := &sheet.Rows[i]
		s, err := r.standing(ctx, w, row.Person.ID, class.ExtensionOf(extensions, row.Person.ID), by[row.Person.ID], overrides[row.Person.ID], now)
		if err != nil {
			return err
		}
		row.Standings = append(row.Standings, s)
	}
	return nil
}

// byHand returns what instructors have changed in an assignment: extensions, and
// marks set by hand by person.
func (r *Reader) byHand(ctx context.Context, assignment string) ([]class.Extension, map[string][]class.Override, error) {
	extensions, err := r.store.Extensions(ctx, assignment)
	if err != nil {
		return nil, nil, err
	}
	overrides, err := r.store.Overrides(ctx, assignment)
	if err != nil {
		return nil, nil, err
	}
	marks := map[string][]class.Override{}
	for _, o := range overrides {
		marks[o.Person] = append(marks[o.Person], o)
	}
	return extensions, marks, nil
}

func (r *Reader) standing(ctx context.Context, w *Work, person string, x *class.Extension, attempts []store.Attempt, overrides []class.Override, now time.Time) (*Standing, error) {
	worth, ways, err := r.worth(ctx, w, person)
	if err != nil {
		return nil, err
	}
	s := &Standing{Terms: w.Assignment.TermsFor(x), Extension: x, ways: ways, Attempts: attempts, Overrides: overrides}
	for _, give := range worth {
		s.Marks = append(s.Marks, class.MarkOf(give, s.Terms, attempts, overrides))
	}
	s.Sum = class.SumOf(s.Marks, w.Assignment.Weight, class.InTotal(&w.Assignment, s.Terms, now))
	return s, nil
}

// Student works out what one student has in one assignment. It reads no answer
// of anyone else.
func (r *Reader) Student(ctx context.Context, person string, a class.Assignment, now time.Time) (*Work, *Standing, error) {
	w, err := r.Work(ctx, a)
	if err != nil {
		return nil, nil, err
	}
	var attempts []store.Attempt
	for _, e := range w.Exercises {
		list, err := r.service.Store().Attempts(ctx, person, a.Key(), e.Cell.ID)
		if err != nil {
			return nil, nil, err
		}
		attempts = append(attempts, list...)
	}
	extensions, overrides, err := r.byHand(ctx, a.ID)
	if err != nil {
		return nil, nil, err
	}
	s, err := r.standing(ctx, w, person, class.ExtensionOf(extensions, person), attempts, overrides[person], now)
	return w, s, err
}
