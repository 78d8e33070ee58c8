// Package enrolment changes who is in a class, and looks after the accounts of its
// students: what an imported roster would change (Class.Plan), students added,
// changed, removed and deleted by hand, and the student of a join code. Each change
// writes its line of the log. It does not use HTTP.
package enrolment

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"shaftbook/exercises/class"
)

// A Store is read and written for who is in a class; contract.School has it.
type Store interface {
	Person(ctx context.Context, id string) (class.Person, error)
	PersonBySignIn(ctx context.Context, signIn string) (class.Person, error)
	PersonBySourcedID(ctx context.Context, sourced string) (class.Person, error)
	Erase(ctx context.Context, person string, e class.Entry) error
	Home(ctx context.Context, student string) (class string, err error)
	Member(ctx context.Context, class, person string) (class.Member, error)
	Members(ctx context.Context, class string) ([]class.Person, []class.Member, error)
	ClassesOf(ctx context.Context, person string) ([]class.Class, []class.Member, error)
	Enrol(ctx context.Context, added, changed []class.Person, members []class.Member, e class.Entry) error
}

var (
	// ErrLeft is the error of what needs a student who has not left: whose account it
	// is elsewhere is no longer this class's to look after.
	ErrLeft = errors.New("the student has left the class")
	// ErrNotAllowed is the error of what an instructor of all classes of a student may
	// do.
	ErrNotAllowed = errors.New("the student is in classes of other instructors")
)

// A Class is one class as one of its instructors changes it.
type Class struct {
	Store Store
	ID    string
	By    string // the instructor
	Now   time.Time
}

func (c *Class) entry(action, about, detail string) class.Entry {
	return class.Entry{Class: c.ID, By: c.By, At: c.Now, Action: action, About: about, Detail: detail}
}

// Member returns a person of the class who has a role in it; class.ErrNone
// otherwise.
func (c *Class) Member(ctx context.Context, person string, role class.Role) (class.Person, class.Member, error) {
	m, err := c.Store.Member(ctx, c.ID, strings.TrimSpace(person))
	if err != nil {
		return class.Person{}, m, err
	}
	if m.Role != role {
		return class.Person{}, m, class.ErrNone
	}
	p, err := c.Store.Person(ctx, m.Person)
	return p, m, err
}

// Student returns a student of the class whose account is changed. That of an
// instructor elsewhere is not a class's to change: class.ErrStaff.
func (c *Class) Student(ctx context.Context, person string) (class.Person, class.Member, error) {
	p, m, err := c.Member(ctx, person, class.Student)
	if err == nil && p.Instructor {
		err = class.ErrStaff
	}
	return p, m, err
}

// Present is Student for what needs a student who has not left: ErrLeft otherwise.
func (c *Class) Present(ctx context.Context, person string) (class.Person, class.Member, error) {
	p, m, err := c.Student(ctx, person)
	if err == nil && m.Left {
		err = ErrLeft
	}
	return p, m, err
}

// OtherClasses names the classes of a student beside this one that the instructor
// teaches too, and reports whether those are all.
func (c *Class) OtherClasses(ctx context.Context, p class.Person) (names []string, all bool, err error) {
	theirs, _, err := c.Store.ClassesOf(ctx, p.ID)
	if err != nil {
		return nil, false, err
	}
	mine, as, err := c.Store.ClassesOf(ctx, c.By)
	if err != nil {
		return nil, false, err
	}
	all = !p.Instructor
	for _, t := range theirs {
		i := slices.IndexFunc(mine, func(m class.Class) bool { return m.ID == t.ID })
		if i < 0 || as[i].Role != class.Staff || as[i].Left {
			all = false
			continue // whose class it is stays unsaid
		}
		if t.ID != c.ID {
			names = append(names, t.Name)
		}
	}
	return names, all, nil
}

// LooksAfter reports whether the instructor looks after a student's account. Of a
// student who is in no class any more that is an instructor of all that there were.
func (c *Class) LooksAfter(ctx context.Context, p class.Person) (bool, error) {
	home, err := c.Store.Home(ctx, p.ID)
	if err != nil {
		return false, err
	}
	if home == "" {
		_, all, err := c.OtherClasses(ctx, p)
		return all, err
	}
	return c.teaches(ctx, home)
}

// teaches reports whether the instructor is staff of a class.
func (c *Class) teaches(ctx context.Context, id string) (bool, error) {
	m, err := c.Store.Member(ctx, id, c.By)
	if errors.Is(err, class.ErrNone) {
		return false, nil
	}
	return err == nil && m.Role == class.Staff && !m.Left, err
}

// Accessible returns a student whose account the instructor looks after;
// class.ErrElsewhere otherwise.
func (c *Class) Accessible(ctx context.Context, person string) (class.Person, class.Member, error) {
	p, m, err := c.Student(ctx, person)
	if err != nil {
		return p, m, err
	}
	own, err := c.LooksAfter(ctx, p)
	if err == nil && !own {
		err = class.ErrElsewhere
	}
	return p, m, err
}

// Add adds one student by hand. class.ErrTaken if the sign-in name or the school ID
// belongs to another person.
func (c *Class) Add(ctx context.Context, p class.Person, m class.Member) error {
	return c.Store.Enrol(ctx, []class.Person{p}, nil, []class.Member{m}, c.entry("roster", p.ID, "added "+p.Name+" ("+p.SignIn+")"))
}

// Change keeps what changes of a student, if anything does. class.ErrTaken as for
// Add.
func (c *Class) Change(ctx context.Context, was, p class.Person, wasIn, m class.Member) error {
	words := changedWords(was, p, wasIn, m)
	if words == "" {
		return nil
	}
	return c.Store.Enrol(ctx, nil, []class.Person{p}, []class.Member{m}, c.entry("roster", p.ID, words))
}

// changedWords say what changes of a student, old and new, or nothing.
func changedWords(was, p class.Person, wasIn, m class.Member) string {
	var words []string
	for _, f := range []struct{ what, old, to string }{
		{"name", was.Name, p.Name}, {"username", was.SignIn, p.SignIn}, {"e-mail", was.Email, p.Email},
		{"student number", was.SourcedID, p.SourcedID}, {"group", wasIn.Section, m.Section},
	} {
		if f.old != f.to {
			words = append(words, f.what+" from “"+f.old+"” to “"+f.to+"”")
		}
	}
	return strings.Join(words, ", ")
}

// SetLeft removes a student from the class, with all work kept, or brings the
// student back. It reports whether that changes anything.
func (c *Class) SetLeft(ctx context.Context, p class.Person, m class.Member, left bool) (changed bool, err error) {
	if m.Left == left {
		return false, nil
	}
	words := "added " + p.Name + " back to the class"
	if left {
		words = "removed " + p.Name + " from the class"
	}
	m.Left, m.Since = left, c.Now
	return true, c.Store.Enrol(ctx, nil, nil, []class.Member{m}, c.entry("roster", p.ID, words))
}

// RemoveColleague removes an instructor from the class. class.ErrOwnOut if the
// class would have none left.
func (c *Class) RemoveColleague(ctx context.Context, p class.Person, m class.Member) error {
	if m.Left {
		return nil
	}
	m.Left, m.Since = true, c.Now
	return c.Store.Enrol(ctx, nil, nil, []class.Member{m}, c.entry("staff", "", "removed "+p.Name+" from the instructors of the class"))
}

// Erasable returns a student whose account the instructor may delete: an instructor
// of all classes of the student. ErrNotAllowed otherwise.
func (c *Class) Erasable(ctx context.Context, person string) (class.Person, class.Member, error) {
	p, m, err := c.Student(ctx, person)
	if err != nil {
		return p, m, err
	}
	_, all, err := c.OtherClasses(ctx, p)
	if err == nil && !all {
		err = ErrNotAllowed
	}
	return p, m, err
}

// Erase deletes a student's account and work permanently. The line of the log has no
// name: it is there to outlast it.
func (c *Class) Erase(ctx context.Context, p class.Person) error {
	return c.Store.Erase(ctx, p.ID, c.entry("erase", "", "permanently deleted a student’s account and work"))
}
