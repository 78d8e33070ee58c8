package roster

import (
	"cmp"
	"fmt"
	"slices"

	"shaftbook/exercises/class"
)

// A directory finds people by what a line gives about them.
type directory struct {
	class   string
	people  map[string]class.Person
	members map[string]class.Member
	sourced map[string]string   // SourcedID → person
	signIn  map[string]string   // folded sign-in name → person
	email   map[string][]string // folded e-mail address → members of the class
}

func newDirectory(there School) *directory {
	d := &directory{
		class: there.Class, people: map[string]class.Person{}, members: map[string]class.Member{},
		sourced: map[string]string{}, signIn: map[string]string{}, email: map[string][]string{},
	}
	for _, m := range there.Members {
		d.members[m.Person] = m
	}
	for _, p := range there.People {
		if _, twice := d.people[p.ID]; twice {
			continue
		}
		d.people[p.ID] = p
		if p.SourcedID != "" {
			d.sourced[p.SourcedID] = p.ID
		}
		d.signIn[class.FoldSignIn(p.SignIn)] = p.ID
		if _, member := d.members[p.ID]; member && p.Email != "" {
			folded := class.FoldSignIn(p.Email)
			d.email[folded] = append(d.email[folded], p.ID)
		}
	}
	return d
}

// find returns the person of a line, nil for a new person, or why the line
// cannot be taken.
func (d *directory) find(l *Line) (*class.Person, string) {
	bySource, byName := d.sourced[l.SourcedID], d.signIn[class.FoldSignIn(l.signIn())]
	if bySource != "" && byName != "" && bySource != byName {
		return nil, fmt.Sprintf("Its student number belongs to %s, but its username to %s.", d.people[bySource].Name, d.people[byName].Name)
	}
	id := cmp.Or(bySource, byName)
	if id == "" {
		var why string
		if id, why = d.byEmail(l); id == "" {
			return nil, why
		}
	}
	who := d.people[id]
	switch {
	case l.SourcedID != "" && who.SourcedID != "" && l.SourcedID != who.SourcedID:
		return nil, fmt.Sprintf("Its e-mail address or username belongs to %s, whose student number is %s, not %s.", who.Name, who.SourcedID, l.SourcedID)
	case who.Instructor || d.members[id].Role == class.Staff:
		return nil, fmt.Sprintf("%s is an instructor. A roster import does not change instructors.", who.Name)
	}
	return &who, ""
}

// byEmail finds the person of a line whose identifier and sign-in name no one
// has. An address that a family shares must not make one person of two, so
// another identifier or another user name outweighs it.
func (d *directory) byEmail(l *Line) (id, why string) {
	if l.Email == "" {
		return "", ""
	}
	other := func(id string) bool {
		has := d.people[id].SourcedID
		return l.SourcedID != "" && has != "" && has != l.SourcedID
	}
	folded := class.FoldSignIn(l.Email)
	if id := d.signIn[folded]; id != "" && !other(id) {
		return id, ""
	}
	if l.SignIn != "" {
		return "", ""
	}
	alike := slices.DeleteFunc(slices.Clone(d.email[folded]), other)
	switch len(alike) {
	case 0:
		return "", ""
	case 1:
		return alike[0], ""
	}
	return "", fmt.Sprintf("%d people in the class have the e-mail address %s. Add the school ID.", len(alike), l.Email)
}
