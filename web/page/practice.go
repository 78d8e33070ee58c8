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
	Held      string // why the worked solution is not shown yet; empty where it may be
	OneSet    string // why there are no numbers to practise with; empty where there are

	Action string // where answers go
	Other  string // the address of other numbers
	Back   string // the exercise with the marked numbers
	Lesson string // its title

	Mixed *MixedStep // of a practice of several lessons; else nil
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

// A MixedStep is one exercise of a practice of several lessons.
type MixedStep struct {
	Number, Of int    // of the sitting; Of is 0 beyond its end
	Kept       string // what came of it; empty before
	Last       bool   // whether the sitting is over with it
	Next, Stop string // addresses
}

// Mixed is the page that says what there is to practise.
type Mixed struct {
	Frame
	Due, New, Hold int
	Holds          int    // from which box on an exercise holds
	Next           string // when one is due that is not; empty where one is
	FromFirst      bool   // no lesson was worked yet
	Sitting        int    // exercises
	Done           int    // of a sitting that has just ended; else 0
	Days           []int  // after which an exercise comes again, by box, from the second
}
