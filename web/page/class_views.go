package page

import (
	"slices"

	"shaftbook/kernel/words"
)

// A ClassField is one field of a form on a page of a class.
type ClassField struct {
	Name, Label, Value string
	Type               string // of the input
	Help               string
	Wrong              string // why the value was not taken
	Optional           bool
	Fixed              bool   // shown, not to be changed
	Fill               string // what a browser may fill in (autocomplete); empty is nothing
}

// A ClassList is the page of a person's classes.
type ClassList struct {
	Frame
	Classes []ClassLine
	Form    []ClassField // to make one; none if the person may not
}

// A ClassLine is one class of the list.
type ClassLine struct {
	Name, Term, Path string
	Role             string
	Students         int
	NextDue          string
}

// A ClassOverview is the first page of a class.
type ClassOverview struct {
	ClassFrame
	Assignments []ClassAssignment
	Students    int
	JoinCode    string
	JoinAt      string // the whole address, to be read out or shown
	Zone        string
	Form        []ClassField // of its name, term and time zone
	FormOpen    bool         // what was typed there was not taken
	Staff       []ClassColleague
	Shown       []ShownLine // pages that students show, the newest
	MoreShown   int         // beyond them
	Link        string      // for a colleague, shown once
	LinkEnds    string
}

// A ClassAssignment is one assignment of the overview.
type ClassAssignment struct {
	Title, Path     string
	Room            string // address of the live view, or empty
	Due, State      string
	Withdrawn       bool
	Changed         bool // the lesson's file has changed since
	Begun, Finished int
}

// A ClassColleague is one instructor of a class.
type ClassColleague struct {
	Name, Out string // Out is the address that takes the instructor out, or empty
	Self      bool   // is who looks at the page
}

// A ClassRoster is the page of the people of a class.
type ClassRoster struct {
	ClassFrame
	Students []ClassStudentLine
	Waiting  int          // who have not come in yet
	Add      []ClassField // to add one person by hand
	Import   ClassImport
}

// A ClassImport is the form that brings in a roster, with why it was not taken.
type ClassImport struct {
	Text, Only, Wrong string
	Whole             bool
	Limit             string // of all files together
}

// A ClassStudentLine is one student of the roster.
type ClassStudentLine struct {
	Name, Section, SignIn, State, Path string
	Left                               bool
}

// A ClassPreview shows what taking in a roster would do.
type ClassPreview struct {
	ClassFrame
	Groups      []ClassGroup
	Same        int
	Bad         []ClassBad
	Held        bool
	Elsewhere   []string // names of people whose particulars stay as another class has them
	Notes       []string
	Carried     string
	Fingerprint string
	Whole       bool
	Stale       bool // what was shown before is not what would be done now
	Leaving     int  // students who would be removed
}

// ApplyWords are the words of the button that makes the changes. It names the
// removal of students, the change that costs most.
func (v ClassPreview) ApplyWords() string {
	if v.Leaving == 0 {
		return "Apply changes"
	}
	return "Remove " + words.Count(v.Leaving, "student") + " and apply"
}

// A ClassGroup is the people to whom the same happens.
type ClassGroup struct {
	Heading string
	People  []ClassChanged
}

// Changes reports whether a person's value changes.
func (g ClassGroup) Changes() bool {
	return slices.ContainsFunc(g.People, func(p ClassChanged) bool { return len(p.Changes) > 0 })
}

// A ClassChanged is one person with what changes.
type ClassChanged struct {
	Name, SignIn, Section string
	Changes               []ClassChange
}

// A ClassChange is one value that changes.
type ClassChange struct{ Field, Old, New string }

// A ClassBad is a line that cannot be taken.
type ClassBad struct {
	File   string
	Number int
	Text   string
	Why    string
}

// Nothing reports whether taking the roster in changes nothing.
func (p ClassPreview) Nothing() bool { return len(p.Groups) == 0 }

// A ClassStudent is the page of one student of a class.
type ClassStudent struct {
	ClassFrame
	Student           string // ID
	Name, State       string
	Left, HasPassword bool
	Elsewhere         bool   // another class looks after the account
	Base              string // address of the page
	Form              []ClassField
	Marks             []ClassMarkWay
	Shown             []ShownLine
	Link, LinkEnds    string   // shown once
	Others            []string // classes of the student beside this
	Erasable          bool     // all of them are the visitor's own
	EraseWrong        string
}

// A ClassMarkWay is what a student has in one assignment, with the address of how it
// came about.
type ClassMarkWay struct {
	Title, Path, Due string
	Points, Full     string // empty until the assignment opens
	Share            string // percent once it counts, or why none is said
	Extension        bool   // the due time is the student's own
	Withdrawn        bool
}

// A ClassCopy is the page on which a class is copied to a new term.
type ClassCopy struct {
	ClassFrame
	Form  []ClassField
	Staff bool
	Dates []ClassMoved
	Ready bool // the dates shown are those of the form
	Days  int
}

// A ClassMoved is one assignment with the times before and after.
type ClassMoved struct{ Title, Opens, Due, Closes, OldDue string }
