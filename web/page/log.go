package page

// A Log is the log of a class: what was done to whose marks, the latest first.
type Log struct {
	ClassFrame
	About    string      // ID of the student whose lines are shown, or empty
	Students []LogPerson // to choose from
	Lines    []LogLine
	Older    string // address of the lines before these, or empty
	Newest   string // address of the latest lines, or empty where these are
}

// A LogPerson is a student of the class.
type LogPerson struct{ ID, Name string }

// A LogLine is one thing that was done. Paths are empty where there is no page
// any more.
type LogLine struct {
	When, By             string
	What                 string
	About, AboutPath     string
	Assignment, WorkPath string
}
