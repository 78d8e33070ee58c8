package deploy

import (
	"context"
	"crypto/rand"
	"fmt"
	"strings"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
	"shaftbook/web/app/token"
)

const (
	inClass    = "MILL"
	lesson     = "long-drive"
	given      = "A1"
	key        = lesson + "~" + given // of the assigned lesson
	exercises  = 6                    // of the lesson
	triesEach  = 20
	instructor = "instructor"
	secret     = "turn the long shaft slowly" // the instructor's password
)

// lessonText is a lesson with a calculation to edit and exercises that take many wrong
// answers.
func lessonText() string {
	var b strings.Builder
	b.WriteString(`---
title: The long drive
order: 1
summary: One shaft, and many questions about it.
minutes: 5
---

## The shaft

` + "```calc" + `
a = 1 mm
b = 2·a
` + "```\n")
	for i := range exercises {
		fmt.Fprintf(&b, `
`+"```exercise q%d"+`
title: Question %d
given: {T: %d N·m, L: 1.3 m, G: 79 GPa, d: 48 mm}
ask: By how much does it turn?
answer: T·L/(G·π/32·d^4)
unit: deg
tolerance: 1 %%
attempts: %d
`+"```\n", i+1, i+1, 400+10*i, triesEach)
	}
	return b.String()
}

// cellText is what a learner makes of the calculation with its nth edit.
func cellText(n int) string { return fmt.Sprintf("a = %d mm\nb = 2·a\n", n) }

// fill puts a class into an empty store: an instructor, and learners who are signed in
// with the tokens that are returned.
func fill(t *testing.T, s contract.Store, learners int, password string) (people []*learner, staff string) {
	t.Helper()
	ctx, now, none := context.Background(), time.Now(), class.Entry{}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	signIn := func(person string) string {
		made := token.NewSession()
		must(s.OpenSession(ctx, class.Session{Hash: token.Hash(made), Person: person, MadeAt: now, SeenAt: now, EndsAt: now.Add(12 * time.Hour)}))
		return made
	}
	must(s.AddPerson(ctx, class.Person{ID: instructor, Name: "Instructor", SignIn: instructor, Instructor: true, Password: password, MadeAt: now}))
	must(s.AddClass(ctx, class.Class{ID: inClass, Name: "Mill drive line", Zone: "UTC", JoinCode: "ABCD-EFGH", MadeAt: now}, []string{instructor}, nil, none))
	var added []class.Person
	var members []class.Member
	for n := range learners {
		p := class.Person{ID: rand.Text(), Name: fmt.Sprintf("Student %03d", n+1), SignIn: fmt.Sprintf("student%03d", n+1), MadeAt: now}
		added = append(added, p)
		members = append(members, class.Member{Class: inClass, Person: p.ID, Role: class.Student, Since: now})
	}
	must(s.Enrol(ctx, added, nil, members, none))
	text := lessonText()
	frozen := class.Frozen{Hash: class.HashText(text), Name: lesson + ".md", Text: text}
	must(s.AddAssignment(ctx, class.Assignment{
		ID: given, Class: inClass, Title: "The long drive", Lesson: lesson, Text: frozen.Hash, Opens: now.Add(-time.Hour),
		Due: now.Add(24 * time.Hour), Closes: now.Add(24 * time.Hour), Zone: "UTC", Weight: 1, MadeAt: now, ChangedAt: now,
	}, frozen, none))
	for n, p := range added {
		people = append(people, &learner{number: n, person: p.ID, token: signIn(p.ID)})
	}
	return people, signIn(instructor)
}
