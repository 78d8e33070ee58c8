package web

import (
	"context"
	"slices"
	"strings"
	"sync"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/record"
)

// A classFake keeps in memory what the pages of classes and rosters ask of a
// class.Store. It keeps the contract's refusals, so that the pages can be held
// to them; other methods are not there.
type classFake struct {
	class.Store
	mu        sync.Mutex
	people    map[string]class.Person
	sessions  map[string]class.Session
	classes   map[string]class.Class
	members   []class.Member
	assigned  []class.Assignment
	attempts  []record.Attempt
	links     []class.Link
	log       []class.Entry
	frozen    class.Frozen
	signedOut []string
}

func (f *classFake) lock() func() { f.mu.Lock(); return f.mu.Unlock }

func (f *classFake) note(e class.Entry) {
	if e.Action != "" {
		f.log = append(f.log, e)
	}
}

func (f *classFake) SessionOf(_ context.Context, hash string, now time.Time) (class.Session, class.Person, error) {
	defer f.lock()()
	s, ok := f.sessions[hash]
	if !ok || !s.EndsAt.After(now) {
		return s, class.Person{}, class.ErrNone
	}
	return s, f.people[s.Person], nil
}

func (f *classFake) TouchSession(context.Context, string, time.Time, time.Time) error { return nil }

func (f *classFake) EndSessions(_ context.Context, person string) error {
	defer f.lock()()
	f.signedOut = append(f.signedOut, person)
	return nil
}

func (f *classFake) Person(_ context.Context, id string) (class.Person, error) {
	return f.find(func(p class.Person) bool { return p.ID == id })
}

func (f *classFake) PersonBySignIn(_ context.Context, name string) (class.Person, error) {
	return f.find(func(p class.Person) bool { return class.FoldSignIn(p.SignIn) == class.FoldSignIn(name) })
}

func (f *classFake) PersonBySourcedID(_ context.Context, id string) (class.Person, error) {
	return f.find(func(p class.Person) bool { return p.SourcedID == id })
}

func (f *classFake) find(is func(class.Person) bool) (class.Person, error) {
	defer f.lock()()
	for _, p := range f.people {
		if is(p) {
			return p, nil
		}
	}
	return class.Person{}, class.ErrNone
}

func (f *classFake) Class(_ context.Context, id string) (class.Class, error) {
	defer f.lock()()
	c, ok := f.classes[id]
	if !ok {
		return c, class.ErrNone
	}
	return c, nil
}

func (f *classFake) Member(_ context.Context, in, person string) (class.Member, error) {
	defer f.lock()()
	i := f.memberAt(in, person)
	if i < 0 {
		return class.Member{}, class.ErrNone
	}
	return f.members[i], nil
}

func (f *classFake) memberAt(in, person string) int {
	return slices.IndexFunc(f.members, func(m class.Member) bool { return m.Class == in && m.Person == person })
}

func (f *classFake) Members(_ context.Context, in string) ([]class.Person, []class.Member, error) {
	defer f.lock()()
	var members []class.Member
	for _, m := range f.members {
		if m.Class == in {
			members = append(members, m)
		}
	}
	slices.SortFunc(members, func(a, b class.Member) int {
		return strings.Compare(f.people[a.Person].Name+a.Person, f.people[b.Person].Name+b.Person)
	})
	people := make([]class.Person, len(members))
	for i, m := range members {
		people[i] = f.people[m.Person]
	}
	return people, members, nil
}

func (f *classFake) ClassesOf(_ context.Context, person string) ([]class.Class, []class.Member, error) {
	defer f.lock()()
	var classes []class.Class
	var members []class.Member
	for _, m := range f.members {
		if m.Person == person {
			classes, members = append(classes, f.classes[m.Class]), append(members, m)
		}
	}
	return classes, members, nil
}

func (f *classFake) AddClass(_ context.Context, c class.Class, staff []string, assigned []class.Assignment, e class.Entry) error {
	defer f.lock()()
	f.classes[c.ID] = c
	for _, p := range staff {
		f.members = append(f.members, class.Member{Class: c.ID, Person: p, Role: class.Staff})
	}
	f.assigned = append(f.assigned, assigned...)
	f.note(e)
	return nil
}

func (f *classFake) UpdateClass(_ context.Context, c class.Class, e class.Entry) error {
	defer f.lock()()
	f.classes[c.ID] = c
	f.note(e)
	return nil
}

func (f *classFake) Enrol(_ context.Context, added, changed []class.Person, members []class.Member, e class.Entry) error {
	defer f.lock()()
	for _, p := range slices.Concat(added, changed) {
		for _, o := range f.people {
			if o.ID != p.ID && (class.FoldSignIn(o.SignIn) == class.FoldSignIn(p.SignIn) || p.SourcedID != "" && o.SourcedID == p.SourcedID) {
				return class.ErrTaken
			}
		}
	}
	next := slices.Clone(f.members)
	for _, m := range members {
		if i := slices.IndexFunc(next, func(o class.Member) bool { return o.Class == m.Class && o.Person == m.Person }); i >= 0 {
			next[i] = m
		} else {
			next = append(next, m)
		}
	}
	for _, m := range members {
		if !slices.ContainsFunc(next, func(o class.Member) bool { return o.Class == m.Class && o.Role == class.Staff && !o.Left }) {
			return class.ErrOwnOut
		}
	}
	for _, p := range slices.Concat(added, changed) {
		p.Password = f.people[p.ID].Password
		f.people[p.ID] = p
	}
	f.members = next
	f.note(e)
	return nil
}

func (f *classFake) Assignments(_ context.Context, in string) ([]class.Assignment, error) {
	defer f.lock()()
	var list []class.Assignment
	for _, a := range f.assigned {
		if a.Class == in {
			list = append(list, a)
		}
	}
	return list, nil
}

func (f *classFake) Frozen(context.Context, string) (class.Frozen, error) { return f.frozen, nil }

func (f *classFake) AttemptsIn(_ context.Context, lesson string) ([]record.Attempt, error) {
	defer f.lock()()
	var list []record.Attempt
	for _, a := range f.attempts {
		if a.Lesson == lesson {
			list = append(list, a)
		}
	}
	return list, nil
}

func (f *classFake) PutLink(_ context.Context, l class.Link) error {
	defer f.lock()()
	f.links = append(f.links, l)
	return nil
}

func (f *classFake) Note(_ context.Context, e class.Entry) error {
	defer f.lock()()
	f.note(e)
	return nil
}

func (f *classFake) Dossier(_ context.Context, person string) (class.Dossier, error) {
	defer f.lock()()
	return class.Dossier{Person: f.people[person]}, nil
}

func (f *classFake) Erase(_ context.Context, person string, e class.Entry) error {
	defer f.lock()()
	if f.people[person].Instructor {
		return class.ErrStaff
	}
	delete(f.people, person)
	f.members = slices.DeleteFunc(f.members, func(m class.Member) bool { return m.Person == person })
	f.note(e)
	return nil
}
