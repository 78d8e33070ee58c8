package roster

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"shaftbook/exercises/class"
)

// A Kind is the kind of a change to one person.
type Kind string

// What can happen.
const (
	Adds    Kind = "adds"    // a person new to the server
	Joins   Kind = "joins"   // a person with an account, new to the class
	Changes Kind = "changes" // of a student of the class
	Returns Kind = "returns" // of a person who had left
	Leaves  Kind = "leaves"
)

// A Change is one field of a person that gets another value.
type Change struct{ Field, Old, New string }

// A Step is the change to one person.
type Step struct {
	Kind    Kind
	Person  class.Person // as it will be
	Member  class.Member // as it will be
	Changes []Change
}

// A Plan is everything that taking in a roster would do.
type Plan struct {
	Steps []Step
	Same  int // people who stay as they are
	Bad   []Bad

	// Elsewhere are people of whom a line gives something else than is known, and
	// whose particulars stay as they are: see School.Elsewhere.
	Elsewhere []class.Person

	Held bool // no one leaves for not being listed, since a bad line may be about them
}

// A School is who is there already.
type School struct {
	Class string
	// People are the members of the class and everybody else that a line may be
	// about: see Roster.Sought.
	People  []class.Person
	Members []class.Member // of the class, those who left included

	// Elsewhere are those of People whose account another class looks after. They
	// can be in this class too; only their section is this class's to change.
	Elsewhere map[string]bool // by person
}

// Terms of taking in a roster.
type Terms struct {
	Whole bool // students who are not listed leave, unless the roster is marked as partial
	Now   time.Time
	NewID func() string // of a person
}

// Sought are the identifiers and sign-in names by which lines may be about
// a person who is not in the class.
func (r *Roster) Sought() (sourced, signIn []string) {
	for i := range r.Lines {
		l := &r.Lines[i]
		if l.SourcedID != "" {
			sourced = append(sourced, l.SourcedID)
		}
		signIn = append(signIn, l.signIn())
		if l.SignIn != "" && l.Email != "" {
			signIn = append(signIn, l.Email)
		}
	}
	return sourced, signIn
}

// Plan compares a roster with who is there. A line is about the person who has
// its identifier; else about who has its sign-in name; else about who signs in
// with its e-mail address, or is alone in the class to have it. A line of which
// these contradict each other is bad.
func (r *Roster) Plan(there School, t Terms) *Plan {
	p := &Plan{Bad: slices.Clone(r.Bad)}
	d := newDirectory(there)
	listed := map[string]int{} // person → number of the line
	for i := range r.Lines {
		l := &r.Lines[i]
		bad := func(why string) { p.Bad = append(p.Bad, Bad{l.File, l.Number, l.Text, why}) }
		who, why := d.find(l)
		if why != "" {
			bad(why)
			continue
		}
		if who == nil {
			switch {
			case l.Out:
				p.Same++
			case l.Name == "":
				bad(fmt.Sprintf("Nobody here has the school ID %s, and the line has no name. Import users.csv together with it.", l.SourcedID))
			default:
				p.Steps = append(p.Steps, added(l, there.Class, t))
			}
			continue
		}
		if earlier, twice := listed[who.ID]; twice {
			bad(fmt.Sprintf("It is about %s, like line %d. Each person must have only one line.", who.Name, earlier))
			continue
		}
		listed[who.ID] = l.Number
		if there.Elsewhere[who.ID] && !l.Out {
			own := *l
			own.Name, own.SignIn, own.Email, own.SourcedID = "", "", "", ""
			if changesPerson(d.step(l, *who, t)) {
				p.Elsewhere = append(p.Elsewhere, *who)
			}
			l = &own
		}
		if step := d.step(l, *who, t); step != nil {
			p.Steps = append(p.Steps, *step)
		} else {
			p.Same++
		}
	}
	whole := t.Whole && !r.Partial
	p.Held = whole && len(p.Bad) > 0
	if whole && !p.Held {
		for _, m := range there.Members {
			if _, ok := listed[m.Person]; ok || m.Left || m.Role != class.Student {
				continue
			}
			p.Steps = append(p.Steps, leaving(d.people[m.Person], m, t))
		}
	}
	slices.SortStableFunc(p.Bad, func(a, b Bad) int {
		return cmp.Or(strings.Compare(a.File, b.File), cmp.Compare(a.Number, b.Number))
	})
	return p
}

func added(l *Line, in string, t Terms) Step {
	who := class.Person{ID: t.NewID(), Name: l.Name, SignIn: l.signIn(), Email: l.Email, SourcedID: l.SourcedID, MadeAt: t.Now}
	return Step{Kind: Adds, Person: who, Member: class.Member{Class: in, Person: who.ID, Role: class.Student, Section: l.Section, Since: t.Now}}
}

func leaving(who class.Person, m class.Member, t Terms) Step {
	m.Left, m.Since = true, t.Now
	return Step{Kind: Leaves, Person: who, Member: m}
}

// step returns the change that a line makes to a known person, or nil for none.
func (d *directory) step(l *Line, who class.Person, t Terms) *Step {
	m, isMember := d.members[who.ID]
	if l.Out {
		if !isMember || m.Left {
			return nil
		}
		s := leaving(who, m, t)
		return &s
	}
	s := Step{Kind: Changes, Member: m}
	change := func(field string, old *string, to string) {
		if to == "" || to == *old {
			return
		}
		s.Changes = append(s.Changes, Change{field, *old, to})
		*old = to
	}
	change("name", &who.Name, l.Name)
	change("username", &who.SignIn, l.SignIn)
	change("e-mail", &who.Email, l.Email)
	change("student number", &who.SourcedID, l.SourcedID)
	switch {
	case !isMember:
		s.Kind = Joins
		s.Member = class.Member{Class: d.class, Person: who.ID, Role: class.Student, Section: l.Section, Since: t.Now}
	case m.Left:
		s.Kind = Returns
		s.Member.Left, s.Member.Since = false, t.Now
		change("group", &s.Member.Section, l.Section)
	default:
		change("group", &s.Member.Section, l.Section)
		if len(s.Changes) == 0 {
			return nil
		}
	}
	s.Person = who
	return &s
}

// changesPerson reports whether a step changes more than a member.
func changesPerson(s *Step) bool {
	return s != nil && slices.ContainsFunc(s.Changes, func(c Change) bool { return c.Field != "group" })
}

// Of returns the steps of one kind.
func (p *Plan) Of(k Kind) []Step {
	var steps []Step
	for _, s := range p.Steps {
		if s.Kind == k {
			steps = append(steps, s)
		}
	}
	return steps
}

// Enrolment is a plan as the store takes it.
func (p *Plan) Enrolment() (added, changed []class.Person, members []class.Member) {
	for _, s := range p.Steps {
		switch {
		case s.Kind == Adds:
			added = append(added, s.Person)
		case changesPerson(&s):
			changed = append(changed, s.Person)
		}
		members = append(members, s.Member)
	}
	return added, changed, members
}

// Words returns a plan in one line.
func (p *Plan) Words() string {
	if len(p.Steps) == 0 {
		return fmt.Sprintf("all %d unchanged", p.Same)
	}
	var parts []string
	for _, k := range []struct {
		kind  Kind
		words string
	}{{Adds, "new"}, {Joins, "existing accounts"}, {Returns, "back"}, {Changes, "changed"}, {Leaves, "left"}} {
		if n := len(p.Of(k.kind)); n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, k.words))
		}
	}
	return strings.Join(parts, ", ") + fmt.Sprintf(", %d unchanged", p.Same)
}

// Fingerprint is the same for plans that do the same. The identifiers of new
// people and the times, which each planning makes anew, are not part of it.
func (p *Plan) Fingerprint() string {
	steps := slices.Clone(p.Steps)
	for i := range steps {
		s := &steps[i]
		s.Member.Since, s.Person.MadeAt = time.Time{}, time.Time{}
		s.Person.Password, s.Person.Feed = "", ""
		if s.Kind == Adds {
			s.Person.ID, s.Member.Person = "", ""
		}
	}
	text, err := json.Marshal(steps)
	if err != nil {
		panic(err) // strings, booleans and zero times only
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}
