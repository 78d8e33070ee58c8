package enrolment

import (
	"context"
	"crypto/rand"
	"errors"

	"shaftbook/exercises/class"
	"shaftbook/exercises/roster"
)

// ErrChanged is the error of a plan that is another than was shown.
var ErrChanged = errors.New("what the roster changes is not what was shown")

// Plan returns what an imported roster would change in the class. With whole,
// students who are not on it leave.
func (c *Class) Plan(ctx context.Context, list *roster.Roster, whole bool) (*roster.Plan, error) {
	there, err := c.school(ctx, list)
	if err != nil {
		return nil, err
	}
	return list.Plan(there, roster.Terms{Whole: whole, Now: c.Now, NewID: rand.Text}), nil
}

// Apply does what a plan showed: shown is its fingerprint. If the class has changed
// since, so that something else would be done, nothing is, and the error is
// ErrChanged, with the plan as it is now.
func (c *Class) Apply(ctx context.Context, list *roster.Roster, whole bool, shown string) (*roster.Plan, error) {
	plan, err := c.Plan(ctx, list, whole)
	if err != nil {
		return nil, err
	}
	if plan.Fingerprint() != shown {
		return plan, ErrChanged
	}
	added, changed, members := plan.Enrolment()
	return plan, c.Store.Enrol(ctx, added, changed, members, c.entry("roster", "", "imported a roster: "+plan.Words()))
}

// school gathers everybody a roster may be about.
func (c *Class) school(ctx context.Context, list *roster.Roster) (roster.School, error) {
	people, members, err := c.Store.Members(ctx, c.ID)
	if err != nil {
		return roster.School{}, err
	}
	there := roster.School{Class: c.ID, People: people, Members: members}
	sourced, signIn := list.Sought()
	add := func(p class.Person, err error) error {
		if errors.Is(err, class.ErrNone) {
			return nil
		}
		if err == nil {
			there.People = append(there.People, p)
		}
		return err
	}
	for _, id := range sourced {
		if err := add(c.Store.PersonBySourcedID(ctx, id)); err != nil {
			return there, err
		}
	}
	for _, name := range signIn {
		if err := add(c.Store.PersonBySignIn(ctx, name)); err != nil {
			return there, err
		}
	}
	there.Elsewhere = map[string]bool{}
	teaches := map[string]bool{"": true, c.ID: true} // by class
	for _, p := range there.People {
		home, err := c.Store.Home(ctx, p.ID)
		if err != nil {
			return there, err
		}
		if _, known := teaches[home]; !known {
			if teaches[home], err = c.teaches(ctx, home); err != nil {
				return there, err
			}
		}
		there.Elsewhere[p.ID] = !teaches[home]
	}
	return there, nil
}
