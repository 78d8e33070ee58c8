package attempt

import (
	"fmt"
	"time"

	"shaftbook/exercises/marking"
)

// A Reason is why something that was handed in was not taken, as programs tell it
// apart.
type Reason string

// The reasons.
const (
	NoSeries     Reason = "no-series"   // the numbers to practise with are not set yet
	OtherLearner Reason = "other-sheet" // the page shows the numbers of another learner
	Done         Reason = "done"        // the part has a right answer
	Unreadable   Reason = "unreadable"  // of a prediction, or a submission without its identifier
	NotOffered   Reason = "not-offered" // the chosen reading is not one of the typed text
	TooFast      Reason = "too-fast"
	TooLong      Reason = "too-long"
	TooEarly     Reason = "not-open"    // the assignment has not opened
	Closed       Reason = "closed"      // the assignment has closed
	NoPractice   Reason = "no-practice" // the assignment is a test
)

// Reasons lists all reasons.
var Reasons = []Reason{NoSeries, OtherLearner, Done, Unreadable, NotOffered, TooFast, TooLong, TooEarly, Closed, NoPractice}

// A Refusal is the error of something that was handed in and not taken. Nothing
// was kept and no try was used.
type Refusal struct {
	Reason Reason
	Words  string // for the learner, with what to do
	Wait   time.Duration
}

func (r *Refusal) Error() string { return r.Words }

var (
	errNoSeries = &Refusal{Reason: NoSeries, Words: "These numbers are not available yet: answer all parts with the earlier numbers first."}
	errStranger = &Refusal{Reason: OtherLearner, Words: "This page shows numbers that are no longer yours. This happens when the browser’s cookies have been cleared. Copy your answer, reload the page and check its numbers."}
	// A lesson that is read freely may change while its page is open.
	errOtherNumbers = &Refusal{Reason: OtherLearner, Words: "This exercise has changed since the page was loaded, and your numbers are others. Copy your answer, reload the page and check its numbers. No try was used."}

	errDone       = &Refusal{Reason: Done, Words: "You have already answered this part correctly."}
	errNoName     = &Refusal{Reason: Unreadable, Words: "The page sent this incomplete. Reload the page; what you typed is kept on this device."}
	errNotOffered = &Refusal{Reason: NotOffered, Words: "What you typed is not what these readings were offered for: it was changed afterwards. Submit it again, as it is now; no try was used."}
	errChecks     = &Refusal{Reason: TooFast, Words: "You have checked very often just now. Wait a few seconds."}
	errPractice   = &Refusal{Reason: TooFast, Wait: 2 * time.Second, Words: "You have practised very fast just now. Wait a few seconds."}
	ErrTest       = &Refusal{Reason: NoPractice, Words: "This assignment is a test, so there are no other numbers to practise with before it closes."}
	ErrTested     = &Refusal{Reason: NoPractice, Words: "You have a test with this exercise that has not closed, so there are no other numbers to practise with before it closes."}
	errTooLong    = &Refusal{Reason: TooLong, Words: fmt.Sprintf("This is longer than %d characters and was not accepted. Give the result in one line.", marking.MaxAnswer)}
)

func tooOften(wait time.Duration) *Refusal {
	return &Refusal{Reason: TooFast, Wait: wait, Words: fmt.Sprintf(
		"At most %d answers are read per minute. You can submit this one in %d s.", readsPerMinute, int(wait/time.Second)+1)}
}

func tooFast(wait time.Duration) *Refusal {
	seconds := int(wait/time.Second) + 1
	return &Refusal{Reason: TooFast, Wait: wait, Words: fmt.Sprintf(
		"At most %d answers are marked per minute. Take the time to look at your working; you can submit this one in %d s.", perMinute, seconds)}
}
