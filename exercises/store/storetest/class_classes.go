package storetest

import (
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
)

var quillText = class.Frozen{Hash: class.HashText("# The quill"), Name: "the-quill.md", Text: "# The quill"}

func assignment(id string) class.Assignment {
	return class.Assignment{ID: id, Class: "C", Title: "The quill", Lesson: "the-quill", Text: quillText.Hash,
		Exercises: []string{"exercise-1"}, Opens: micro, Due: micro.Add(24 * time.Hour), Closes: micro.Add(48 * time.Hour),
		Zone: "Europe/Oslo", LateOff: 10, Tries: 3, TryOff: 5, Weight: 1.5, Test: true, MadeAt: micro, ChangedAt: micro}
}

// school keeps class C with instructor 0, students 1 to 3 and assignment A.
func school(t *testing.T, s contract.Store) {
	t.Helper()
	boss := person(0)
	boss.Instructor, boss.Password = true, "encoded"
	mustSucceed(t, s.AddPerson(t.Context(), boss))
	c := class.Class{ID: "C", Name: "Shafts", Term: "2026", Zone: "Europe/Oslo", JoinCode: "CODE", MadeAt: micro}
	mustSucceed(t, s.AddClass(t.Context(), c, []string{boss.ID}, nil, class.Entry{}))
	var students []class.Person
	var members []class.Member
	for n := 1; n <= 3; n++ {
		students = append(students, person(n))
		members = append(members, class.Member{Class: "C", Person: person(n).ID, Role: class.Student, Section: "1", Since: micro})
	}
	mustSucceed(t, s.Enrol(t.Context(), students, nil, members, class.Entry{}))
	mustSucceed(t, s.AddAssignment(t.Context(), assignment("A"), quillText, class.Entry{}))
}

var classCases = []ClassCase{
	{"a class comes back, and its code is its own", "a code must lead to one class", func(t *testing.T, s contract.Store) {
		school(t, s)
		c, err := s.ClassByCode(t.Context(), "CODE")
		mustSucceed(t, err)
		d := c
		d.ID = "D"
		wantError(t, "a taken code", s.AddClass(t.Context(), d, nil, nil, class.Entry{}), class.ErrTaken)
		d.JoinCode, d.MadeAt = "", micro.Add(time.Hour)
		mustSucceed(t, s.AddClass(t.Context(), d, []string{person(0).ID}, nil, class.Entry{}))
		e := d
		e.ID = "E"
		mustSucceed(t, s.AddClass(t.Context(), e, nil, nil, class.Entry{})) // mustSucceed code twice
		wantError(t, "a taken ID", s.AddClass(t.Context(), e, nil, nil, class.Entry{}), class.ErrTaken)
		wantError(t, "staff who are not there", s.AddClass(t.Context(), class.Class{ID: "F"}, []string{"nobody"}, nil, class.Entry{}), class.ErrNone)
		d.JoinCode = "CODE"
		wantError(t, "changing to a taken code", s.UpdateClass(t.Context(), d, class.Entry{}), class.ErrTaken)
		wantError(t, "changing none", s.UpdateClass(t.Context(), class.Class{ID: "none"}, class.Entry{}), class.ErrNone)
		_, err = s.ClassByCode(t.Context(), "")
		wantError(t, "by no code", err, class.ErrNone)
		classes, members, err := s.ClassesOf(t.Context(), person(0).ID)
		mustSucceed(t, err)
		if len(classes) != 2 || classes[0].ID != "D" || classes[1].ID != "C" || members[1].Role != class.Staff {
			t.Errorf("ClassesOf = %+v, %+v", classes, members)
		}
	}},
	{"a copied class has its assignments", "next year's copy is one press", func(t *testing.T, s contract.Store) {
		school(t, s)
		b := assignment("B")
		b.Class = "D"
		mustSucceed(t, s.AddClass(t.Context(), class.Class{ID: "D", MadeAt: micro}, []string{person(0).ID}, []class.Assignment{b}, class.Entry{}))
		got, err := s.Assignments(t.Context(), "D")
		mustSucceed(t, err)
		same(t, "assignments", got, []class.Assignment{b})
		f, err := s.Frozen(t.Context(), b.Text)
		mustSucceed(t, err)
		same(t, "text", f, quillText)
	}},
	{"a roster is kept all or not at all", "half a roster would be merged wrongly the next time", func(t *testing.T, s contract.Store) {
		school(t, s)
		member := class.Member{Class: "C", Person: person(4).ID, Role: class.Student, Since: micro}
		taken := person(5)
		taken.SignIn = "STUDENT.01"
		wantError(t, "a taken name", s.Enrol(t.Context(), []class.Person{person(4), taken}, nil, []class.Member{member}, class.Entry{}), class.ErrTaken)
		wantError(t, "one name twice", s.Enrol(t.Context(), []class.Person{person(4), person(4)}, nil, nil, class.Entry{}), class.ErrTaken)
		none := member
		none.Person = "nobody"
		wantError(t, "nobody", s.Enrol(t.Context(), []class.Person{person(4)}, nil, []class.Member{member, none}, class.Entry{}), class.ErrNone)
		out := class.Member{Class: "C", Person: person(0).ID, Role: class.Staff, Left: true, Since: micro}
		wantError(t, "no staff", s.Enrol(t.Context(), []class.Person{person(4)}, nil, []class.Member{member, out}, class.Entry{}), class.ErrOwnOut)
		_, err := s.Person(t.Context(), person(4).ID)
		wantError(t, "kept in part", err, class.ErrNone)

		one, two := person(1), person(2)
		one.SignIn, two.SignIn, one.Name = two.SignIn, one.SignIn, "Å"
		mustSucceed(t, s.Enrol(t.Context(), []class.Person{person(4)}, []class.Person{one, two}, []class.Member{member}, class.Entry{}))
		everybody, members, err := s.Members(t.Context(), "C")
		mustSucceed(t, err)
		var names []string
		for i, p := range everybody {
			names = append(names, p.Name)
			if members[i].Person != p.ID {
				t.Errorf("member %d is not person %d", i, i)
			}
		}
		same(t, "order", names, []string{"Student 00", "Student 02", "Student 03", "Student 04", "Å"})
	}},
	{"who leaves and comes back has their work", "a mistaken removal must cost nothing", func(t *testing.T, s contract.Store) {
		school(t, s)
		a := attempt("s1")
		a.Learner, a.Lesson = person(1).ID, "the-quill~A"
		submit(t, s, a, 0)
		m, err := s.Member(t.Context(), "C", person(1).ID)
		mustSucceed(t, err)
		for _, left := range []bool{true, false} {
			m.Left = left
			mustSucceed(t, s.Enrol(t.Context(), nil, nil, []class.Member{m}, class.Entry{}))
			got, err := s.Member(t.Context(), "C", person(1).ID)
			mustSucceed(t, err)
			same(t, "member", got, m)
		}
		all, err := s.AttemptsIn(t.Context(), "the-quill~A")
		if err != nil || len(all) != 1 {
			t.Errorf("%d attempts, %v", len(all), err)
		}
	}},
	{"an assignment counts its changes", "a page made before a change must notice", func(t *testing.T, s contract.Store) {
		school(t, s)
		a := assignment("A")
		got, err := s.Assignment(t.Context(), "A")
		mustSucceed(t, err)
		same(t, "as kept", got, a)
		b := a
		b.Title, b.Exercises, b.Closes, b.Withdrawn, b.Lesson, b.Revision = "Other", nil, time.Time{}, true, "not taken", 7
		mustSucceed(t, s.UpdateAssignment(t.Context(), b, class.Entry{}))
		got, err = s.Assignment(t.Context(), "A")
		mustSucceed(t, err)
		b.Lesson, b.Revision = a.Lesson, 1
		same(t, "changed", got, b)
		wantError(t, "none", s.UpdateAssignment(t.Context(), assignment("none"), class.Entry{}), class.ErrNone)
		wantError(t, "twice", s.AddAssignment(t.Context(), a, quillText, class.Entry{}), class.ErrTaken)
	}},
	{"an extension is replaced and ended", "the latest word counts", func(t *testing.T, s contract.Store) {
		school(t, s)
		x := class.Extension{Assignment: "A", Person: person(1).ID, Due: micro, Closes: micro, Reason: "ill", By: person(0).ID, At: micro}
		mustSucceed(t, s.SetExtension(t.Context(), x, class.Entry{}))
		x.Due = micro.Add(time.Hour)
		mustSucceed(t, s.SetExtension(t.Context(), x, class.Entry{}))
		got, err := s.Extensions(t.Context(), "A")
		mustSucceed(t, err)
		same(t, "extensions", got, []class.Extension{x})
		x.Due = time.Time{}
		mustSucceed(t, s.SetExtension(t.Context(), x, class.Entry{}))
		got, err = s.Extensions(t.Context(), "A")
		if err != nil || len(got) != 0 {
			t.Errorf("%+v, %v", got, err)
		}
	}},
}
