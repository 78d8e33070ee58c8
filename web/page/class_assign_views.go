package page

import "shaftbook/exercises/class"

// An AssignList is the page of what is assigned to a class, with the shelf to
// assign from.
type AssignList struct {
	ClassFrame
	Zone     string // of the class
	Assigned []AssignLine
	Shelf    []AssignChoice
}

// An AssignLine is one assignment of the list.
type AssignLine struct {
	Title, Path        string
	Lesson, LessonPath string
	Opens, Due, State  string
	Room, Marks        string // addresses; of the live view empty where nobody can work
	Withdrawn          bool
	Changed            bool // the lesson's file has changed since
}

// An AssignChoice is one lesson that can be assigned.
type AssignChoice struct {
	Title, Slug string
	Exercises   int
}

// An AssignNew is the page on which a lesson is assigned.
type AssignNew struct {
	ClassFrame
	Heading, Lesson string // title of the lesson, and its address
	Refused         []AssignFault
	Form            AssignForm
}

// An AssignFault is why a lesson cannot be assigned as it is.
type AssignFault struct{ Place, Message, Repair string }

// An AssignForm is the form of an assignment's terms.
type AssignForm struct {
	Action, Button string
	Lesson         string // slug, of a new assignment
	Fields         []ClassField
	Exercises      []AssignExercise
	ExercisesWrong string
	Test           bool   // no practice before it closes
	Heard          string // what the page says of the times that are in the fields
	Look           string // asks to look at the form once more before it is taken
}

// An AssignExercise is an exercise to be chosen.
type AssignExercise struct {
	ID, Title, Says string
	Picked          bool
}

// An AssignmentPage is the page of one assignment for its instructors.
type AssignmentPage struct {
	ClassFrame
	Heading, State string
	Leads          []ClassWay // to what there is of the assignment
	Base           string     // address of the page
	Withdrawn      bool
	Form           AssignForm
	Extensions     []AssignExtension
	Extend         []ClassField // times of one student
	Students       []AssignStudent
	StudentWrong   string
	ExtendHeard    string // what the page says of the times that are in the fields
	ExtendLook     string
	Text           AssignText
}

// An AssignExtension is one student with other times.
type AssignExtension struct{ Student, Due, Closes, Reason, By, End string }

// An AssignStudent is a student to be chosen.
type AssignStudent struct {
	ID, Name string
	Chosen   bool
}

// An AssignText is the text that a class works at, beside that of the file.
type AssignText struct {
	Since, Hash string
	Gone        bool // no such lesson is on the shelf
	Changed     bool
	File        string
	Lines       []AssignChange
	Recompute   string // address of the page that gives it the file's text
}

// An AssignChange is one line of a comparison of two texts.
type AssignChange struct {
	Sign     string // "-", "+" or ""
	Word     string // "taken out", "put in" or ""
	Old, New int    // its number in either text, 0 if it is not there
	Text     string
	Pieces   []class.LinePiece // of Text, where some of it is in the other text too
	Parted   bool              // lines that are the same were left out before it
}

// A changeTable is a comparison with the names of the two texts.
type changeTable struct {
	Lines             []AssignChange
	Old, New, Caption string
}

func newChanges(lines []AssignChange, before, after, caption string) changeTable {
	return changeTable{lines, before, after, caption}
}

// An AssignRegrade shows what changes when a class gets the text of the file.
type AssignRegrade struct {
	ClassFrame
	Heading, Base, File string
	Stale               bool          // what was shown before is not what would be done now
	Refused             []AssignFault // why the file cannot be given
	Same                bool          // the text is the one that the class has
	Lines               []AssignChange
	Answers             int // that are judged again
	Changed             int // of them judged otherwise
	Marks               []AssignRegraded
	Kept                []AssignKept
	Notes               []string
	Shown               string // fingerprint of all this
}

// An AssignRegraded is one student's mark at one exercise that changes, or of
// which an answer is judged otherwise.
type AssignRegraded struct {
	Student, Exercise string
	Old, New          string // "2 of 3"
	Answers           []string
}

// An AssignKept counts answers that cannot be judged again.
type AssignKept struct {
	Student, Exercise, Why string
	Answers                int
}
