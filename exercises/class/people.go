package class

import (
	"crypto/rand"
	"strings"
	"time"
)

// NewID returns a new random identifier of a class or an assignment. That of a
// person is rand.Text(), which is also the name under which package store keeps
// the person's work.
func NewID() string { return rand.Text()[:12] }

// A Person has an account, or is on a roster and has not
// come in yet.
type Person struct {
	ID     string // 26 letters and digits, see rand.Text; never changes
	Name   string // as it is shown
	SignIn string // the name to sign in with; one person has it, capitals make no difference
	Email  string // as the roster has it, or empty

	// SourcedID is the identifier that the school's own system has for the
	// person, or empty. One person has it.
	SourcedID string

	Instructor bool // may make classes

	// Password is the encoded hash of the password; it is empty until the person
	// has chosen one.
	Password string

	// Feed is the secret part of the address of the person's calendar.
	Feed string

	MadeAt time.Time
}

// FoldSignIn is the form in which sign-in names are compared.
func FoldSignIn(s string) string { return strings.ToLower(strings.TrimSpace(s)) }

// A Session is one device on which a person is signed in. The store keeps the
// hash of its token only.
type Session struct {
	Hash   string // SHA-256 of the token, hexadecimal
	Person string
	MadeAt time.Time
	SeenAt time.Time
	EndsAt time.Time
}

// A Purpose is the use of a one-time link.
type Purpose string

// What a one-time link is for.
const (
	ForSetUp     Purpose = "set-up"    // makes the first instructor of a server
	ForColleague Purpose = "colleague" // makes a further instructor, of Class
	ForEntry     Purpose = "entry"     // Person chooses a password: the first one or, after a reset, a new one
)

// A Link is an address that works once. The store keeps the hash of its token
// only.
type Link struct {
	Hash    string
	Purpose Purpose
	Person  string // of ForEntry
	Class   string // of ForColleague, and of ForEntry where a class's page made it
	MadeBy  string // the person who made it; empty for ForSetUp
	MadeAt  time.Time
	EndsAt  time.Time
}

// A Role is the role of a member in a class.
type Role string

// The roles.
const (
	Student Role = "student"
	Staff   Role = "staff"
)

// A Member is a person in a class. Who has left keeps the work and can come
// back to it.
type Member struct {
	Class   string
	Person  string
	Role    Role
	Section string // a group within the class, or empty
	Left    bool
	Since   time.Time // of joining, or of the last change of Left
}

// A Class is a group of people with assignments, for one term.
type Class struct {
	ID       string
	Name     string
	Term     string
	Zone     string // name of its time zone, such as Europe/Oslo
	JoinCode string // what students on the roster join with; one class has it; empty closes joining
	MadeAt   time.Time
}
