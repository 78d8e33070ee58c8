// Package regrade judges the graded answers of an assignment by the text that its
// lesson's file has now, shows the difference (Service.Compare), and keeps it if it
// still is what was shown (Service.Apply). It does not use HTTP.
package regrade

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
	"shaftbook/web/turns"
)

// Action is the log's word for an assignment that was regraded.
const Action = "recompute"

// HashShown is how many letters of a hash tell texts apart for a reader.
const HashShown = 12

// A Store is what regrading reads and writes; contract.School has it.
type Store interface {
	Members(ctx context.Context, class string) ([]class.Person, []class.Member, error)
	Frozen(ctx context.Context, hash string) (class.Frozen, error)
	Extensions(ctx context.Context, assignment string) ([]class.Extension, error)
	Overrides(ctx context.Context, assignment string) ([]class.Override, error)
	AttemptsIn(ctx context.Context, lesson string) ([]store.Attempt, error)
	Regrade(ctx context.Context, assignment string, text class.Frozen, regrades []class.Regrade, e class.Entry, about ...class.Entry) error
}

// A Judge judges answers by a text of their exercise; *attempt.Service does.
type Judge interface {
	Structure(ctx context.Context, p attempt.Place) (*exercises.Structure, error)
	Regrade(ctx context.Context, p attempt.Place, e *exercises.Exercise, attempts []store.Attempt) (*exercises.Structure, []attempt.Regraded, error)
}

// Files reads a lesson from its file as it is now; *assignment.Files does.
type Files interface {
	Candidate(ctx context.Context, slug string) (*assignment.Candidate, error)
}

// A Service regrades assignments. All fields must be set.
type Service struct {
	Store Store
	Judge Judge
	Files Files
	Given func(ctx context.Context, a class.Assignment) (*lessons.Lesson, error) // the lesson as it was given
}

// A Difference is what changes when an assignment gets the text that its lesson's
// file has now.
type Difference struct {
	Assignment class.Assignment
	Was        class.Frozen
	To         *assignment.Candidate

	Answers int                   // judged again
	Marks   []page.AssignRegraded // of students whose marks or answers change
	Kept    []page.AssignKept     // answers that stay as they were
	Notes   []string              // exercises that come and go

	people     []class.Person // of the class, those who have left included
	members    []class.Member
	old        *lessons.Lesson
	extensions []class.Extension
	overrides  []class.Override
	attempts   []store.Attempt // at graded exercises

	regrades []class.Regrade // what is judged otherwise
	students []changedMarks
}

// Changed returns how many answers are judged otherwise than before.
func (d *Difference) Changed() int { return len(d.regrades) }

// changedMarks are the marks of one student that change, in words for the log.
type changedMarks struct {
	person string
	words  []string
}

// Compare works out what changes when an assignment gets the text of its
// lesson's file. Nothing is kept.
func (s *Service) Compare(ctx context.Context, a class.Assignment) (*Difference, error) {
	ctx = turns.As(ctx, turns.Regrade)
	d := &Difference{Assignment: a}
	var err error
	if d.To, err = s.Files.Candidate(ctx, a.Lesson); err != nil {
		return nil, err
	}
	d.To.Lesson = d.To.Lesson.WithKey(a.Key()) // under which numbers are drawn
	if d.old, err = s.Given(ctx, a); err != nil {
		return nil, err
	}
	if d.Was, err = s.Store.Frozen(ctx, a.Text); err != nil {
		return nil, err
	}
	if d.people, d.members, err = s.Store.Members(ctx, a.Class); err != nil {
		return nil, err
	}
	if d.extensions, err = s.Store.Extensions(ctx, a.ID); err != nil {
		return nil, err
	}
	if d.overrides, err = s.Store.Overrides(ctx, a.ID); err != nil {
		return nil, err
	}
	all, err := s.Store.AttemptsIn(ctx, a.Key())
	if err != nil {
		return nil, err
	}
	d.attempts = slices.DeleteFunc(all, func(t store.Attempt) bool { return t.Series != 0 })
	if len(d.To.Faults) > 0 {
		return d, nil
	}
	d.compare()
	return d, d.judge(ctx, s.Judge)
}

// ErrChanged is the error of a difference that is another than was shown, or of a
// file that cannot be given to a class.
var ErrChanged = errors.New("what regrading changes is not what was shown")

// Apply gives an assignment the text of the file and its answers the verdicts by
// it, with the lines of the log, all at once, if that changes what was shown:
// shown is the Version of that difference. The error is ErrChanged otherwise, with
// the difference as it is now.
func (s *Service) Apply(ctx context.Context, a class.Assignment, shown, by string, now time.Time) (*Difference, error) {
	d, err := s.Compare(ctx, a)
	if err != nil {
		return nil, err
	}
	if len(d.To.Faults) > 0 || shown != d.Version() {
		return d, ErrChanged
	}
	text := d.To.Frozen()
	entry := func(about, detail string) class.Entry {
		return class.Entry{Class: a.Class, By: by, At: now, Action: Action, About: about, Detail: detail, Assignment: a.ID}
	}
	e := entry("", fmt.Sprintf("“%s” updated to the text of %s, version %s, from version %s: %s re-marked, %d with a new verdict; marks of %s changed",
		a.Title, text.Name, text.Hash[:HashShown], a.Text[:HashShown], words.CountOf(d.Answers, "answer", "answers"), len(d.regrades), words.CountOf(len(d.students), "student", "students")))
	var about []class.Entry
	for _, st := range d.students {
		about = append(about, entry(st.person, "“"+a.Title+"” re-marked: "+strings.Join(st.words, ", ")))
	}
	return d, s.Store.Regrade(ctx, a.ID, text, d.regrades, e, about...)
}

// compare notes exercises that come and go.
func (d *Difference) compare() {
	for _, c := range d.old.CellsOf(lessons.Exercise) {
		if d.after(c.ID) == nil {
			d.Notes = append(d.Notes, "The exercise "+titleOf(c)+" is no longer in the lesson. Answers to it are kept but no longer count.")
		}
	}
	for i, c := range d.To.Cells {
		if _, there := d.old.Cell(c.ID); there {
			continue
		}
		counts := "It counts, because all exercises of the lesson count."
		if !d.Assignment.Counts(c.ID) {
			counts = "It does not count until you choose it in the settings."
		}
		d.Notes = append(d.Notes, "The exercise "+d.To.Exercises[i].Title+" is new. "+counts)
	}
}

// after returns an exercise of the new text, or nil.
func (d *Difference) after(id string) *exercises.Exercise {
	i := slices.IndexFunc(d.To.Cells, func(c lessons.Cell) bool { return c.ID == id })
	if i < 0 {
		return nil
	}
	return d.To.Exercises[i]
}

func titleOf(c lessons.Cell) string {
	e, _ := exercises.Parse(c.Name, c.Text)
	return e.Title
}

// judge goes through everybody's work at every exercise of the text that the
// class has.
func (d *Difference) judge(ctx context.Context, judge Judge) error {
	for _, cell := range d.old.CellsOf(lessons.Exercise) {
		title := titleOf(cell)
		for i, member := range d.members {
			mine := d.attemptsOf(member.Person, cell.ID)
			if len(mine) == 0 {
				continue
			}
			if err := d.judgeOne(ctx, judge, cell, title, d.people[i], mine); err != nil {
				return err
			}
		}
	}
	return nil
}

// attemptsOf returns a person's attempts at an exercise.
func (d *Difference) attemptsOf(person, exercise string) (list []store.Attempt) {
	for _, t := range d.attempts {
		if t.Learner == person && t.Exercise == exercise {
			list = append(list, t)
		}
	}
	return list
}

func (d *Difference) judgeOne(ctx context.Context, judge Judge, cell lessons.Cell, title string, who class.Person, mine []store.Attempt) error {
	set, err := judge.Structure(ctx, attempt.Place{Learner: who.ID, Lesson: d.old, Cell: cell})
	if err != nil {
		return err
	}
	row := page.AssignRegraded{Student: who.Name, Exercise: title, Old: d.worth(set, cell, who.ID, mine)}
	e := d.after(cell.ID)
	if e == nil {
		d.keep(who, title, "the exercise is no longer in the lesson", len(mine))
		row.New = noMark
		d.note(who.ID, row)
		return nil
	}
	set, judged, err := judge.Regrade(ctx, attempt.Place{Learner: who.ID, Lesson: d.To.Lesson}, e, mine)
	if err != nil {
		return err
	}
	after := slices.Clone(mine)
	cannot := map[string]int{}
	for i, j := range judged {
		if j.Cannot != "" {
			cannot[j.Cannot]++
			continue
		}
		d.Answers++
		if !j.Changed {
			continue
		}
		d.regrades = append(d.regrades, j.Regrade)
		row.Answers = append(row.Answers, judgedWords(&mine[i], &j, len(set.Parts) > 1))
		after[i].Verdict, after[i].Slip, after[i].Message, after[i].Points, after[i].Free = j.Verdict, j.Slip, j.Message, j.Points, j.Free
	}
	for _, why := range []string{attempt.OtherNumbers, attempt.NoPart, attempt.CannotBeSet} {
		d.keep(who, title, why, cannot[why])
	}
	row.New = d.worth(set, cell, who.ID, after)
	d.note(who.ID, row)
	return nil
}

// note notes what changes for a person at an exercise, if anything does.
func (d *Difference) note(person string, row page.AssignRegraded) {
	if row.Old == row.New && len(row.Answers) == 0 {
		return
	}
	d.Marks = append(d.Marks, row)
	if row.Old == row.New {
		return
	}
	i := slices.IndexFunc(d.students, func(st changedMarks) bool { return st.person == person })
	if i < 0 {
		i = len(d.students)
		d.students = append(d.students, changedMarks{person: person})
	}
	d.students[i].words = append(d.students[i].words, row.Exercise+" from "+row.Old+" to "+row.New)
}

func (d *Difference) keep(who class.Person, title, why string, answers int) {
	if answers > 0 {
		d.Kept = append(d.Kept, page.AssignKept{Student: who.Name, Exercise: title, Why: why, Answers: answers})
	}
}

func judgedWords(a *store.Attempt, j *attempt.Regraded, parts bool) string {
	at := fmt.Sprintf("answer %d", a.Number)
	if parts {
		at += " at " + a.Part
	}
	was, is := marking.VerdictKind(a.Verdict).Word(), marking.VerdictKind(j.Verdict).Word()
	switch {
	case was != is:
		return at + ": " + was + " → " + is
	case a.Points != j.Points:
		return at + ": " + is + ", " + class.Shown(a.Points) + " → " + class.Shown(j.Points) + " points"
	}
	return at + ": " + is + ", with new feedback"
}

const noMark = "does not count"

// worth returns what attempts at an exercise are worth to a person for whom it is
// set in a certain way; nil if it cannot be set.
func (d *Difference) worth(set *exercises.Structure, cell lessons.Cell, person string, attempts []store.Attempt) string {
	if set == nil || !d.Assignment.Counts(cell.ID) {
		return noMark
	}
	w := class.Worth{Exercise: cell.ID}
	for _, a := range set.Parts {
		w.Parts = append(w.Parts, class.PartWorth{Part: a.Name, Points: a.Points})
	}
	overrides := slices.DeleteFunc(slices.Clone(d.overrides), func(o class.Override) bool { return o.Person != person })
	mark := class.MarkOf(w, d.Assignment.TermsFor(class.ExtensionOf(d.extensions, person)), attempts, overrides)
	words := class.Shown(mark.Points) + " of " + class.Shown(mark.Full)
	if mark.Override != nil {
		words += ", set by hand"
	}
	return words
}

// Version names everything that the page of a difference shows, and what it
// was worked out from.
func (d *Difference) Version() string {
	text := d.To.Frozen()
	shown, err := json.Marshal([]any{
		d.Assignment.ID, d.Assignment.Text, d.Assignment.Revision, text.Hash, len(d.attempts),
		d.regrades, d.Answers, d.Marks, d.Kept, d.Notes,
	})
	if err != nil {
		return "" // of which no form can have come
	}
	sum := sha256.Sum256(shown)
	return hex.EncodeToString(sum[:16])
}
