package enrolment

import (
	"context"
	"crypto/rand"
	"strings"

	"shaftbook/exercises/class"
)

// NewJoinCode returns a code that can be read out: eight letters and digits of
// base 32, which has neither 0 nor 1, in two groups. That is 40 bits, and tries
// are throttled.
func NewJoinCode() string {
	c := rand.Text()[:8]
	return c[:4] + "-" + c[4:]
}

// ReadJoinCode returns a code as it is kept, from one that was read out or copied
// by hand: codes have no 0 and no 1.
func ReadJoinCode(typed string) string {
	code := strings.Map(func(c rune) rune {
		switch {
		case c == '0':
			return 'O'
		case c == '1':
			return 'I'
		case c >= 'A' && c <= 'Z', c >= '2' && c <= '7':
			return c
		}
		return -1
	}, strings.ToUpper(typed))
	if len(code) != 8 {
		return code
	}
	return code[:4] + "-" + code[4:]
}

// A JoinStore is read for who may join a class; contract.School has it.
type JoinStore interface {
	ClassByCode(ctx context.Context, code string) (class.Class, error)
	Members(ctx context.Context, class string) ([]class.Person, []class.Member, error)
}

// Joining finds the student of a class, by its code, who has not joined any class
// yet, by a sign-in name, an e-mail address or a school ID, and the class.
// class.ErrNone if there is none, or more than one.
func Joining(ctx context.Context, store JoinStore, code, who string) (p class.Person, in string, err error) {
	if code == "" {
		return p, "", class.ErrNone
	}
	c, err := store.ClassByCode(ctx, code)
	if err != nil {
		return p, "", err
	}
	people, members, err := store.Members(ctx, c.ID)
	if err != nil {
		return p, "", err
	}
	var found []class.Person
	for i, p := range people {
		if IsWaiting(p, members[i]) && members[i].Role == class.Student && isCalled(p, who) {
			found = append(found, p)
		}
	}
	if len(found) != 1 {
		return p, "", class.ErrNone
	}
	return found[0], c.ID, nil
}

// IsWaiting reports whether a person on the roster has not joined yet.
func IsWaiting(p class.Person, m class.Member) bool { return p.Password == "" && !m.Left }

func isCalled(p class.Person, who string) bool {
	folded := class.FoldSignIn(who)
	return folded == class.FoldSignIn(p.SignIn) || folded == class.FoldSignIn(p.Email) || p.SourcedID != "" && who == p.SourcedID
}
