package room

import (
	"fmt"
	"time"
)

const (
	workingFor  = 15 * time.Minute // after the last sign of work somebody no longer counts as working
	longAt      = 10 * time.Minute
	manyWrong   = 2
	stuckAtWhat = 2 // so many at least make an exercise stall
	stuckShare  = 3 // and one of so many of those who are at it
)

// StallRule says the rule of Stuck and Stalls on the page.
const StallRule = "Stuck is who has no tries left and was not right, has given two wrong answers to a part that is still open, " +
	"has had every hint of such a part shown, or has been at the exercise for ten minutes. " +
	"An exercise stalls when two or more are stuck and they are at least a third of those at work on it. " +
	"At work is who has begun it and was here or handed something in within the last 15 minutes."

// Work is how far one student is at one exercise.
type Work struct {
	Begun, Last time.Time // first and last answer, guess or hint; zero for none
	Here        bool      // the student is in the lesson now
	Parts       int       // of the exercise
	Right       int       // parts that are right
	Lost        int       // parts without tries left that are not right
	Wrong       int       // wrong answers to the open part that has most
	AllHints    bool      // of an open part that has hints
}

// Open reports whether anything is left to answer.
func (w Work) Open() bool { return w.Right+w.Lost < w.Parts }

// AtWork reports whether the student has begun and is still at it.
func (w Work) AtWork(now time.Time) bool {
	return !w.Begun.IsZero() && (w.Here || now.Sub(w.Last) <= workingFor)
}

// Stuck says why a student is taken to be stuck, or nothing: the first reason
// that applies, those that weigh more first.
func (w Work) Stuck(now time.Time) string {
	switch {
	case !w.AtWork(now):
		return ""
	case w.Lost > 0:
		return "no tries left"
	case !w.Open():
		return ""
	case w.Wrong >= manyWrong:
		return fmt.Sprintf("%d wrong answers", w.Wrong)
	case w.AllHints:
		return "every hint shown"
	case now.Sub(w.Begun) >= longAt:
		return "at it for " + minutes(now.Sub(w.Begun))
	}
	return ""
}

// Stalls reports whether an exercise stalls when so many of those at work on it
// are stuck.
func Stalls(stuck, atWork int) bool {
	return stuck >= stuckAtWhat && stuck*stuckShare >= atWork
}

// minutes says a time in whole minutes, or in hours where that is enough, so
// that a page does not change with every second.
func minutes(d time.Duration) string {
	switch m := int(d.Minutes()); {
	case m < 1:
		return "just now"
	case m < 120:
		return fmt.Sprintf("%d min", m)
	case m < 48*60:
		return fmt.Sprintf("%d h", m/60)
	default:
		return fmt.Sprintf("%d days", m/60/24)
	}
}
