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

// onceEach makes a line bad that is, or may be, about a person an earlier line
// is about.
func (r *Roster) onceEach() {
	ids, names, emails := map[string]*Line{}, map[string]*Line{}, map[string][]*Line{}
	kept := r.Lines[:0:0]
	for i := range r.Lines {
		l := &r.Lines[i]
		name, email := class.FoldSignIn(l.signIn()), class.FoldSignIn(l.Email)
		first := names[name]
		if first == nil && l.SourcedID != "" {
			first = ids[l.SourcedID]
		}
		if first != nil {
			r.bad(l, fmt.Sprintf("It has the same student number or username as line %d. Each person must have only one line.", first.Number))
			continue
		}
		if alike := maybeSame(emails[email], l); email != "" && alike != nil {
			r.bad(l, fmt.Sprintf("It has the same e-mail address as line %d, and nothing else tells the two apart. Give both a student number or both a username.", alike.Number))
			continue
		}
		names[name], emails[email] = l, append(emails[email], l)
		if l.SourcedID != "" {
			ids[l.SourcedID] = l
		}
		kept = append(kept, *l)
	}
	r.Lines = kept
}

// maybeSame returns a line, of those with the same e-mail address, that may be
// about the same person. Two are of a family that shares the address only if
// both have identifiers, or both have user names.
func maybeSame(with []*Line, l *Line) *Line {
	for _, o := range with {
		if (o.SourcedID == "" || l.SourcedID == "") && (o.SignIn == "" || l.SignIn == "") {
			return o
		}
	}
	return nil
}

func (r *Roster) bad(l *Line, why string) {
	r.Bad = append(r.Bad, Bad{l.File, l.Number, l.Text, why})
}
