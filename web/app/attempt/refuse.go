package attempt

import (
	"fmt"
	"shaftbook/exercises/marking"
	"time"
)

// A Reason is why something that was handed in was not taken, as programs tell it
// apart.
type Reason string

// The reasons.
const (
	NoSeries   Reason = "no-series"   // the numbers to practise with are not set yet
	OtherSheet Reason = "other-sheet" // the page shows the numbers of another learner
	Done       Reason = "done"        // the part has a right answer
	Unreadable Reason = "unreadable"  // of a prediction, or a submission without its identifier
	TooFast    Reason = "too-fast"
	TooLong    Reason = "too-long"
	TooEarly   Reason = "not-open" // the assignment has not opened
	Closed     Reason = "closed"   // the assignment has closed
)

// Reasons lists all reasons.
var Reasons = []Reason{NoSeries, OtherSheet, Done, Unreadable, TooFast, TooLong, TooEarly, Closed}

// A Refusal is the error of something that was handed in and not taken. Nothing
// was kept and no try was used.
type Refusal struct {
	Reason Reason
	Words  string // for the learner, with what to do
	Wait   time.Duration
}

func (r *Refusal) Error() string { return r.Words }

var (
	errNoSeries = &Refusal{Reason: NoSeries, Words: "These numbers are not set yet: answer all parts with the earlier ones first."}
	errStranger = &Refusal{Reason: OtherSheet, Words: "This page shows numbers that are no longer yours, as happens when the browser’s cookies were cleared. Copy your answer, load the page again and look at its numbers."}
	errDone     = &Refusal{Reason: Done, Words: "This part is answered: your earlier answer was right."}
	errNoName   = &Refusal{Reason: Unreadable, Words: "The page sent this without its number. Load the page again; what you typed is kept on this device."}
	errChecks   = &Refusal{Reason: TooFast, Words: "That was checked very often just now. Wait a few seconds."}
	errTooLong  = &Refusal{Reason: TooLong, Words: fmt.Sprintf("This is longer than %d characters and was not taken. Give the result in one line.", marking.MaxAnswer)}
)

func tooFast(wait time.Duration) *Refusal {
	seconds := int(wait/time.Second) + 1
	return &Refusal{Reason: TooFast, Wait: wait, Words: fmt.Sprintf(
		"No more than %d answers a minute are marked. Take the time to look at the working; this one can be handed in after %d s.", perMinute, seconds)}
}
