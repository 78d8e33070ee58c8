package demo

import (
	"context"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/exercises/marking"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/app/room"
)

// TestAllPagesAgree compares what the overview, the live view, the question
// analysis, the marks and both CSV files say about the same class. The exported
// answers are counted here anew, without the rules of package class.
func TestAllPagesAgree(t *testing.T) {
	s, db, now := filled(t, 1)
	ctx := t.Context()
	given := func(ctx context.Context, a class.Assignment) (*lessons.Lesson, error) {
		return assignment.Lesson(ctx, db, &a)
	}
	book := gradebook.New(db, s.service, given)
	_, members, err := db.Members(ctx, s.Class.ID)
	if err != nil {
		t.Fatal(err)
	}
	active := map[string]bool{}
	for _, m := range members {
		if m.Role == class.Student && !m.Left {
			active[m.Person] = true
		}
	}
	for _, a := range []class.Assignment{s.Closed, s.Due, s.Open} {
		t.Run(a.Title, func(t *testing.T) {
			lesson, err := given(ctx, a)
			if err != nil {
				t.Fatal(err)
			}
			table, err := book.Table(ctx, s.Class.ID, []class.Assignment{a}, *now)
			if err != nil {
				t.Fatal(err)
			}
			answers := readAnswers(t, table.AttemptRows())
			begun, finished, err := book.Progress(ctx, a, active)
			if err != nil {
				t.Fatal(err)
			}
			items, err := book.Items(ctx, a)
			if err != nil {
				t.Fatal(err)
			}
			if begun != items.Began || len(active) != items.Students {
				t.Errorf("overview: %d begun of %d; question analysis: %d of %d", begun, len(active), items.Began, items.Students)
			}
			if n := answers.people(active, func(x answer) bool { return !x.free }); n != items.Tried {
				t.Errorf("question analysis: %d used a try; answers: %d", items.Tried, n)
			}
			if n := answers.people(active, func(answer) bool { return true }); n > begun {
				t.Errorf("overview: %d begun; %d have answers", begun, n)
			}
			for _, it := range items.Items {
				n := answers.people(active, func(x answer) bool { return x.exercise == it.Exercise && x.part == it.Part && !x.free })
				if n != it.Answered {
					t.Errorf("%s %s: question analysis: %d tried; answers: %d", it.Exercise, it.Part, it.Answered, n)
				}
			}

			view := &room.View{Assignment: a, Lesson: lesson, Path: func(e string) string { return e }}
			live := liveRows(t, room.New(db, s.service), view, *now)
			finishedAll := map[string]int{} // exercises finished, by student
			for i, e := range items.Exercises {
				done := 0
				for person := range active {
					if answers.finished(person, &a, e.Cell.ID, e.Set) {
						done++
						finishedAll[person]++
					}
				}
				if live[i].finished != done {
					t.Errorf("%s: live view: %d finished; answers: %d", e.Title, live[i].finished, done)
				}
				if n := answers.people(active, func(x answer) bool { return x.exercise == e.Cell.ID }); live[i].begun < n || live[i].begun > begun {
					t.Errorf("%s: live view: %d begun; overview: %d; answers: %d", e.Title, live[i].begun, begun, n)
				}
				if live[i].working > live[i].begun-live[i].finished {
					t.Errorf("%s: %d are working now, of %d who have begun and %d who have finished", e.Title, live[i].working, live[i].begun, live[i].finished)
				}
				if live[i].stuck > live[i].begun {
					t.Errorf("%s: %d are stuck, of %d who have begun", e.Title, live[i].stuck, live[i].begun)
				}
			}
			all := 0
			for _, n := range finishedAll {
				if n == len(items.Exercises) {
					all++
				}
			}
			if all != finished {
				t.Errorf("overview: %d finished; answers: %d", finished, all)
			}

			compareMarks(t, table, answers)
		})
	}
}

// compareMarks compares the sheet with the exported marks and the exported
// answers.
func compareMarks(t *testing.T, table *gradebook.Table, answers answerList) {
	t.Helper()
	rows := table.MarkRows()
	for i, row := range table.Rows {
		st, line := row.Standings[0], rows[i+1]
		points := ""
		if st.Sum.Counts {
			points = class.Shown(st.Sum.Points)
		}
		if line[0] != row.Person.ID || line[6] != points {
			t.Errorf("%s has %s points, exported %s for %s", row.Person.Name, points, line[6], line[0])
		}
		late := false
		for _, m := range st.Marks {
			late = late || m.Late()
		}
		exported := answers.people(map[string]bool{row.Person.ID: true}, func(x answer) bool { return x.counted && x.lateDays > 0 || x.afterClosing }) > 0
		if late != exported {
			t.Errorf("%s: late on the marks page: %v; in the answers: %v", row.Person.Name, late, exported)
		}
		if st.Extension != nil && !st.Terms.Due.Equal(st.Extension.Due) {
			t.Errorf("%s has an extension to %v and is due at %v", row.Person.Name, st.Extension.Due, st.Terms.Due)
		}
	}
}

// An answer is a row of the exported answers, with graded numbers.
type answer struct {
	person, exercise, part, verdict string
	free, counted, afterClosing     bool
	lateDays                        int
}

type answerList []answer

func readAnswers(t *testing.T, rows [][]string) answerList {
	t.Helper()
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var list answerList
	for _, row := range rows[1:] {
		cell := func(name string) string { return row[column[name]] }
		days, err := strconv.Atoi(cell("late days"))
		if err != nil {
			t.Fatal(err)
		}
		if cell("series") != "0" {
			continue
		}
		list = append(list, answer{
			person: cell("account id"), exercise: cell("exercise"), part: cell("part"), verdict: cell("verdict"),
			free: cell("free") == "yes", counted: cell("counted") == "yes", afterClosing: cell("after closing") == "yes", lateDays: days,
		})
	}
	return list
}

// people counts the people with an answer for which a test holds.
func (l answerList) people(among map[string]bool, holds func(answer) bool) int {
	found := map[string]bool{}
	for _, x := range l {
		if among[x.person] && holds(x) {
			found[x.person] = true
		}
	}
	return len(found)
}

// finished reports whether each part of an exercise is right or has used its
// tries. The exercises of the class have one structure, or the same parts in all.
func (l answerList) finished(person string, a *class.Assignment, id string, e *exercises.Exercise) bool {
	tries := e.Attempts
	if a.Tries > 0 {
		tries = a.Tries
	}
	for _, part := range e.Structures[0].Parts {
		used, right := 0, false
		for _, x := range l {
			if x.person != person || x.exercise != id || x.part != part.Name {
				continue
			}
			right = right || x.verdict == string(marking.Right)
			if !x.free {
				used++
			}
		}
		if !right && used < tries {
			return false
		}
	}
	return true
}

// A liveRow is what the live view shows of one exercise.
type liveRow struct{ begun, finished, working, stuck int }

var numberCell = regexp.MustCompile(`<td(?: data-label="[^"]*")? class="n">(\d+)</td>`)

func liveRows(t *testing.T, r *room.Room, v *room.View, now time.Time) []liveRow {
	t.Helper()
	pieces, err := r.Pieces(t.Context(), v, now)
	if err != nil {
		t.Fatal(err)
	}
	var rows []liveRow
	for _, p := range pieces {
		for _, tr := range strings.Split(string(p.HTML), "<tr") {
			cells := numberCell.FindAllStringSubmatch(tr, -1)
			if len(cells) != 4 {
				continue
			}
			var n [4]int
			for i := range n {
				n[i], _ = strconv.Atoi(cells[i][1])
			}
			rows = append(rows, liveRow{n[0], n[1], n[2], n[3]})
		}
	}
	return rows
}
