package room

import (
	"fmt"
	"time"

	"shaftbook/exercises/class"
)

const (
	stuckAtWhat = 3 // so many at least make an exercise stall
	stuckShare  = 5 // and one of so many of those who are at it
)

// StallRule is the rule of stuck and stalls on the page.
const StallRule = "Begun: has sent an answer, made a prediction or opened a hint. Finished: nothing is left to answer. " +
	"Working now: has begun, has not finished, and has the page open. " +
	"Stuck: no tries are left at a part that is not right; or a part that is still open has two wrong answers, or all its hints have been shown; " +
	"or the student began ten minutes ago or longer and has not finished. Only students who have the page open or were active in the last 15 minutes count as stuck. " +
	"An exercise is marked “many stuck” when three or more are stuck and they are at least a fifth of those who have begun and not finished, or are stuck."

// Stalls reports whether an exercise stalls when so many are stuck of those who
// have begun and not finished, or are stuck.
func Stalls(stuck, atIt int) bool {
	return stuck >= stuckAtWhat && stuck*stuckShare >= atIt
}

// stuckWords say on the page why a student is stuck.
func stuckWords(why class.StuckReason, p class.Progress, now time.Time) string {
	switch why {
	case class.NoTriesLeft:
		return "no tries left"
	case class.WrongTwice:
		return fmt.Sprintf("%d wrong answers", p.Wrong)
	case class.HintsGone:
		return "all hints used"
	}
	return "working for " + minutes(now.Sub(p.Begun))
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
