package page

import "html/template"

// A Marks is the marks sheet of a class: everybody in all assignments or, where
// one is chosen, in its exercises.
type Marks struct {
	ClassFrame
	Choices []MarksChoice
	Chosen  string // title of the assignment that is shown alone, or empty
	Groups  []MarksGroup
	Rows    []MarksRow
	Left    []MarksRow // who have left the class
	Columns int        // of the table in all
}

// A MarksChoice is a link to one of the ways to show the sheet.
type MarksChoice struct {
	Label, Path string
	Current     bool
}

// A MarksGroup is the columns of one assignment, or of its exercises.
type MarksGroup struct {
	Title, Path, Note string
	Columns           []string // their headings
}

// A MarksRow is one student.
type MarksRow struct {
	Name, Path, Section string
	Cells               []MarksCell // those of all groups
	Total               string      // percent, or empty where nothing counts yet
}

// A MarksCell is what a student has in one column.
type MarksCell struct {
	Points, Full string
	Path         string // to how it came about
	Signs        []string
	Share        string // percent of an assignment; the cell then holds no points
	Soft         bool   // it does not count
}

// A MarkPage is the page of one student's work in one assignment: how the points
// came about, and the forms that set them by hand.
type MarkPage struct {
	ClassFrame
	Student, StudentPath string
	Left                 bool
	Heading              string // the assignment
	Table, Lesson        string // addresses of its marks and of the lesson
	Answers              string // address of the right answers to the student's numbers, or empty
	Points, Full, Share  string
	Due, Closes          string
	Own                  string // why the times are the student's own, or empty
	Path                 string // of the page itself
	Exercises            []MarkExercise
}

// A MarkExercise is one exercise of the page.
type MarkExercise struct {
	ID, Title    string
	Points, Full string
	Fault        string        // why it cannot be set, or empty
	Override     *MarkOverride // that stands
	Marking      string        // points without it
	Way          string        // in which it is set, or empty
	Numbers      []template.HTML
	Guesses      []MarkPrediction
	Parts        []MarkPart
	Practice     int            // answers with practice numbers
	History      []MarkOverride // all overrides, the latest first
	Form         []ClassField
	Open         bool // what is wrong with the form has to be seen
}

// A MarkOverride is a mark that was set by hand, or its end.
type MarkOverride struct {
	Points, Reason, By, When string
	Withdrawn                bool
}

// A MarkPrediction is a prediction.
type MarkPrediction struct {
	Label      template.HTML
	Text, When string
}

// A MarkPart is one part of an exercise.
type MarkPart struct {
	Label        template.HTML
	Points, Full string
	Steps        []string // how the points came about
	Hints        []string // when each was shown
	Attempts     []MarkAttempt
}

// A MarkAttempt is one answer.
type MarkAttempt struct {
	Number        int
	When, Late    string
	Answer        string
	Verdict, Slip string
	Message       string
	Points        string
	Counts, Free  bool
	Before        []MarkBefore // what marking said before it was done again, the oldest first
}

// A MarkBefore is what marking said of an answer before.
type MarkBefore struct{ Verdict, Slip, Message, Points string }
