package gradebook

import (
	"math"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
	"shaftbook/web/app/attempt"
)

// waysFull is what the exercise that is set in two ways gives a student.
func (s *school) waysFull(a class.Assignment, person string) float64 {
	s.t.Helper()
	w, err := s.Work(s.t.Context(), a)
	s.no(err)
	way, err := s.service.Structure(s.t.Context(), attempt.Place{Learner: person, Lesson: w.lesson, Cell: w.Exercises[1].Cell})
	s.no(err)
	if way.Name == "hollow" {
		return 3
	}
	return 2
}

// The expected numbers are worked out by hand in the comments, from the rules as
// INSTRUCTORS.md says them.
func TestSheet(t *testing.T) {
	s := newSchool(t, 5)
	first := s.assign("A1", func(a *class.Assignment) { a.Exercises = []string{"exercise-twist"} })
	second := s.assign("A2", func(a *class.Assignment) { a.Weight = 3; a.Exercises = []string{"exercise-twist", "exercise-ways"} })
	later := s.assign("A3", func(a *class.Assignment) { a.Due, a.Closes = due.AddDate(0, 0, 30), due.AddDate(0, 0, 30) })
	gone := s.assign("A4", func(a *class.Assignment) { a.Withdrawn = true })
	early := due.Add(-time.Hour)
	// Student 01: 2·(1 − 0.1) + 1 = 2.8 of 3; then 0 of 3 and what ways gives.
	s.answer(first, "S01", "exercise-twist", "twist", "slip", 0, early)
	s.answer(first, "S01", "exercise-twist", "twist", "right", 2, early)
	s.answer(first, "S01", "exercise-twist", "section", "right", 1, early)
	// Student 02: a day and an hour late is two begun days, 2·(1 − 0.4) = 1.2 of
	// 3; by hand 3 of 3 for twist and nothing for ways.
	s.answer(first, "S02", "exercise-twist", "twist", "right", 2, due.Add(25*time.Hour))
	s.no(s.store.Override(t.Context(), class.Override{Assignment: "A2", Person: "S02", Exercise: "exercise-twist", Points: 3, Reason: "on paper", By: "I1", At: due}, class.Entry{}))
	// Student 03 has until two days later: 2 of 3, not late.
	s.no(s.store.SetExtension(t.Context(), class.Extension{Assignment: "A1", Person: "S03", Due: due.AddDate(0, 0, 2), Closes: due.AddDate(0, 0, 6), By: "I1", At: due}, class.Entry{}))
	s.answer(first, "S03", "exercise-twist", "twist", "right", 2, due.Add(25*time.Hour))
	// Work that is not due, or withdrawn, counts for no one.
	s.answer(later, "S01", "exercise-twist", "twist", "right", 2, early)
	s.answer(gone, "S01", "exercise-twist", "twist", "right", 2, early)
	// Student 04 has left.
	s.no(s.store.Enrol(t.Context(), nil, nil, []class.Member{{Class: "MILL", Person: "S04", Role: class.Student, Left: true, Since: due}}, class.Entry{}))

	now := due.AddDate(0, 0, 5)
	assigned := []class.Assignment{first, second, later, gone}
	sheet, err := s.Table(t.Context(), "MILL", assigned, now)
	s.no(err)
	if len(sheet.Rows) != 5 || !sheet.Rows[3].Member.Left {
		t.Fatalf("rows: %+v", sheet.Rows)
	}
	for _, c := range []struct {
		name, person string
		points, full float64 // in the first assignment
		total        float64 // (first share + 3·second share)/4, in percent
		late, own    bool
	}{
		{"a wrong try", "S01", 2.8, 3, 100 * (2.8 / 3) / 4, false, false},
		{"late, and a mark by hand", "S02", 1.2, 3, 100 * (1.2/3 + 3*3/(3+s.waysFull(second, "S02"))) / 4, true, false},
		{"an extension", "S03", 2, 3, 100 * (2. / 3) / 4, false, true},
		{"left", "S04", 0, 3, 0, false, false},
		{"nothing", "S05", 0, 3, 0, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			row := sheet.row(c.person)
			got := row.Standings[0]
			if !near(got.Sum.Points, c.points) || got.Sum.Full != c.full || got.Marks[0].Late() != c.late || (got.Extension != nil) != c.own {
				t.Errorf("first: %+v, late %v, own %v", got.Sum, got.Marks[0].Late(), got.Extension)
			}
			if !near(row.Total, c.total) || !row.Counts {
				t.Errorf("total %v (%v), want %v", row.Total, row.Counts, c.total)
			}
			for i, counts := range []bool{true, true, false, false} {
				if row.Standings[i].Sum.Counts != counts {
					t.Errorf("assignment %d counts: %v", i+1, !counts)
				}
			}
			// What one student sees is what the sheet says.
			for i, a := range assigned {
				_, own, err := s.Student(t.Context(), c.person, a, now)
				s.no(err)
				if a.ID == "A2" && own.Ask(1, "section").Points != s.waysFull(a, c.person) {
					t.Error("the part is not that of the way in which the exercise was set")
				}
				if own.Sum != row.Standings[i].Sum || own.Answered() != row.Standings[i].Answered() {
					t.Errorf("%s alone: %+v, in the sheet %+v", a.ID, own.Sum, row.Standings[i].Sum)
				}
			}
		})
	}
	if w := sheet.Works[3]; len(w.Exercises) != 3 || w.Exercises[2].Fault == "" || w.Exercises[2].Set != nil {
		t.Errorf("an exercise that cannot be set: %+v", w.Exercises)
	}
	if m := sheet.Rows[0].Standings[3].Marks[2]; m.Full != 0 {
		t.Errorf("an exercise that cannot be set gives %v points", m.Full)
	}
}

func (s *Table) row(person string) *Row {
	for i := range s.Rows {
		if s.Rows[i].Person.ID == person {
			return &s.Rows[i]
		}
	}
	return nil
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// Ten students, one of whom has left, worked out by hand: nine answer the first
// part, six at once right, two after a slip and one never. All three who were
// wrong at first did not answer the second part, which the others have right.
func TestItems(t *testing.T) {
	s := newSchool(t, 11)
	a := s.assign("A1", func(a *class.Assignment) { a.Exercises = []string{"exercise-twist"} })
	early := due.Add(-time.Hour)
	for i, person := range []string{"S01", "S02", "S03", "S04", "S05", "S06", "S07", "S08", "S09", "S10", "S11"} {
		switch {
		case i < 6, i == 9: // the tenth has left
			s.answer(a, person, "exercise-twist", "twist", "right", 2, early)
			s.answer(a, person, "exercise-twist", "section", "right", 1, early)
		case i < 8:
			s.answer(a, person, "exercise-twist", "twist", "slip", 0, early)
			s.answer(a, person, "exercise-twist", "twist", "right", 2, early)
		case i == 8:
			s.answer(a, person, "exercise-twist", "twist", "off", 0, early)
		}
	}
	s.no(s.store.Reveal(t.Context(), store.Hint{Place: store.Place{Learner: "S09", Lesson: a.Key(), Exercise: "exercise-twist", Part: "twist"}, Level: 1, At: early}))
	s.no(s.store.Enrol(t.Context(), nil, nil, []class.Member{{Class: "MILL", Person: "S10", Role: class.Student, Left: true, Since: due}}, class.Entry{}))
	got, err := s.Items(t.Context(), a)
	s.no(err)
	if got.Students != 10 || got.Began != 9 || len(got.Items) != 2 {
		t.Fatalf("%d students, %d began, %d items", got.Students, got.Began, len(got.Items))
	}
	it := got.Items[0]
	// The mean of the shares is 8/9. Wilson's interval of 6 of 9 at 95 %, by hand
	// with z² = 3.8415: (0.6667 + 0.2134)/1.4268 ± 1.96/1.4268·√(0.02469 + 0.01186)
	// is 0.6168 ± 0.2626.
	if it.Answered != 9 || it.FirstRight != 6 || !near(it.Share, 8./9) || it.Tries != 1 || it.Hinted != 1 ||
		math.Abs(it.Low-0.3542) > 5e-4 || math.Abs(it.High-0.8794) > 5e-4 {
		t.Errorf("%+v", it)
	}
	if it.Discriminates {
		t.Error("a discrimination of nine students is said")
	}
	if e := got.Exercises[0]; len(e.Asks(it.Part)) != 1 || e.Asks(it.Part)[0].Points != 2 || e.Asks("none") != nil {
		t.Error("the part of an item is not found")
	}
}
