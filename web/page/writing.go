package page

import "html/template"

// A Finding is one thing to mend, or to look at, in the text of a lesson.
type Finding struct {
	Line, Column int // from 1; 0 for what is said of the whole file
	At           int // the line of the block that it belongs to
	Note         bool
	Message      string
	Repair       string // may be empty
}

// Findings are what is to be said of a lesson that is written.
type Findings struct {
	List     []Finding
	Faults   int
	Checking bool // more may come
}

// WritingHead stands above a lesson that is written.
type WritingHead struct {
	Slug, Title, File string
	Findings          Findings
	As                string // how the page is shown: "", "student", "paper"
	Student           int    // whose numbers it shows, with As student
	Students          int    // the last of those that can be chosen
	Exercises         []WritingExercise
}

// A WritingExercise leads to the numbers of an exercise.
type WritingExercise struct{ Title, Path string }

// Writing lists the lessons that are written.
type Writing struct {
	Frame
	Folder  string
	Lessons []WrittenLesson
	Files   []WrittenFile // other files of which something is to be said
}

// A WrittenLesson is one line of the list.
type WrittenLesson struct {
	Title, Slug, File string
	Faults, Notes     int
	Checking          bool
}

// A WrittenFile is another file of the folder.
type WrittenFile struct {
	Name     string
	Findings []Finding
}

// WritingPhone shows a lesson as in the narrow window of a phone.
type WritingPhone struct {
	Frame
	Slug, Heading, Framed string
}

// WritingNumbers is the table of the numbers of an exercise.
type WritingNumbers struct {
	Frame
	Slug, Heading, Exercise string
	Class                   string // whose students they are, or empty
	Classes                 []Linked
	Parts                   []NumbersPart
	Trouble                 string // why there are none
	Collisions              int    // learners with a slip that cannot be told from another one or from the answer
}

// A NumbersPart is the table of one part of an exercise.
type NumbersPart struct {
	Name    string
	Ask     template.HTML
	Slips   []string // the heads of the columns
	Rows    []NumbersRow
	Bounded bool
}

// A NumbersRow is what one learner is asked and what is expected.
type NumbersRow struct {
	Learner string
	Path    string // the lesson with these numbers; empty for the students of a class
	Given   []template.HTML
	Answer  string
	From    string // the least and the greatest value that is marked right; both
	To      string // are empty where there is no tolerance
	Low     string
	High    string
	Slips   []NumbersSlip
	Trouble string
}

// A NumbersSlip is what a slip leads to; Meets names what it cannot be told from.
type NumbersSlip struct{ Values, Meets string }
