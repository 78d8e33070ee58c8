package practice

import (
	"testing"
	"time"

	"shaftbook/exercises/store"
)

var monday = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)

// TestBoxes follows one exercise through the boxes by the rule of Leitner (So lernt man
// lernen, 1972): on by one where it is right, to the first where it is wrong.
func TestBoxes(t *testing.T) {
	var p store.Practice
	set := int64(0)
	for i, step := range []struct {
		after     int // days since the step before
		right     bool
		box, days int
	}{
		{0, true, 2, 2}, {2, true, 3, 5}, {5, true, 4, 12}, {12, true, 5, 30}, {30, true, 5, 30},
		{31, false, 1, 0}, {0, true, 2, 2}, {2, false, 1, 0}, {0, false, 1, 0}, {9, true, 2, 2},
	} {
		if i == 0 {
			p.At = monday
		}
		now := p.At.AddDate(0, 0, step.after)
		set++
		p = After(p, set, step.right, now)
		if p.Box != step.box || !p.Due.Equal(now.AddDate(0, 0, step.days)) {
			t.Fatalf("step %d: box %d, due %v, want box %d in %d days from %v", i, p.Box, p.Due, step.box, step.days, now)
		}
	}
	again := After(p, set, false, p.At.AddDate(0, 0, 1))
	if again != p {
		t.Error("a second answer with the same numbers changes the box")
	}
	early := After(p, set+1, true, p.At.AddDate(0, 0, 1))
	if early.Box != p.Box || !early.Due.Equal(p.Due) {
		t.Errorf("right before it is due: box %d, due %v", early.Box, early.Due)
	}
	if wrong := After(p, set+1, false, p.At.AddDate(0, 0, 1)); wrong.Box != 1 {
		t.Errorf("wrong before it is due: box %d", wrong.Box)
	}
}

func TestOrder(t *testing.T) {
	at := func(lesson, exercise string, box, days int, wrong bool) Candidate {
		c := Candidate{Lesson: lesson, Exercise: exercise, WentWrong: wrong}
		if box > 0 {
			c.State = store.Practice{Box: box, Due: monday.AddDate(0, 0, days)}
		}
		return c
	}
	all := []Candidate{
		at("a", "later", 3, 4, false), at("a", "new", 0, 0, false), at("b", "went-wrong", 0, 0, true),
		at("a", "due", 2, -1, false), at("a", "wrong-again", 1, 0, false), at("b", "due-since", 4, -3, false), at("b", "soon", 2, 1, false),
	}
	for _, c := range []struct {
		name string
		done []Done
		want string
	}{
		{"at first", nil, "due-since due wrong-again went-wrong new soon later"},
		{"another lesson before the same", []Done{{"b", "due-since"}}, "due wrong-again went-wrong new soon later due-since"},
		{"of the other lesson", []Done{{"a", "wrong-again"}}, "due-since due went-wrong new soon later wrong-again"},
		{"nothing twice while others are left", []Done{{"b", "due-since"}, {"a", "due"}, {"a", "wrong-again"}}, "went-wrong new soon later due-since due wrong-again"},
		{"all done", []Done{{"b", "due-since"}, {"a", "due"}, {"b", "went-wrong"}, {"a", "new"}, {"b", "soon"}, {"a", "later"}, {"a", "wrong-again"}}, "went-wrong new due-since due wrong-again soon later"},
	} {
		list := append([]Candidate{}, all...)
		Order(list, c.done, monday)
		got := ""
		for _, e := range list {
			got += " " + e.Exercise
		}
		if got[1:] != c.want {
			t.Errorf("%s:%s, want %s", c.name, got, c.want)
		}
	}
	one := []Candidate{at("a", "wrong", 1, 0, false), at("a", "new", 0, 0, false)}
	Order(one, []Done{{"a", "wrong"}}, monday)
	if one[0].Exercise != "new" {
		t.Error("what just went wrong comes again before anything else")
	}
	Order(one, []Done{{"a", "new"}}, monday)
	if one[0].Exercise != "wrong" {
		t.Error("what went wrong does not come before what is new")
	}
}
