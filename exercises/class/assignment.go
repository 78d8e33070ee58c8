package class

import (
	"slices"
	"strings"
	"time"
)

// An Assignment gives a class a lesson, or chosen exercises of it, on terms.
type Assignment struct {
	ID    string
	Class string
	Title string

	Lesson string // slug of the lesson on the shelf
	Text   string // hash of the lesson's text as it was given: see Frozen

	// Exercises are the cells that count, in the order of the lesson; none means
	// all of them.
	Exercises []string

	Opens  time.Time
	Due    time.Time
	Closes time.Time // answers are taken late until then; equal to Due if never
	Zone   string    // the time zone in which the three are said

	LateOff float64 // percent taken off for each day, or part of one, after Due
	Tries   int     // for each part; 0 leaves it to the exercise
	TryOff  float64 // percent taken off for each wrong try before the best one
	Weight  float64 // of the assignment in the total of the class
	Test    bool    // whether other numbers to practise with are not offered before it closes

	Withdrawn bool
	Revision  int // counts changes, from 0; the store raises it
	MadeAt    time.Time
	ChangedAt time.Time
}

// Counts reports whether an exercise counts in the assignment.
func (a *Assignment) Counts(exercise string) bool {
	return len(a.Exercises) == 0 || slices.Contains(a.Exercises, exercise)
}

// keySign separates the slug of a lesson and the assignment. It is in no
// slug and needs no escape in an address.
const keySign = "~"

// Key is the name under which work in an assignment is kept, and the lesson's
// address in it: the slug of the lesson and the assignment.
func (a *Assignment) Key() string { return a.Lesson + keySign + a.ID }

// SplitKey takes the name of a lesson in the store apart. Assignment is empty for
// a lesson that is read freely.
func SplitKey(key string) (lesson, assignment string) {
	lesson, assignment, _ = strings.Cut(key, keySign)
	return lesson, assignment
}

// A Frozen is the text of a lesson at the version in which it was given, with the images
// that it shows.
type Frozen struct {
	Hash   string // see HashFrozen
	Name   string // of the file
	Text   string
	Images []Image // by name; a store returns them one by one, see FrozenImage
}

// An Extension gives one student other times.
type Extension struct {
	Assignment string
	Person     string
	Due        time.Time
	Closes     time.Time
	Reason     string
	By         string
	At         time.Time
}

// An Override is a mark that an instructor sets by hand. The latest of an
// exercise stands; all are kept.
type Override struct {
	Assignment string
	Person     string
	Exercise   string
	Withdrawn  bool    // restores the marking
	Points     float64 // out of what the exercise gives
	Reason     string  // shown to the student
	By         string
	At         time.Time
}

// A Regrade replaces what marking said of an attempt, after its exercise was
// mended. The store keeps what was there before.
type Regrade struct {
	Person     string
	Exercise   string
	Submission string
	Verdict    string
	Slip       string
	Message    string
	Points     float64
	Free       bool
	Program    string
}

// An Entry is a line of the audit log: who did what to whose marks, when.
type Entry struct {
	ID         int64 // grows; the store sets it
	Class      string
	By         string // the person who did it
	At         time.Time
	Action     string // such as "override", "recompute", "extension", "roster"
	About      string // the person whose marks changed, or empty
	Assignment string // or empty
	Exercise   string // or empty
	Detail     string // in words, with the values before and after
}

// A Presence is the place in a lesson where a person is.
type Presence struct {
	Person string
	Lesson string // a slug or Key
	Place  string // ID of the heading or cell in view
	At     time.Time
}
