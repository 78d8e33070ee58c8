package storetest

import (
	"errors"
	"fmt"
	"reflect"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
)

// A ClassCase is a promise of contract.School.
type ClassCase = promise[contract.Store]

// RunClass tests every promise on a new, empty store each.
func RunClass(t *testing.T, open func(t *testing.T) contract.Store) {
	run(t, open, peopleCases, linkCases, classCases, markCases, shownCases, roomCases, verifyCases, levels, writingCases)
}

// micro is noon as a store gives it back.
var micro = noon.UTC().Truncate(time.Microsecond)

func person(n int) class.Person {
	id := fmt.Sprintf("PERSON%020d", n)
	return class.Person{ID: id, Name: fmt.Sprintf("Student %02d", n), SignIn: fmt.Sprintf("Student.%02d", n),
		Email: fmt.Sprintf("s%02d@mill.invalid", n), SourcedID: fmt.Sprint("src-", n), Feed: fmt.Sprint("feed-", n), MadeAt: micro}
}

func mustSucceed(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func wantError(t *testing.T, what string, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("%s: %v, want %v", what, err, want)
	}
}

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s:\n got %+v\nwant %+v", what, got, want)
	}
}

// atOnce runs do n times together and returns how often it succeeded; any other
// outcome must be lost.
func atOnce(t *testing.T, n int, lost error, do func(i int) error) int {
	t.Helper()
	var won atomic.Int64
	var all sync.WaitGroup
	for i := range n {
		all.Go(func() {
			switch err := do(i); {
			case err == nil:
				won.Add(1)
			case !errors.Is(err, lost):
				t.Error(err)
			}
		})
	}
	all.Wait()
	return int(won.Load())
}

var peopleCases = []ClassCase{
	{"a person comes back as kept", "names have letters beyond ASCII", func(t *testing.T, s contract.Store) {
		p := person(1)
		p.Name, p.Password = "Øyvind Åsen", "encoded"
		mustSucceed(t, s.AddPerson(t.Context(), p))
		for what, find := range map[string]func() (class.Person, error){
			"ID":        func() (class.Person, error) { return s.Person(t.Context(), p.ID) },
			"sign-in":   func() (class.Person, error) { return s.PersonBySignIn(t.Context(), " sTUDENT.01 ") },
			"SourcedID": func() (class.Person, error) { return s.PersonBySourcedID(t.Context(), p.SourcedID) },
			"feed":      func() (class.Person, error) { return s.PersonByFeed(t.Context(), p.Feed) },
		} {
			got, err := find()
			mustSucceed(t, err)
			same(t, what, got, p)
		}
		p.Name, p.SignIn, p.Feed, p.Instructor = "Other", "other", "feed-x", true
		changed := p
		changed.Password = "not taken"
		mustSucceed(t, s.UpdatePerson(t.Context(), changed))
		got, err := s.Person(t.Context(), p.ID)
		mustSucceed(t, err)
		same(t, "changed", got, p)
	}},
	{"nobody is found by nothing", "an empty feed must not open somebody's calendar", func(t *testing.T, s contract.Store) {
		p := person(1)
		p.SignIn, p.SourcedID, p.Feed = "", "", ""
		mustSucceed(t, s.AddPerson(t.Context(), p))
		_, err := s.PersonByFeed(t.Context(), "")
		wantError(t, "feed", err, class.ErrNone)
		_, err = s.PersonBySourcedID(t.Context(), "")
		wantError(t, "SourcedID", err, class.ErrNone)
		_, err = s.PersonBySignIn(t.Context(), " ")
		wantError(t, "sign-in", err, class.ErrNone)
		_, err = s.Person(t.Context(), "nobody")
		wantError(t, "ID", err, class.ErrNone)
		wantError(t, "UpdatePerson", s.UpdatePerson(t.Context(), person(2)), class.ErrNone)
	}},
	{"names and identifiers are one person's", "two accounts under one name would share a door", func(t *testing.T, s contract.Store) {
		mustSucceed(t, s.AddPerson(t.Context(), person(1)))
		for name, spoil := range map[string]func(*class.Person){
			"ID":        func(p *class.Person) { p.ID = person(1).ID },
			"sign-in":   func(p *class.Person) { p.SignIn = " STUDENT.01" },
			"SourcedID": func(p *class.Person) { p.SourcedID = "src-1" },
		} {
			p := person(2)
			spoil(&p)
			wantError(t, name, s.AddPerson(t.Context(), p), class.ErrTaken)
		}
		mustSucceed(t, s.AddPerson(t.Context(), person(2)))
		p := person(2)
		p.SignIn = "student.01"
		wantError(t, "changed", s.UpdatePerson(t.Context(), p), class.ErrTaken)
		won := atOnce(t, 20, class.ErrTaken, func(i int) error {
			p := person(10 + i)
			p.SignIn = "the one"
			return s.AddPerson(t.Context(), p)
		})
		if won != 1 {
			t.Errorf("%d have one name", won)
		}
	}},
	{"sessions end in time and with the password", "a stolen device must be shut out", func(t *testing.T, s contract.Store) {
		p := person(1)
		mustSucceed(t, s.AddPerson(t.Context(), p))
		want := class.Session{Hash: "h1", Person: p.ID, MadeAt: micro, SeenAt: micro, EndsAt: micro.Add(time.Hour)}
		mustSucceed(t, s.OpenSession(t.Context(), want))
		got, who, err := s.SessionOf(t.Context(), "h1", micro)
		mustSucceed(t, err)
		same(t, "session", got, want)
		same(t, "person", who, p)
		_, _, err = s.SessionOf(t.Context(), "h1", want.EndsAt)
		wantError(t, "ended", err, class.ErrNone)
		mustSucceed(t, s.TouchSession(t.Context(), "h1", micro.Add(time.Minute), micro.Add(2*time.Hour)))
		got, _, err = s.SessionOf(t.Context(), "h1", want.EndsAt)
		mustSucceed(t, err)
		same(t, "seen", got.SeenAt, micro.Add(time.Minute))
		wantError(t, "touching none", s.TouchSession(t.Context(), "none", micro, micro), class.ErrNone)
		mustSucceed(t, s.EndSession(t.Context(), "h1"))
		for _, end := range []func() error{
			func() error { return s.EndSessions(t.Context(), p.ID) },
			func() error { return s.SetPassword(t.Context(), p.ID, "new") },
		} {
			mustSucceed(t, s.OpenSession(t.Context(), want))
			mustSucceed(t, end())
			_, _, err = s.SessionOf(t.Context(), "h1", micro)
			wantError(t, "after", err, class.ErrNone)
		}
		wantError(t, "session of nobody", s.OpenSession(t.Context(), class.Session{Hash: "h2", Person: "nobody"}), class.ErrNone)
		wantError(t, "password of nobody", s.SetPassword(t.Context(), "nobody", "x"), class.ErrNone)
	}},
	{"a password is hashed again without ending anything", "whoever is signed in must not be thrown out by a better hash, and a password changed meanwhile must stay", func(t *testing.T, s contract.Store) {
		p := person(1)
		p.Password = "first"
		mustSucceed(t, s.AddPerson(t.Context(), p))
		mustSucceed(t, s.OpenSession(t.Context(), class.Session{Hash: "h1", Person: p.ID, MadeAt: micro, SeenAt: micro, EndsAt: micro.Add(time.Hour)}))
		mustSucceed(t, s.Rehash(t.Context(), p.ID, p.Password, "better"))
		_, got, err := s.SessionOf(t.Context(), "h1", micro)
		mustSucceed(t, err)
		same(t, "hash", got.Password, "better")
		mustSucceed(t, s.Rehash(t.Context(), p.ID, p.Password, "late"))
		got, err = s.Person(t.Context(), p.ID)
		mustSucceed(t, err)
		same(t, "hash that another change was quicker than", got.Password, "better")
	}},
}

func link(hash string, purpose class.Purpose, of string) class.Link {
	return class.Link{Hash: hash, Purpose: purpose, Person: of, MadeAt: micro, EndsAt: micro.Add(time.Hour)}
}

var linkCases = []ClassCase{
	{"a set-up link makes one instructor, once", "whoever comes second must not own the server", func(t *testing.T, s contract.Store) {
		mustSucceed(t, s.PutLink(t.Context(), link("l0", class.ForSetUp, "")))
		mustSucceed(t, s.PutLink(t.Context(), link("l1", class.ForSetUp, "")))
		_, err := s.LinkOf(t.Context(), "l0", micro)
		wantError(t, "the earlier link", err, class.ErrSpent)
		_, err = s.LinkOf(t.Context(), "l1", micro.Add(time.Hour))
		wantError(t, "run out", err, class.ErrSpent)
		won := atOnce(t, 50, class.ErrSpent, func(i int) error {
			p, err := s.Redeem(t.Context(), "l1", person(i), micro)
			if err == nil && !p.Instructor {
				t.Error("no instructor")
			}
			return err
		})
		if won != 1 {
			t.Errorf("%d used one link", won)
		}
		there, err := s.HasInstructor(t.Context())
		if err != nil || !there {
			t.Errorf("HasInstructor: %v, %v", there, err)
		}
		wantError(t, "a further set-up", s.PutLink(t.Context(), link("l2", class.ForSetUp, "")), class.ErrTaken)
	}},
	{"an entry link sets a password, once", "a forwarded link must not open the account again", func(t *testing.T, s contract.Store) {
		p := person(1)
		mustSucceed(t, s.AddPerson(t.Context(), p))
		mustSucceed(t, s.PutLink(t.Context(), link("l0", class.ForEntry, p.ID)))
		mustSucceed(t, s.PutLink(t.Context(), link("l1", class.ForEntry, p.ID)))
		_, err := s.LinkOf(t.Context(), "l0", micro)
		wantError(t, "the earlier link", err, class.ErrSpent)
		mustSucceed(t, s.OpenSession(t.Context(), class.Session{Hash: "h", Person: p.ID, EndsAt: micro.Add(time.Hour)}))
		won := atOnce(t, 50, class.ErrSpent, func(i int) error {
			_, err := s.Redeem(t.Context(), "l1", class.Person{Password: fmt.Sprint("p", i)}, micro)
			return err
		})
		if won != 1 {
			t.Errorf("%d used one link", won)
		}
		_, _, err = s.SessionOf(t.Context(), "h", micro)
		wantError(t, "session", err, class.ErrNone)
		mustSucceed(t, s.PutLink(t.Context(), link("l2", class.ForEntry, p.ID)))
		mustSucceed(t, s.SetPassword(t.Context(), p.ID, "new"))
		_, err = s.LinkOf(t.Context(), "l2", micro)
		wantError(t, "a link after SetPassword", err, class.ErrSpent)
		wantError(t, "a link of nobody", s.PutLink(t.Context(), link("l3", class.ForEntry, "nobody")), class.ErrNone)
	}},
	{"the class a student came into first looks after the account", "a further roster must not hand an account over", func(t *testing.T, s contract.Store) {
		school(t, s)
		other := person(8)
		other.Instructor = true
		mustSucceed(t, s.AddPerson(t.Context(), other))
		mustSucceed(t, s.AddClass(t.Context(), class.Class{ID: "A", MadeAt: micro}, []string{other.ID}, nil, class.Entry{}))
		student, boss := person(1).ID, person(0).ID
		enrol := func(in, who string, role class.Role, left bool, after time.Duration) {
			t.Helper()
			m := class.Member{Class: in, Person: who, Role: role, Left: left, Since: micro.Add(after)}
			mustSucceed(t, s.Enrol(t.Context(), nil, nil, []class.Member{m}, class.Entry{}))
		}
		links := 0
		by := func(who string) error {
			links++
			l := link(fmt.Sprint("by-", links), class.ForEntry, student)
			l.Class, l.MadeBy = "A", who
			return s.PutLink(t.Context(), l)
		}
		look := func(what, want string) {
			t.Helper()
			got, err := s.Home(t.Context(), student)
			mustSucceed(t, err)
			same(t, what, got, want)
		}
		look("in one class", "C")
		enrol("A", student, class.Student, false, time.Second)
		look("in a further class", "C")
		mustSucceed(t, by(other.ID)) // an account without an owner yet
		mustSucceed(t, s.SetPassword(t.Context(), student, "encoded"))
		wantError(t, "a link of the further class", by(other.ID), class.ErrElsewhere)
		wantError(t, "a link of another student", by(person(2).ID), class.ErrElsewhere)
		mustSucceed(t, by(boss))
		mustSucceed(t, by("")) // the person who runs the server
		enrol("C", student, class.Student, true, 2*time.Second)
		look("having left the first", "A")
		mustSucceed(t, by(other.ID))
		wantError(t, "a link of the class that was left", by(boss), class.ErrElsewhere)
		enrol("A", boss, class.Staff, false, time.Second)
		enrol("A", other.ID, class.Staff, true, time.Second)
		wantError(t, "a link of who was staff", by(other.ID), class.ErrElsewhere)
		mustSucceed(t, by(boss))
		enrol("C", student, class.Student, false, 3*time.Second)
		enrol("A", student, class.Student, true, 3*time.Second)
		look("having left the second", "C")
		enrol("C", student, class.Student, true, 4*time.Second)
		look("having left both", "")
		wantError(t, "a link to nobody's student", by(boss), class.ErrElsewhere)
	}},
	{"a colleague's link makes an instructor of the class", "a name that is taken must not cost the link", func(t *testing.T, s contract.Store) {
		school(t, s)
		l := link("l1", class.ForColleague, "")
		l.Class, l.MadeBy = "C", person(0).ID
		mustSucceed(t, s.PutLink(t.Context(), l))
		got, err := s.LinkOf(t.Context(), "l1", micro)
		mustSucceed(t, err)
		same(t, "link", got, l)
		p := person(9)
		p.SignIn = person(1).SignIn
		_, err = s.Redeem(t.Context(), "l1", p, micro)
		wantError(t, "a taken name", err, class.ErrTaken)
		p = person(9)
		got2, err := s.Redeem(t.Context(), "l1", p, micro)
		mustSucceed(t, err)
		p.Instructor = true
		same(t, "as kept", got2, p)
		m, err := s.Member(t.Context(), "C", p.ID)
		mustSucceed(t, err)
		same(t, "member", m, class.Member{Class: "C", Person: p.ID, Role: class.Staff, Since: micro})
	}},
	{"an instructor joins another class by a colleague's link", "nobody should need two accounts, and a link must not change one", func(t *testing.T, s contract.Store) {
		school(t, s)
		p := person(9)
		p.Instructor, p.Password = true, "kept"
		mustSucceed(t, s.AddPerson(t.Context(), p))
		l := link("l1", class.ForColleague, "")
		l.Class = "C"
		mustSucceed(t, s.PutLink(t.Context(), l))
		got, err := s.Redeem(t.Context(), "l1", class.Person{ID: p.ID, Name: "Other", Password: "other"}, micro)
		mustSucceed(t, err)
		same(t, "as kept", got, p)
		m, err := s.Member(t.Context(), "C", p.ID)
		mustSucceed(t, err)
		same(t, "member", m, class.Member{Class: "C", Person: p.ID, Role: class.Staff, Since: micro})
		_, err = s.Redeem(t.Context(), "l1", class.Person{ID: p.ID}, micro)
		wantError(t, "a second time", err, class.ErrSpent)
		mustSucceed(t, s.PutLink(t.Context(), l))
		_, err = s.Redeem(t.Context(), "l1", person(1), micro)
		wantError(t, "a student", err, class.ErrTaken)
	}},
	{"a place on the roster is claimed once", "the second with the code must not take the account over", func(t *testing.T, s contract.Store) {
		school(t, s)
		won := atOnce(t, 50, class.ErrSpent, func(i int) error {
			return s.Claim(t.Context(), "CODE", person(1).ID, fmt.Sprint("p", i))
		})
		if won != 1 {
			t.Errorf("%d claimed one account", won)
		}
		wantError(t, "another code", s.Claim(t.Context(), "OTHER", person(2).ID, "p"), class.ErrSpent)
		wantError(t, "no code", s.Claim(t.Context(), "", person(2).ID, "p"), class.ErrSpent)
		wantError(t, "staff", s.Claim(t.Context(), "CODE", person(0).ID, "p"), class.ErrSpent)
		left := class.Member{Class: "C", Person: person(2).ID, Role: class.Student, Left: true, Since: micro}
		mustSucceed(t, s.Enrol(t.Context(), nil, nil, []class.Member{left}, class.Entry{}))
		wantError(t, "left", s.Claim(t.Context(), "CODE", person(2).ID, "p"), class.ErrSpent)
	}},
}
