package enrolment

import (
	"context"
	"errors"
	"slices"
	"testing"
	"time"

	"shaftbook/exercises/class"
)

// A fakeStore keeps people and members in memory. What a test does not need is
// that of the nil Store.
type fakeStore struct {
	Store
	people  []class.Person
	members []class.Member
	home    map[string]string
	log     []class.Entry
}

func (s *fakeStore) Person(_ context.Context, id string) (class.Person, error) {
	for _, p := range s.people {
		if p.ID == id {
			return p, nil
		}
	}
	return class.Person{}, class.ErrNone
}

func (s *fakeStore) Home(_ context.Context, student string) (string, error) {
	return s.home[student], nil
}

func (s *fakeStore) Member(_ context.Context, in, person string) (class.Member, error) {
	for _, m := range s.members {
		if m.Class == in && m.Person == person {
			return m, nil
		}
	}
	return class.Member{}, class.ErrNone
}

func (s *fakeStore) Members(ctx context.Context, in string) (people []class.Person, members []class.Member, err error) {
	for _, m := range s.members {
		if m.Class == in {
			p, _ := s.Person(ctx, m.Person)
			people, members = append(people, p), append(members, m)
		}
	}
	return people, members, nil
}

func (s *fakeStore) ClassesOf(_ context.Context, person string) (classes []class.Class, members []class.Member, err error) {
	for _, m := range s.members {
		if m.Person == person {
			classes, members = append(classes, class.Class{ID: m.Class, Name: m.Class}), append(members, m)
		}
	}
	return classes, members, nil
}

func (s *fakeStore) ClassByCode(_ context.Context, code string) (class.Class, error) {
	if code != "ABCD-EFGH" {
		return class.Class{}, class.ErrNone
	}
	return class.Class{ID: "MILL"}, nil
}

func (s *fakeStore) Enrol(_ context.Context, _, _ []class.Person, members []class.Member, e class.Entry) error {
	for _, m := range members {
		i := slices.IndexFunc(s.members, func(o class.Member) bool { return o.Class == m.Class && o.Person == m.Person })
		s.members[i] = m
	}
	s.log = append(s.log, e)
	return nil
}

// newFake has the classes MILL and WEIR of I1, and QUAY of I2.
func newFake() *fakeStore {
	staff := func(in, who string) class.Member {
		return class.Member{Class: in, Person: who, Role: class.Staff}
	}
	student := func(in, who string, left bool) class.Member {
		return class.Member{Class: in, Person: who, Role: class.Student, Left: left}
	}
	return &fakeStore{
		people: []class.Person{
			{ID: "I1", Name: "Instructor 1", Instructor: true}, {ID: "I2", Name: "Instructor 2", Instructor: true},
			{ID: "S1", Name: "Student 01", SignIn: "s01", Email: "home@mill.example", SourcedID: "u01", Password: "x"},
			{ID: "S2", Name: "Student 02", SignIn: "s02", Email: "home@mill.example", SourcedID: "u02"},
			{ID: "S3", Name: "Student 03", SignIn: "s03", Email: "home@mill.example"},
			{ID: "S4", Name: "Student 04", SignIn: "s04"},
			{ID: "S5", Name: "Student 05", SignIn: "s05"},
		},
		members: []class.Member{
			staff("MILL", "I1"), staff("WEIR", "I1"), staff("QUAY", "I2"),
			student("MILL", "S1", false), student("WEIR", "S1", false),
			student("MILL", "S2", false), student("QUAY", "S2", false),
			student("MILL", "S3", false), student("MILL", "S4", true), student("MILL", "I2", false),
			student("MILL", "S5", true), student("QUAY", "S5", true),
		},
		home: map[string]string{"S1": "WEIR", "S2": "QUAY", "S3": "MILL"},
	}
}

func millOf(s *fakeStore) *Class {
	return &Class{Store: s, ID: "MILL", By: "I1", Now: time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)}
}

// Who looks after an account, and who may delete it, is not a matter of who wrote
// the student on a further roster.
func TestWhoseAccountItIs(t *testing.T) {
	for _, c := range []struct {
		name, person        string
		student, accessible error
		erasable            error
		others              []string
	}{
		{"of another class of the same instructor", "S1", nil, nil, nil, []string{"WEIR"}},
		{"looked after elsewhere", "S2", nil, class.ErrElsewhere, ErrNotAllowed, nil},
		{"of this class alone", "S3", nil, nil, nil, nil},
		{"has left everything, which was this class", "S4", nil, nil, nil, nil},
		{"has left everything, also a class of a stranger", "S5", nil, class.ErrElsewhere, ErrNotAllowed, nil},
		{"an instructor elsewhere", "I2", class.ErrStaff, class.ErrStaff, class.ErrStaff, nil},
		{"nobody of the class", "S9", class.ErrNone, class.ErrNone, class.ErrNone, nil},
		{"staff of the class", "I1", class.ErrNone, class.ErrNone, class.ErrNone, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			mill := millOf(newFake())
			p, _, err := mill.Student(t.Context(), c.person)
			if !errors.Is(err, c.student) {
				t.Fatalf("student: %v, want %v", err, c.student)
			}
			if _, _, got := mill.Accessible(t.Context(), c.person); !errors.Is(got, c.accessible) {
				t.Errorf("accessible: %v, want %v", got, c.accessible)
			}
			if _, _, got := mill.Erasable(t.Context(), c.person); !errors.Is(got, c.erasable) {
				t.Errorf("erasable: %v, want %v", got, c.erasable)
			}
			if err != nil {
				return
			}
			if names, _, err := mill.OtherClasses(t.Context(), p); err != nil || !slices.Equal(names, c.others) {
				t.Errorf("other classes %v, %v, want %v", names, err, c.others)
			}
		})
	}
}

func TestSetLeft(t *testing.T) {
	s := newFake()
	mill := millOf(s)
	for _, step := range []struct {
		name          string
		left, changes bool
	}{{"removed", true, true}, {"removed once more", true, false}, {"brought back", false, true}} {
		p, m, err := mill.Member(t.Context(), "S3", class.Student)
		if err != nil {
			t.Fatal(err)
		}
		before := len(s.log)
		changed, err := mill.SetLeft(t.Context(), p, m, step.left)
		if err != nil || changed != step.changes || (len(s.log) > before) != step.changes {
			t.Errorf("%s: changed %v, %v, %d lines in the log", step.name, changed, err, len(s.log))
		}
		if _, m, _ = mill.Member(t.Context(), "S3", class.Student); m.Left != step.left {
			t.Errorf("%s: %+v", step.name, m)
		}
		if _, _, err := mill.Present(t.Context(), "S3"); errors.Is(err, ErrLeft) != step.left {
			t.Errorf("%s: present: %v", step.name, err)
		}
	}
}

func TestJoining(t *testing.T) {
	const code = "ABCD-EFGH"
	for _, c := range []struct{ name, code, who, want string }{
		{"by the sign-in name, capitals or not", code, "S02", "S2"},
		{"by the school ID", code, "u02", "S2"},
		{"an address that two who wait have", code, "home@mill.example", ""},
		{"who has a password", code, "s01", ""},
		{"who has left", code, "s04", ""},
		{"an instructor", code, "Instructor 1", ""},
		{"no code", "", "s02", ""},
		{"another code", "ABCD-EFGI", "s02", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, in, err := Joining(t.Context(), newFake(), c.code, c.who)
			if c.want == "" {
				if err != class.ErrNone {
					t.Errorf("%s, %v, want nobody", p.ID, err)
				}
				return
			}
			if err != nil || p.ID != c.want || in != "MILL" {
				t.Errorf("%s in %s, %v", p.ID, in, err)
			}
		})
	}
}

func TestReadJoinCode(t *testing.T) {
	for _, c := range []struct{ typed, want string }{
		{"ABCD-EFGH", "ABCD-EFGH"}, {" abcd efgh ", "ABCD-EFGH"}, {"AB0D-EF1H", "ABOD-EFIH"}, {"ABCD-EFGHx", "ABCDEFGHX"}, {"", ""},
	} {
		if got := ReadJoinCode(c.typed); got != c.want {
			t.Errorf("%q: %q, want %q", c.typed, got, c.want)
		}
	}
	if code := NewJoinCode(); ReadJoinCode(code) != code {
		t.Errorf("%q is not read as it is", code)
	}
}
