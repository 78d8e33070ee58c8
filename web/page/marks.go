package page

import (
	"html/template"
	"strings"
	"unicode/utf8"
)

// A Marks is the marks sheet of a class: everybody in all assignments or, where
// one is chosen, in its exercises.
type Marks struct {
	ClassFrame
	Choices []MarksChoice
	Chosen  string // title of the assignment that is shown alone, or empty
	Note    string // its due time and state
	Many    bool   // more columns than a sheet of the usual width holds
	Heads   []MarksHead
	Rows    []MarksRow
	Left    []MarksRow // who have left the class
	Totals  bool       // rows have a total
	Legend  []MarksSign
}

// Columns is how many columns the table has.
func (m Marks) Columns() int {
	n := 1 + len(m.Heads)
	if m.Totals {
		n++
	}
	return n
}

// A MarksChoice is one of the assignments that a page can show, or all of them.
type MarksChoice struct {
	Label, Value string
	Current      bool
}

// A MarksHead is the heading of a column.
type MarksHead struct {
	Title, Path string
	Of          string // full points of nearly everybody, or empty
	Due         string
	State       string // what holds for the whole column: not due yet, withdrawn
}

// A MarksRow is one student.
type MarksRow struct {
	Name, Path, Section string
	Total               Decimal // percent, or empty where nothing counts yet
	Cells               []MarksCell
}

// longLabel is how many characters a name and a group may have before they are cut to
// some lines; the page of the student has them whole.
const longLabel = 60

// Long reports whether the name or the group has to be cut.
func (r MarksRow) Long() bool {
	return max(utf8.RuneCountInString(r.Name), utf8.RuneCountInString(r.Section)) > longLabel
}

// A MarksCell is what a student has in one column.
type MarksCell struct {
	Decimal
	Of    string // full points where they are not those of the heading
	Path  string // to how it came about; empty for a share
	Signs []MarksSign
	Soft  bool // it does not count
}

// Letters are the signs as they stand in the cell.
func (c MarksCell) Letters() string {
	var b strings.Builder
	for _, s := range c.Signs {
		b.WriteString(s.Letter)
	}
	return b.String()
}

// A MarksSign is a superior letter in a cell, with what it means.
type MarksSign struct{ Letter, Word, Meaning string }

// The signs of marks, in the order in which they stand.
var (
	SignNoWork    = MarksSign{"n", "no work", "the assignment is due and nothing has been answered"}
	SignNotDue    = MarksSign{"d", "not due yet", "not yet due for this student; it does not count towards the total"}
	SignExtension = MarksSign{"e", "extension", "the student has an extension"}
	SignLate      = MarksSign{"l", "late", "an answer that counts came after the due time"}
	SignByHand    = MarksSign{"h", "by hand", "an instructor has set the points of an exercise"}

	MarksSigns = []MarksSign{SignNoWork, SignNotDue, SignExtension, SignLate, SignByHand}
)

// A Decimal is a number in a column, with the digits that it lacks after the
// decimal sign: written unseen, they align the column at the sign.
type Decimal struct{ Text, Free string }

// AlignDecimals fills in what each number of a column lacks.
func AlignDecimals(column []*Decimal) {
	digits := func(d *Decimal) int {
		_, fraction, _ := strings.Cut(d.Text, ".")
		return len(fraction)
	}
	most := 0
	for _, d := range column {
		most = max(most, digits(d))
	}
	for _, d := range column {
		n := digits(d)
		d.Free = strings.Repeat("0", most-n)
		if n == 0 && most > 0 {
			d.Free = "." + d.Free
		}
	}
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
