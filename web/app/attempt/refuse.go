package attempt

import (
	"fmt"
	"shaftbook/exercises/marking"
	"time"
)

// A Refusal says why something that was handed in was not taken. Nothing was
// kept and no try was used.
type Refusal struct {
	Reason string // a word for programs: "too-fast"
	Words  string // for the learner, with what to do
	Wait   time.Duration
}

func (r *Refusal) Error() string { return r.Words }

var (
	errNoSeries = &Refusal{Reason: "no-series", Words: "These numbers are not set yet: answer all parts with the earlier ones first."}
	errStranger = &Refusal{Reason: "other-sheet", Words: "This page shows numbers that are no longer yours, as happens when the browser’s cookies were cleared. Copy your answer, load the page again and look at its numbers."}
	errDone     = &Refusal{Reason: "done", Words: "This part is answered: your earlier answer was right."}
	errNoName   = &Refusal{Reason: "unreadable", Words: "The page sent this without its number. Load the page again; what you typed is kept on this device."}
	errChecks   = &Refusal{Reason: "too-fast", Words: "That was checked very often just now. Wait a few seconds."}
	errTooLong  = &Refusal{Reason: "too-long", Words: fmt.Sprintf("This is longer than %d characters and was not taken. Give the result in one line.", marking.MaxAnswer)}
)

func tooFast(wait time.Duration) *Refusal {
	seconds := int(wait/time.Second) + 1
	return &Refusal{Reason: "too-fast", Wait: wait, Words: fmt.Sprintf(
		"No more than %d answers a minute are marked. Take the time to look at the working; this one can be handed in after %d s.", perMinute, seconds)}
}
