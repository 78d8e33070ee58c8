package roster

import (
	"fmt"

	"shaftbook/exercises/class"
)

// signIn is the name that a person of a line would sign in with: the user name,
// else the e-mail address, else the identifier.
func (l *Line) signIn() string {
	switch {
	case l.SignIn != "":
		return l.SignIn
	case l.Email != "":
		return l.Email
	}
	return l.SourcedID
}

// onceEach makes a line bad that is about somebody an earlier line is about.
func (r *Roster) onceEach() {
	ids, names := map[string]*Line{}, map[string]*Line{}
	kept := r.Lines[:0:0]
	for i := range r.Lines {
		l := &r.Lines[i]
		name := class.FoldSignIn(l.signIn())
		first := names[name]
		if first == nil && l.SourcedID != "" {
			first = ids[l.SourcedID]
		}
		if first != nil {
			r.Bad = append(r.Bad, Bad{l.File, l.Number, l.Text, fmt.Sprintf("It has the identifier or sign-in name of line %d; one person has one line.", first.Number)})
			continue
		}
		names[name] = l
		if l.SourcedID != "" {
			ids[l.SourcedID] = l
		}
		kept = append(kept, *l)
	}
	r.Lines = kept
}
