package page

import "html/template"

// An Items is the page of what a class did at each part of an assignment.
type Items struct {
	ClassFrame
	Choices         []MarksChoice
	Heading         string // the assignment
	Students, Began int
	Least           int // students of whom a correlation is said
	Exercises       []ItemsExercise
}

// An ItemsExercise is one exercise with its parts.
type ItemsExercise struct {
	Title string
	Room  string // address of everybody's answers
	Parts []ItemsPart
}

// An ItemsPart is one part. Shares are percentages, 0 to 100.
type ItemsPart struct {
	Label                      template.HTML
	Answered                   int
	FirstRight                 int
	First, FirstLow, FirstHigh float64
	FirstWords, FirstRange     string
	Mean                       float64
	MeanWords                  string
	Tries                      string
	Hinted                     int
	WithRest                   string // or empty
	WithoutRest                string // why WithRest is not said
	Slips, Last                []ItemsCount
}

// An ItemsCount is how many students something holds of; Share is that of the
// students who have answered, in percent.
type ItemsCount struct {
	Name  string
	Count int
	Share float64
}
