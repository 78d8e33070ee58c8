package page

import "html/template"

// A Practice is the page of an exercise with numbers that are not the marked ones.
type Practice struct {
	ID, Title string
	Set       int // which numbers
	FormToken string
	Question  template.HTML
	Parts     []PracticePart
	IsDone    bool   // everything is right, or the solution was asked for
	OneSet    string // why there are no numbers to practise with; empty where there are

	Action string // where answers go
	Other  string // the address of other numbers
	Back   string // the exercise with the marked numbers
	Lesson string // its title
}

// A PracticePart is one thing that is asked, with what marking says of the answer.
type PracticePart struct {
	Name          string
	Label, Sign   template.HTML
	Help          string
	Options       []Option
	Answer        string
	Said          *Said
	Choices       []Choice
	Hints         []template.HTML
	Solution      template.HTML
	Worked        *Worked
	Slip, Reading string // recognised, and as understood; they are not shown
}

// A PracticePage is the whole page.
type PracticePage struct {
	Frame
	Practice
}
