package class

import (
	"time"

	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
)

// The limits of Stuck.
const (
	ActiveFor = 15 * time.Minute // after the last sign of work
	LongAt    = 10 * time.Minute // since the student began
	ManyWrong = 2                // wrong answers to one part
)

// Progress is how far one student is at one exercise, with graded numbers. Its
// methods hold the one definition of each word that pages and exports use: the
// instructors' guide has them in words.
type Progress struct {
	Begun, Last time.Time // first and last answer, prediction or hint; zero for none
	Here        bool      // the student has the page of the lesson open
	Parts       int       // of the exercise
	Right       int       // parts that are right
	Lost        int       // parts without tries left that are not right
	Answered    int       // parts with an answer, see IsAnswer
	Wrong       int       // wrong answers to the open part that has most
	AllHints    bool      // of an open part that has hints
}

// A Task is one exercise as one student was set it.
type Task struct {
	Exercise string // its name in the store
	Parts    []TaskPart
	Tries    int // for each part
}

// A TaskPart is one part of a task.
type TaskPart struct {
	Name  string
	Hints int // that there are
}

// Deeds are the answers, predictions and hints of students in a lesson, of any
// exercise and series.
type Deeds struct {
	Attempts    []store.Attempt
	Predictions []store.Prediction
	Hints       []store.Hint
}

// By returns the deeds of each person.
func (d *Deeds) By() map[string]*Deeds {
	by := map[string]*Deeds{}
	of := func(person string) *Deeds {
		if by[person] == nil {
			by[person] = &Deeds{}
		}
		return by[person]
	}
	for _, a := range d.Attempts {
		p := of(a.Learner)
		p.Attempts = append(p.Attempts, a)
	}
	for _, q := range d.Predictions {
		p := of(q.Learner)
		p.Predictions = append(p.Predictions, q)
	}
	for _, h := range d.Hints {
		p := of(h.Learner)
		p.Hints = append(p.Hints, h)
	}
	return by
}

// ProgressOf works out how far a student is at a task. Deeds at other exercises
// and with practice numbers are passed over; d may be nil.
func ProgressOf(t Task, d *Deeds) Progress {
	var p Progress
	p.Parts = len(t.Parts)
	if d == nil {
		return p
	}
	seen := map[string]int{} // hints by part
	byPart := map[string][]store.Attempt{}
	for _, a := range d.Attempts {
		if p.note(t, a.Place, a.At) {
			byPart[a.Part] = append(byPart[a.Part], a)
		}
	}
	for _, q := range d.Predictions {
		p.note(t, q.Place, q.At)
	}
	for _, h := range d.Hints {
		if p.note(t, h.Place, h.At) {
			seen[h.Part] = max(seen[h.Part], h.Level)
		}
	}
	for _, part := range t.Parts {
		used, right := TriesUsed(byPart[part.Name])
		if right || used > 0 {
			p.Answered++
		}
		switch {
		case right:
			p.Right++
		case used >= t.Tries:
			p.Lost++
		default:
			p.Wrong = max(p.Wrong, used)
			p.AllHints = p.AllHints || part.Hints > 0 && seen[part.Name] >= part.Hints
		}
	}
	return p
}

// note takes in the time of a deed and reports whether it is one of the task.
func (p *Progress) note(t Task, at store.Place, when time.Time) bool {
	if at.Exercise != t.Exercise || at.Series != 0 {
		return false
	}
	if p.Begun.IsZero() || when.Before(p.Begun) {
		p.Begun = when
	}
	if when.After(p.Last) {
		p.Last = when
	}
	return true
}

// TriesUsed returns how many tries the attempts at one part used up, and whether
// one of them is right.
func TriesUsed(attempts []store.Attempt) (used int, right bool) {
	for _, a := range attempts {
		right = right || a.Verdict == string(marking.Right)
		if !a.Free {
			used++
		}
	}
	return used, right
}

// IsAnswer reports whether an attempt is an answer: it used a try or is right. An
// entry that could not be read is none.
func IsAnswer(a store.Attempt) bool { return !a.Free || a.Verdict == string(marking.Right) }

// HasBegun reports whether the student has sent an answer, even one that could
// not be read, predicted or opened a hint.
func (p Progress) HasBegun() bool { return !p.Begun.IsZero() }

// Finished reports whether nothing is left to answer: each part is right or has
// no tries left.
func (p Progress) Finished() bool { return p.HasBegun() && p.Right+p.Lost >= p.Parts }

// WorkingNow reports whether the student has begun, has not finished, and has the
// page open.
func (p Progress) WorkingNow() bool { return p.HasBegun() && !p.Finished() && p.Here }

// StuckReason is why a student is taken to be stuck; empty if they are not.
type StuckReason string

// The reasons, those that weigh more first.
const (
	NoTriesLeft StuckReason = "no-tries-left"
	WrongTwice  StuckReason = "wrong-twice"
	HintsGone   StuckReason = "every-hint"
	TooLong     StuckReason = "too-long"
)

// Stuck returns the first reason that applies, of a student who has begun and
// who has the page open or did something within the last 15 minutes: no tries are
// left at a part that is not right; or a part that is still open has two wrong
// answers or has had every hint shown; or the student began ten minutes ago or
// longer.
func (p Progress) Stuck(now time.Time) StuckReason {
	switch {
	case !p.HasBegun() || !p.Here && now.Sub(p.Last) > ActiveFor:
		return ""
	case p.Lost > 0:
		return NoTriesLeft
	case p.Finished():
		return ""
	case p.Wrong >= ManyWrong:
		return WrongTwice
	case p.AllHints:
		return HintsGone
	case now.Sub(p.Begun) >= LongAt:
		return TooLong
	}
	return ""
}

// InAssignment sums up the progress at all exercises of an assignment: begun is
// begun in one, finished is finished in all. It is not finished without an
// exercise.
func InAssignment(list []Progress) (begun, finished bool) {
	finished = len(list) > 0
	for _, p := range list {
		begun = begun || p.HasBegun()
		finished = finished && p.Finished()
	}
	return begun, finished
}
