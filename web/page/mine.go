package page

import "html/template"

// A Mine is the page of a student's own work in all classes.
type Mine struct {
	Frame
	Classes []MineClass
	Teaches bool // the reader may make classes
}

// A MineClass is one class that the student is in.
type MineClass struct {
	ID, Name, Term string
	Total          string // percent of what is due, or empty
	Works          []MineWork
}

// A MineWork is one assignment.
type MineWork struct {
	Title, Lesson string // the address of the lesson, empty until it opens
	Words         []string
	Points, Full  string
	Share         string // percent once it counts, or why none is said
	Exercises     []MineExercise
	Begun         bool
}

// A MineExercise is one exercise of an assignment, with what the student has.
type MineExercise struct {
	Title, Path  string
	Points, Full string
	Late, Begun  bool
	Fault        bool // it cannot be set
	Override     *MarkOverride
	Marking      string // points without the override
	Parts        []MinePart
}

// A MinePart shows how the points of a part came about.
type MinePart struct {
	Label template.HTML
	Steps []string
}
