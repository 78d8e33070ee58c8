package class

import (
	"testing"
	"time"

	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
)

func TestStuck(t *testing.T) {
	now := time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
	ago := func(m int) time.Time { return now.Add(-time.Duration(m) * time.Minute) }
	for _, c := range []struct {
		name     string
		progress Progress
		working  bool
		want     StuckReason
	}{
		{"nothing begun", Progress{Parts: 1, Here: true}, false, ""},
		{"just begun", Progress{Begun: ago(1), Last: ago(1), Here: true, Parts: 1}, true, ""},
		{"one wrong answer", Progress{Begun: ago(9), Last: ago(2), Parts: 1, Wrong: 1}, false, ""},
		{"two wrong answers", Progress{Begun: ago(3), Last: ago(1), Here: true, Parts: 2, Right: 1, Wrong: 2}, true, WrongTwice},
		{"every hint", Progress{Begun: ago(3), Last: ago(1), Parts: 1, AllHints: true}, false, HintsGone},
		{"at the very end of ten minutes", Progress{Begun: ago(10), Last: ago(10), Parts: 1}, false, TooLong},
		{"a second before it", Progress{Begun: ago(10).Add(time.Second), Last: ago(5), Parts: 1}, false, ""},
		{"no tries left", Progress{Begun: ago(5), Last: ago(1), Here: true, Parts: 1, Lost: 1}, false, NoTriesLeft},
		{"finished", Progress{Begun: ago(60), Last: ago(1), Here: true, Parts: 2, Right: 2}, false, ""},
		{"gone home", Progress{Begun: ago(60), Last: ago(16), Parts: 1, Wrong: 2}, false, ""},
		{"long silent but here", Progress{Begun: ago(60), Last: ago(40), Here: true, Parts: 1}, true, TooLong},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.progress.Stuck(now); got != c.want {
				t.Errorf("stuck: %q, want %q", got, c.want)
			}
			if got := c.progress.WorkingNow(); got != c.working {
				t.Errorf("working now: %v, want %v", got, c.working)
			}
		})
	}
}

func TestProgressOf(t *testing.T) {
	at := time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
	task := Task{Exercise: "end", Parts: []TaskPart{{"twist", 2}, {"stress", 0}}, Tries: 2}
	place := func(exercise, part string, series int) store.Place {
		return store.Place{Learner: "S1", Lesson: "l", Exercise: exercise, Part: part, Series: series}
	}
	answer := func(p store.Place, kind marking.VerdictKind) store.Attempt {
		return store.Attempt{Place: p, Verdict: string(kind), Free: !kind.IsTry(), At: at}
	}
	for _, c := range []struct {
		name     string
		deeds    *Deeds
		begun    bool
		finished bool
		want     Progress
	}{
		{"nothing", nil, false, false, Progress{}},
		{"another exercise, and practice", &Deeds{Attempts: []store.Attempt{answer(place("other", "twist", 0), marking.Right), answer(place("end", "twist", 1), marking.Right)}}, false, false, Progress{}},
		{"an answer that could not be read", &Deeds{Attempts: []store.Attempt{answer(place("end", "twist", 0), marking.Unreadable)}}, true, false, Progress{}},
		{"a prediction alone", &Deeds{Predictions: []store.Prediction{{Place: place("end", "guess-1", 0), At: at}}}, true, false, Progress{}},
		{"every hint", &Deeds{Hints: []store.Hint{{Place: place("end", "twist", 0), Level: 2, At: at}}}, true, false, Progress{AllHints: true}},
		{"one part right", &Deeds{Attempts: []store.Attempt{answer(place("end", "twist", 0), marking.Right)}}, true, false, Progress{Right: 1, Answered: 1}},
		{"one part right, one lost", &Deeds{Attempts: []store.Attempt{
			answer(place("end", "twist", 0), marking.Right), answer(place("end", "stress", 0), marking.Off), answer(place("end", "stress", 0), marking.Off),
		}}, true, true, Progress{Right: 1, Lost: 1, Answered: 2}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.want.Parts = 2
			if c.begun {
				c.want.Begun, c.want.Last = at, at
			}
			got := ProgressOf(task, c.deeds)
			if got != c.want {
				t.Errorf("%+v, want %+v", got, c.want)
			}
			begun, finished := InAssignment([]Progress{got})
			if begun != c.begun || finished != c.finished {
				t.Errorf("begun %v, finished %v", begun, finished)
			}
		})
	}
}
