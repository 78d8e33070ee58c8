package demo

import (
	"context"
	"crypto/rand"
	"fmt"
	"time"

	"shaftbook/exercises/class"
)

// A learner is a student of the class with what the pages do not know of them.
type learner struct {
	class.Person
	number  int     // from 1
	ability float64 // share of first answers that are right, roughly
	place   string  // where in the open assignment, while they are there
}

// Students by their number who are not like the others.
const (
	ahead    = 1 // does everything, and has begun the open assignment
	late     = 2 // did the closed assignment after it was due
	extended = 3 // was ill, and had longer for it
	asker    = 2 // shows a page to the instructor, who answered
	doubted  = 4 // rounded early; the mark was set by hand
	gone     = 5 // has left the class
	silent   = 6 // came in and did next to nothing
	absent   = 7 // has not come in yet
)

const (
	weeks    = 5 // before now, at which the class was made
	zoneName = "Europe/London"
)

// makeClass puts in the people and the class they are in.
func (s *School) makeClass(ctx context.Context, now time.Time) error {
	var err error
	if s.zone, err = time.LoadLocation(zoneName); err != nil {
		return err
	}
	made := s.day(now, -7*weeks, 9, 20)
	person := func(name, signIn, sourced string) class.Person {
		return class.Person{
			ID: rand.Text(), Name: name, SignIn: signIn, SourcedID: sourced,
			Password: s.o.Password, Feed: rand.Text(), MadeAt: made,
		}
	}
	s.Instructor = person("Instructor", "instructor", "")
	s.Colleague = person("Colleague", "colleague", "")
	s.Instructor.Instructor, s.Colleague.Instructor = true, true
	for _, p := range []class.Person{s.Instructor, s.Colleague} {
		if err := s.store.AddPerson(ctx, p); err != nil {
			return err
		}
	}
	s.Class = class.Class{
		ID: class.NewID(), Name: "Mill drive line, autumn", Term: fmt.Sprint(now.Year()), Zone: zoneName,
		JoinCode: rand.Text()[:4] + "-" + rand.Text()[:4], MadeAt: made,
	}
	e := s.entry(made, "class", "", "created the class "+s.Class.Name)
	if err := s.store.AddClass(ctx, s.Class, []string{s.Instructor.ID, s.Colleague.ID}, nil, e); err != nil {
		return err
	}
	var members []class.Member
	for n := 1; n <= s.o.Students; n++ {
		p := person(fmt.Sprintf("Student %02d", n), fmt.Sprintf("student%02d", n), fmt.Sprintf("M-%03d", 100+n))
		if n == absent {
			p.Password = ""
		}
		s.Students = append(s.Students, p)
		s.learners = append(s.learners, s.newLearner(p, n))
		members = append(members, class.Member{Class: s.Class.ID, Person: p.ID, Role: class.Student, Section: section(n, s.o.Students), Since: made})
	}
	e = s.entry(made.Add(time.Hour), "roster", "", fmt.Sprintf("imported a roster: %d new, 0 unchanged", len(members)))
	return s.store.Enrol(ctx, s.Students, nil, members, e)
}

// section puts the first two thirds of a class into one of two groups.
func section(n, of int) string {
	switch {
	case n > of*2/3:
		return ""
	case n%2 == 1:
		return "Morning"
	}
	return "Afternoon"
}

func (s *School) newLearner(p class.Person, n int) *learner {
	dice := s.chance(n, 0)
	l := &learner{Person: p, number: n, ability: min(0.95, max(0.1, 0.45+0.22*dice.NormFloat64()))}
	if n == ahead {
		l.ability = 0.9
	}
	return l
}

// entry is a line of the log about what the instructor did.
func (s *School) entry(at time.Time, action, about, detail string) class.Entry {
	return class.Entry{Class: s.Class.ID, By: s.Instructor.ID, At: at, Action: action, About: about, Detail: detail}
}
