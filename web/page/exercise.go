package page

import "html/template"

// An Exercise is one exercise as one learner meets it now: with their numbers,
// what they have answered, and what is still open.
type Exercise struct {
	ID        string
	Title     string
	Task      string // "turned round"; may be empty
	Number    int    // in its lesson, from 1
	Folds     bool   // whether it is shown folded, with State beside its title
	Unfolded  bool   // whether it is open at first
	State     string // "right", "2 of 3 tries left"; for a fold
	Action    string // where answers go
	FormToken string // by which the server knows whose numbers these are
	Series    int    // 0 for the graded numbers
	Practice  string // says that these numbers are for practice; empty for the graded ones
	Question  template.HTML
	Guesses   []Prediction
	Parts     []Part
	Terms     []string // of an assignment, in sentences
	Score     string   // "2 of 3 points"; empty where there is nothing to say yet
	Steps     []Steps  // how the points of parts came about that are not as marking gave them
	Mark      string   // what an instructor has set by hand, with the reason
	Again     string   // address with new numbers; empty until this series is done
	Practises bool     // whether other numbers to practise with are offered first
	OneSet    bool     // whether they would be, if there were any
	Practise  string   // the address of them
	Graded    string   // address of the graded numbers; empty on them
	Notice    string   // what cannot be shown or done just now
}

// Steps say how the points of a part came about.
type Steps struct {
	Part  string // what is asked, or empty where there is one part only
	Words []string
}

// A Part is one thing an exercise asks for.
type Part struct {
	Name, Label string
	LabelHTML   template.HTML
	Sign        template.HTML // what counts as positive; empty where no sign is asked
	Help        string
	Options     []Option // of a pick
	Points      string   // "2 points"
	Tries       string   // "2 of 3 tries left"
	Open        bool     // whether an answer is still taken
	Submission  string   // identifier of the next answer
	Answer      string   // what stands in the field
	Check       *Check
	Choices     []Choice // the ways to read the last answer; none where it has one
	Trouble     string   // why the last answer was not taken
	Said        *Said    // the newest verdict; nil before the first answer
	Earlier     []Said   // older ones, newest first
	Hints       []template.HTML
	NextHint    int           // level of the hint to be asked for; 0 if there is none
	HintLabel   string        // "A hint (1 of 3)"
	Solution    template.HTML // after the last try
	Worked      *Worked       // when the part is done; nil before
}

// An Option is one sentence to pick.
type Option struct {
	Name   string
	Text   template.HTML
	Picked bool
}

// Said is what marking said: the verdict as a word for scripts and styles, the
// same for people, and the sentence with the next step.
type Said struct {
	Verdict, Word, Message string
	Number                 int    // of the attempt
	Answer                 string // as it was handed in
	Points                 string // "1 point"; empty where none were given
}

// A Check is how an answer is read, before it is marked.
type Check struct {
	OK      bool
	Formula template.HTML
	Words   string
	Choices []Choice
}

// A Choice is one way to read an answer: a button that hands it in so.
type Choice struct {
	Text   string // "1.000 deg"
	Reason string // "the comma is a decimal mark"
}

// A Prediction asks for a prediction.
type Prediction struct {
	Name       string
	Label      template.HTML
	Bracket    bool // else more, less or same
	Submission string
	Low, High  string // what stands in the fields of a bracket
	Trouble    string
	Committed  string // the guess that stands; empty before
	Result     string // what came out; empty while it is held back
	Message    string
}
