package class

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"time"

	"shaftbook/exercises/store"
)

// The refusals of a class store, beside those of package record.
const (
	ErrNone      = store.Refusal("class: there is no such thing")
	ErrTaken     = store.Refusal("class: somebody else has that name or identifier")
	ErrSpent     = store.Refusal("class: the link or code was used, has run out or never was")
	ErrStaff     = store.Refusal("class: an instructor's account cannot be touched this way")
	ErrElsewhere = store.Refusal("class: another class looks after the account")
	ErrOwnOut    = store.Refusal("class: a class keeps at least one instructor")
)

// HashText names a text: SHA-256, hexadecimal.
func HashText(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

// A Store keeps classes. It promises what record.Store does: it is safe for
// concurrent use, and a method that writes returns without error only when what
// it wrote is durable. A method that takes an Entry writes it to the audit log
// in the same transaction; an Entry without an Action is not written. What is
// not there is ErrNone; a slice is empty where there is nothing.
type Store interface {
	// People.

	// AddPerson keeps a new person; a taken ID, sign-in name or SourcedID is
	// ErrTaken. UpdatePerson changes everything but ID and Password.
	AddPerson(ctx context.Context, p Person) error
	UpdatePerson(ctx context.Context, p Person) error
	Person(ctx context.Context, id string) (Person, error)
	PersonBySignIn(ctx context.Context, signIn string) (Person, error)
	PersonBySourcedID(ctx context.Context, sourced string) (Person, error)
	PersonByFeed(ctx context.Context, feed string) (Person, error)
	HasInstructor(ctx context.Context) (bool, error)

	// SetPassword changes a password and ends all sessions and one-time links
	// of the person.
	SetPassword(ctx context.Context, person, encoded string) error
	// Rehash replaces the encoded hash of a password by another hash of the same
	// password, which ends nothing. If it is not was any more, nothing changes.
	Rehash(ctx context.Context, person, was, encoded string) error

	// Sessions.

	OpenSession(ctx context.Context, s Session) error
	// SessionOf returns a session that has not ended at a time, with its person.
	SessionOf(ctx context.Context, hash string, now time.Time) (Session, Person, error)
	TouchSession(ctx context.Context, hash string, seen, ends time.Time) error
	EndSession(ctx context.Context, hash string) error
	EndSessions(ctx context.Context, person string) error

	// One-time links.

	// PutLink keeps a link. One ForEntry ends earlier ones of the same person; it
	// is ErrElsewhere if the person has a password and who made the link, if
	// anybody, is not staff of the class that looks after the account. One ForSetUp ends earlier ones,
	// and is ErrTaken where there is an instructor.
	PutLink(ctx context.Context, l Link) error
	// LinkOf returns a link that still works at a time, or ErrSpent.
	LinkOf(ctx context.Context, hash string, now time.Time) (Link, error)
	// Redeem uses a link up, in one transaction with what it is for. ForSetUp
	// and ForColleague p becomes an instructor (of the link's class, if it has
	// one); ForColleague one who is an instructor already, by the ID, stays as
	// they are and joins the class. ForEntry the person of the link gets p.Password, and all their
	// sessions end. ErrSpent if the link does not work any more, ErrTaken as for
	// AddPerson. It returns the person as kept.
	Redeem(ctx context.Context, hash string, p Person, now time.Time) (Person, error)
	// Claim sets the first password of a person on the roster of a class, for
	// somebody who has the class's join code. ErrSpent if the code is not that of
	// the class, the person is no student of it or has left, or has a password.
	Claim(ctx context.Context, code, person, encoded string) error

	// Classes and members.

	// AddClass keeps a class with its staff and, where it is copied from
	// another, its assignments.
	AddClass(ctx context.Context, c Class, staff []string, assigned []Assignment, e Entry) error
	UpdateClass(ctx context.Context, c Class, e Entry) error
	Class(ctx context.Context, id string) (Class, error)
	ClassByCode(ctx context.Context, code string) (Class, error)
	// ClassesOf returns a person's classes and what the person is in each, those
	// left included, the newest first.
	ClassesOf(ctx context.Context, person string) ([]Class, []Member, error)
	// Members returns everybody in a class, those who have left included,
	// ordered by name, then ID.
	Members(ctx context.Context, class string) ([]Person, []Member, error)
	Member(ctx context.Context, class, person string) (Member, error)
	// Home returns the class that looks after a student's account: of those the
	// student is in and has not left, the one come into first; empty if there is
	// none. So nobody gets an account into their hands by putting its student on a
	// further roster.
	Home(ctx context.Context, student string) (class string, err error)
	// Enrol keeps what a roster changes, all or nothing: new people, changed
	// people (Name, Email, SourcedID, SignIn) and members, who are added or
	// changed. ErrTaken as for AddPerson, but changed people may swap names.
	// ErrOwnOut if a class that has staff would have none left.
	Enrol(ctx context.Context, added, changed []Person, members []Member, e Entry) error

	// Assignments.

	// AddAssignment keeps an assignment with the text it freezes.
	AddAssignment(ctx context.Context, a Assignment, text Frozen, e Entry) error
	// UpdateAssignment changes everything but ID, Class, Lesson and Text, and
	// raises Revision by one.
	UpdateAssignment(ctx context.Context, a Assignment, e Entry) error
	Assignment(ctx context.Context, id string) (Assignment, error)
	// Assignments returns those of a class, by Due, then ID; withdrawn included.
	Assignments(ctx context.Context, class string) ([]Assignment, error)
	Frozen(ctx context.Context, hash string) (Frozen, error)
	// SetExtension keeps an extension in place of an earlier one; one with a zero
	// Due ends it. Extensions returns those of an assignment by person.
	SetExtension(ctx context.Context, x Extension, e Entry) error
	Extensions(ctx context.Context, assignment string) ([]Extension, error)

	// Marks.

	// AttemptsIn, PredictionsIn and HintsIn return everybody's under one name of
	// a lesson (see Key), in the order they were made.
	AttemptsIn(ctx context.Context, lesson string) ([]store.Attempt, error)
	PredictionsIn(ctx context.Context, lesson string) ([]store.Prediction, error)
	HintsIn(ctx context.Context, lesson string) ([]store.Hint, error)
	// Override keeps a mark set by hand. Overrides returns all of an assignment,
	// the oldest first.
	Override(ctx context.Context, o Override, e Entry) error
	Overrides(ctx context.Context, assignment string) ([]Override, error)
	// Regrade gives an assignment another text and its attempts other verdicts,
	// in one transaction, and raises Revision by one. The time is that of the
	// entry. ErrNone, and nothing is kept, if one of the attempts is not there.
	// about are further entries, about the students whose marks change.
	Remark(ctx context.Context, assignment string, text Frozen, remarks []Regrade, e Entry, about ...Entry) error
	// Remarked returns the attempts of a lesson as they stood before each time
	// they were marked again, the oldest first.
	Remarked(ctx context.Context, lesson string) ([]store.Attempt, error)

	// Log returns the audit log of a class, the newest first, from before an
	// ID; 0 is the newest. With about, it is what was done about that person.
	Log(ctx context.Context, class, about string, before int64, limit int) ([]Entry, error)
	// Note writes to the log what changes nothing else, such as an export.
	Note(ctx context.Context, e Entry) error

	// The room.

	// Here keeps where a person is; Present returns who was in a lesson since a
	// time, by person.
	Here(ctx context.Context, p Presence) error
	Present(ctx context.Context, lesson string, since time.Time) ([]Presence, error)
	// Watch tells the names of lessons (see Key) in which an attempt, a
	// prediction, a hint, an override, a remark or a presence was kept, by this
	// server or another on the same database, soon after it was. Empty means
	// that something may have been missed: look again at everything. The channel
	// is closed when ctx or the store ends. A lesson that is read freely (no
	// assignment in its name) is not told. A watcher that does not keep up gets one empty
	// name for those it missed.
	Watch(ctx context.Context) (<-chan string, error)

	// One person's data.

	// Dossier returns everything that is kept about a person, but for the
	// password, sessions and links.
	Dossier(ctx context.Context, person string) (Dossier, error)
	// Erase deletes a person and all their work for good. Entries of the log
	// about the person stay, without the person and with an empty Detail.
	// ErrStaff for an instructor. What the person was sending meanwhile, or sends
	// later, is record.ErrErased and not kept.
	Erase(ctx context.Context, person string, e Entry) error
}

// A Dossier is everything that is kept about one person.
type Dossier struct {
	Person      Person
	Members     []Member
	Extensions  []Extension
	Overrides   []Override
	Attempts    []store.Attempt
	Remarked    []store.Attempt
	Predictions []store.Prediction
	Hints       []store.Hint
	Workings    map[string]store.Working // by the lesson's name
	Entries     []Entry                  // of the log, about the person
}

// A WorkStore keeps learners' work and classes in one database, as those of
// package sqlstore do.
type WorkStore interface {
	store.Store
	Store
}
