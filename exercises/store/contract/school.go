package contract

import (
	"context"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

// A School keeps classes: people, their sessions and links, classes with their
// members and assignments, marks and the log.
type School interface {
	People
	Sessions
	Links
	Classes
	Members
	Assignments
	Marks
	ShownPages
	Log
	Presence
	Dossiers
	Writing
}

// People keeps accounts and the hashes of their passwords.
type People interface {
	// AddPerson keeps a new person; a taken ID, sign-in name or SourcedID is
	// ErrTaken. UpdatePerson changes everything but ID and Password.
	AddPerson(ctx context.Context, p class.Person) error
	UpdatePerson(ctx context.Context, p class.Person) error
	Person(ctx context.Context, id string) (class.Person, error)
	PersonBySignIn(ctx context.Context, signIn string) (class.Person, error)
	PersonBySourcedID(ctx context.Context, sourced string) (class.Person, error)
	PersonByFeed(ctx context.Context, feed string) (class.Person, error)
	HasInstructor(ctx context.Context) (bool, error)

	// SetPassword changes a password and ends all sessions and one-time links
	// of the person.
	SetPassword(ctx context.Context, person, encoded string) error
	// Rehash replaces the encoded hash of a password by another hash of the same
	// password, which ends nothing. If it is not was any more, nothing changes.
	Rehash(ctx context.Context, person, was, encoded string) error
}

// Sessions keeps which devices are signed in.
type Sessions interface {
	OpenSession(ctx context.Context, s class.Session) error
	// SessionOf returns a session that has not ended at a time, with its person.
	SessionOf(ctx context.Context, hash string, now time.Time) (class.Session, class.Person, error)
	TouchSession(ctx context.Context, hash string, seen, ends time.Time) error
	EndSession(ctx context.Context, hash string) error
	EndSessions(ctx context.Context, person string) error
}

// Links keeps one-time links and does what they are for.
type Links interface {
	// PutLink keeps a link. One ForEntry ends earlier ones of the same person; it
	// is ErrElsewhere if the person has a password and who made the link, if
	// anyone, is not staff of the class that looks after the account. One ForSetUp ends earlier ones,
	// and is ErrTaken where there is an instructor.
	PutLink(ctx context.Context, l class.Link) error
	// LinkOf returns a link that still works at a time, or ErrSpent.
	LinkOf(ctx context.Context, hash string, now time.Time) (class.Link, error)
	// Redeem uses a link up, in one transaction with what it is for. ForSetUp
	// and ForColleague p becomes an instructor (of the link's class, if it has
	// one); ForColleague one who is an instructor already, by the ID, stays as
	// they are and joins the class. ForEntry the person of the link gets p.Password, and all their
	// sessions end. ErrSpent if the link does not work any more, ErrTaken as for
	// AddPerson. It returns the person as kept.
	Redeem(ctx context.Context, hash string, p class.Person, now time.Time) (class.Person, error)
	// Claim sets the first password of a person on the roster of a class, for
	// a person who has the class's join code. ErrSpent if the code is not that of
	// the class, the person is not a student of it or has left, or has a password.
	Claim(ctx context.Context, code, person, encoded string) error
}

// Classes keeps classes and their settings.
type Classes interface {
	// AddClass keeps a class with its staff and, where it is copied from
	// another, its assignments.
	AddClass(ctx context.Context, c class.Class, staff []string, assigned []class.Assignment, e class.Entry) error
	UpdateClass(ctx context.Context, c class.Class, e class.Entry) error
	Class(ctx context.Context, id string) (class.Class, error)
	ClassByCode(ctx context.Context, code string) (class.Class, error)
	// ClassesOf returns a person's classes and what the person is in each, those
	// left included, the newest first.
	ClassesOf(ctx context.Context, person string) ([]class.Class, []class.Member, error)
}

// Members keeps the students and the staff of each class.
type Members interface {
	// Members returns everybody in a class, those who have left included,
	// ordered by name, then ID.
	Members(ctx context.Context, class string) ([]class.Person, []class.Member, error)
	Member(ctx context.Context, class, person string) (class.Member, error)
	// Home returns the class that looks after a student's account: of those the
	// student is in and has not left, the one come into first; empty if there is
	// none. So no one gets an account into their hands by putting its student on a
	// further roster.
	Home(ctx context.Context, student string) (class string, err error)
	// Enrol keeps what a roster changes, all or nothing: new people, changed
	// people (Name, Email, SourcedID, SignIn) and members, who are added or
	// changed. ErrTaken as for AddPerson, but changed people may swap names.
	// ErrOwnOut if a class that has staff would have none left.
	Enrol(ctx context.Context, added, changed []class.Person, members []class.Member, e class.Entry) error
}

// Assignments keeps assignments, the texts that they freeze, and extensions.
type Assignments interface {
	// AddAssignment keeps an assignment with the text it freezes.
	AddAssignment(ctx context.Context, a class.Assignment, text class.Frozen, e class.Entry) error
	// UpdateAssignment changes everything but ID, Class, Lesson and Text, and
	// raises Revision by one.
	UpdateAssignment(ctx context.Context, a class.Assignment, e class.Entry) error
	Assignment(ctx context.Context, id string) (class.Assignment, error)
	// Assignments returns those of a class, by Due, then ID; withdrawn included.
	Assignments(ctx context.Context, class string) ([]class.Assignment, error)
	Frozen(ctx context.Context, hash string) (class.Frozen, error)
	// FrozenImage returns an image of a frozen text. It is ErrNone for a text that was
	// frozen before images were.
	FrozenImage(ctx context.Context, hash, name string) ([]byte, error)
	// SetExtension keeps an extension in place of an earlier one; one with a zero
	// Due ends it. Extensions returns those of an assignment by person.
	SetExtension(ctx context.Context, x class.Extension, e class.Entry) error
	Extensions(ctx context.Context, assignment string) ([]class.Extension, error)
}

// Marks reads the work from which marks are computed, keeps marks set by hand, and
// replaces verdicts when a lesson is regraded.
type Marks interface {
	// AttemptsIn, PredictionsIn and HintsIn return everybody's under one name of
	// a lesson (see Key), in the order they were made.
	AttemptsIn(ctx context.Context, lesson string) ([]store.Attempt, error)
	PredictionsIn(ctx context.Context, lesson string) ([]store.Prediction, error)
	HintsIn(ctx context.Context, lesson string) ([]store.Hint, error)
	// Override keeps a mark set by hand. Overrides returns all of an assignment,
	// the oldest first.
	Override(ctx context.Context, o class.Override, e class.Entry) error
	Overrides(ctx context.Context, assignment string) ([]class.Override, error)
	// Regrade gives an assignment another text and its attempts other verdicts,
	// in one transaction, and raises Revision by one. The time is that of the
	// entry. ErrNone, and nothing is kept, if one of the attempts is not there.
	// about are further entries, about the students whose marks change.
	Regrade(ctx context.Context, assignment string, text class.Frozen, remarks []class.Regrade, e class.Entry, about ...class.Entry) error
	// Regraded returns the attempts of a lesson as they were before each time
	// they were marked again, the oldest first.
	Regraded(ctx context.Context, lesson string) ([]store.Attempt, error)
}

// ShownPages keeps which pages of their own students show to the instructors of a
// class, and what those answer. A page that is deleted is not shown, and is again when
// it is brought back. Who leaves a class no longer shows anything there.
type ShownPages interface {
	// ShowPage begins to show a page. ErrNone if the person is not a student of the
	// class or the page is not there; ErrShownFull with most pages of the person that
	// are shown to the class. One that is shown already stays as it is.
	ShowPage(ctx context.Context, p class.ShownPage, most int, e class.Entry) error
	// HidePage ends it. A page that is not shown is ErrNone.
	HidePage(ctx context.Context, class, person, page string, e class.Entry) error
	// ShownIn returns what a person shows to a class, or with an empty person what
	// everybody does, the one shown last first. ShownTo
	// returns the classes to which one page is shown, by class.
	ShownIn(ctx context.Context, class, person string) ([]class.ShownPage, error)
	ShownTo(ctx context.Context, person, page string) ([]class.ShownPage, error)
	// ShownPage returns a page with its text, or ErrNone if it is not shown to the class.
	ShownPage(ctx context.Context, class, person, page string) (store.Page, error)
	// AddNote keeps an answer on a page that is shown to its class. With most answers
	// on the page it is ErrShownFull. The same note again changes nothing.
	AddNote(ctx context.Context, n class.PageNote, most int, e class.Entry) error
	// Notes returns the answers on a page, the oldest first; with in, only those of a class.
	Notes(ctx context.Context, in, person, page string) ([]class.PageNote, error)
	// RemoveNote deletes an answer of a class on a person's page.
	RemoveNote(ctx context.Context, class, person, id string, e class.Entry) error
}

// Log keeps the audit log of each class.
type Log interface {
	// Log returns the audit log of a class, the newest first, from before an
	// ID; 0 is the newest. With about, only the entries about that person.
	Log(ctx context.Context, class, about string, before int64, limit int) ([]class.Entry, error)
	// Note writes to the log what changes nothing else, such as an export.
	Note(ctx context.Context, e class.Entry) error
}

// Presence keeps which lesson each person is in, and reports where work arrives.
type Presence interface {
	// Here keeps where a person is; Present returns who was in a lesson since a
	// time, by person.
	Here(ctx context.Context, p class.Presence) error
	Present(ctx context.Context, lesson string, since time.Time) ([]class.Presence, error)
	// Watch sends the names of lessons (see Key) in which an attempt, a
	// prediction, a hint, an override, a remark or a presence was kept, by this
	// server or another on the same database, soon after it was. Empty means
	// that something may have been missed: look again at everything. The channel
	// is closed when ctx or the store ends. A lesson that is read freely (no
	// assignment in its name) is not told. A watcher that does not keep up gets one empty
	// name for those it missed.
	Watch(ctx context.Context) (<-chan string, error)
	// Tell sends a name to all who watch, at all servers on the database. A name that
	// is not a lesson's has no tilde.
	Tell(ctx context.Context, name string) error
}

// Dossiers collects, and deletes, everything that is kept about one person.
type Dossiers interface {
	// Dossier returns everything that is kept about a person, but for the
	// password, sessions and links.
	Dossier(ctx context.Context, person string) (class.Dossier, error)
	// Erase deletes a person and all their work permanently. Entries of the log
	// about the person stay, without the person and with an empty Detail.
	// ErrStaff for an instructor. What the person was sending meanwhile, or sends
	// later, is store.ErrErased and not kept.
	Erase(ctx context.Context, person string, e class.Entry) error
}
