package assignment

import (
	"cmp"
	"strings"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

// State returns what students of a class without other times can do with
// an assignment now.
func State(a *class.Assignment, now time.Time) string {
	return state(a, now, "past due; late work is accepted until "+page.Zoned(a.Closes, a.Zone))
}

// ShortState is State for a column of a table whose page names the zone home.
func ShortState(a *class.Assignment, home string, now time.Time) string {
	return state(a, now, "past due, late work until "+page.Short(a.Closes, a.Zone, home, now))
}

// IsOpen reports whether a class can work on an assignment: it has opened, is neither
// closed nor withdrawn.
func IsOpen(a *class.Assignment, now time.Time) bool {
	t := a.TermsFor(nil)
	_, closed := t.Late(now)
	return !a.Withdrawn && t.Opened(now) && !closed
}

func state(a *class.Assignment, now time.Time, late string) string {
	t := a.TermsFor(nil)
	days, closed := t.Late(now)
	switch {
	case a.Withdrawn:
		return "withdrawn"
	case !t.Opened(now):
		return "not open yet"
	case closed:
		return "closed"
	case days > 0:
		return late
	}
	return "open"
}

// Titles are what a reader calls the exercises of a lesson, by their cells.
type Titles map[string]string

// TitlesOf returns the titles of the exercises in cells.
func TitlesOf(cells []lessons.Cell, list []*exercises.Exercise) Titles {
	t := Titles{}
	for i, c := range cells {
		t[c.ID] = list[i].Title
	}
	return t
}

// AssignedWords begin the line of the log about a lesson that is assigned under a title.
func AssignedWords(title, lesson string) string {
	if title == lesson {
		return "assigned “" + title + "”: "
	}
	return "assigned “" + title + "”: the lesson “" + lesson + "”, "
}

// TermsWords say the terms of an assignment in a line, for the log.
func TermsWords(a *class.Assignment, t Titles) string {
	words := []string{"opens " + page.Zoned(a.Opens, a.Zone), "due " + page.Zoned(a.Due, a.Zone)}
	if a.Closes.After(a.Due) {
		words = append(words, "closes "+page.Zoned(a.Closes, a.Zone))
	}
	words = append(words, Number(a.LateOff)+" % off for each day late", triesOf(a), Number(a.TryOff)+" % off for each wrong try", "weight "+Number(a.Weight), countingWords(a, t))
	if a.Test {
		words = append(words, testOf(a))
	}
	return strings.Join(words, ", ")
}

func triesOf(a *class.Assignment) string {
	if a.Tries == 0 {
		return "tries as set in each exercise"
	}
	return words.CountOf(a.Tries, "try", "tries") + " for each part"
}

func testOf(a *class.Assignment) string {
	if a.Test {
		return "a test, without practice before it closes"
	}
	return "practice offered"
}

func countingWords(a *class.Assignment, t Titles) string {
	if len(a.Exercises) == 0 {
		return "all exercises"
	}
	names := make([]string, len(a.Exercises))
	for i, id := range a.Exercises {
		names[i] = cmp.Or(t[id], id) // one that a mended text has no more has no title
	}
	return "counting " + strings.Join(names, " and ")
}

// ChangedTerms say what changes of an assignment, old and new, or nothing.
func ChangedTerms(was, a *class.Assignment, t Titles) string {
	var words []string
	for _, f := range []struct{ what, old, to string }{
		{"title", was.Title, a.Title},
		{"opens", page.Zoned(was.Opens, was.Zone), page.Zoned(a.Opens, a.Zone)},
		{"due", page.Zoned(was.Due, was.Zone), page.Zoned(a.Due, a.Zone)},
		{"closes", page.Zoned(was.Closes, was.Zone), page.Zoned(a.Closes, a.Zone)},
		{"time zone", was.Zone, a.Zone},
		{"deduction for each day late (%)", Number(was.LateOff), Number(a.LateOff)},
		{"tries", triesOf(was), triesOf(a)},
		{"deduction for each wrong try (%)", Number(was.TryOff), Number(a.TryOff)},
		{"weight", Number(was.Weight), Number(a.Weight)},
		{"practice", testOf(was), testOf(a)},
		{"counting", countingWords(was, t), countingWords(a, t)},
	} {
		if f.old != f.to {
			if f.what == "title" {
				f.old, f.to = "“"+f.old+"”", "“"+f.to+"”"
			}
			words = append(words, f.what+" from "+f.old+" to "+f.to)
		}
	}
	return strings.Join(words, ", ")
}
