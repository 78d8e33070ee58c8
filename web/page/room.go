package page

import (
	"html/template"

	"shaftbook/kernel/figure"
)

// A Room is the page on which an instructor sees a class at work.
type Room struct {
	ClassFrame
	Heading string // the assignment
	Lesson  string // address of the lesson
	Live    string // address of the socket
	Hidden  bool   // names are replaced by codes
	Toggle  string // address of the same with names the other way
	Given   string // address of the assignment's page
	Sheets  string // address of the problem sheets
	Choices []RoomChoice
	Pieces  []RoomPiece
}

// A RoomChoice is a link to what can be shown.
type RoomChoice struct {
	Label, Path string
	Current     bool
}

// A RoomPiece is a part of the page that is sent again when it changes.
type RoomPiece struct {
	ID   string
	HTML template.HTML
}

// A RoomHere shows who is where in the lesson.
type RoomHere struct {
	Present, All int
	Sections     []RoomSection // in which somebody is; those that stall first
	Empty        []string      // headings of the others
	Away         RoomPeople
}

// PresentShare is how many are here, in percent of all.
func (h *RoomHere) PresentShare() float64 { return shareOf(h.Present, h.All) }

// Share is how many are at a section, in percent of those at the fullest.
func (h *RoomHere) Share(n int) float64 {
	most := 0
	for _, s := range h.Sections {
		most = max(most, len(s.People))
	}
	return shareOf(n, most)
}

func shareOf(n, of int) float64 {
	if of == 0 {
		return 0
	}
	return 100 * float64(n) / float64(of)
}

// A RoomSection is one section of the lesson with those who are at it.
type RoomSection struct {
	Heading string
	Stalls  bool // an exercise in it does
	People  RoomPeople
}

// mostNames is how many names of one place stand unfolded.
const mostNames = 24

// A RoomPeople is the names at one place.
type RoomPeople []RoomPerson

// First are the names that always show.
func (p RoomPeople) First() []RoomPerson { return p[:min(len(p), mostNames)] }

// Rest are those that are folded away.
func (p RoomPeople) Rest() []RoomPerson { return p[len(p.First()):] }

// A RoomPerson is a student with a few words about the work: how long ago the last
// sign of it was, or why the student is stuck.
type RoomPerson struct{ Name, Note string }

// A RoomStalls shows how far the class is at each exercise.
type RoomStalls struct {
	Rule      string
	Exercises []RoomExercise
}

// A RoomExercise is one exercise in the list of all.
type RoomExercise struct {
	Title, Path         string
	Begun, Done, AtWork int
	Stalls              bool
	Stuck               RoomPeople // with why they are
}

// A RoomPart is what a class said to one part or prediction of an exercise.
type RoomPart struct {
	ID      string
	Kind    string        // answers, predictions; or why there are none
	Label   template.HTML // the question
	Said    []string      // sentences about it
	Counts  []RoomCount
	Slips   []RoomSlip
	Picture figure.Picture // or nil
}

// CountsHead says what the counts are of.
func (p *RoomPart) CountsHead() string {
	if p.Kind == RoomPredictions {
		return "Prediction"
	}
	return "Latest verdict"
}

// RoomAnswers and RoomPredictions are the kinds of parts.
const (
	RoomAnswers     = "Answers"
	RoomPredictions = "Predictions"
)

// A RoomCount is one verdict, or one guess, with how many gave it.
type RoomCount struct {
	Word  string
	Count int
}

// A RoomSlip is one wrong turn: how many take it now, and how many ever did.
type RoomSlip struct {
	Letter, Name string
	Now, Ever    int
}

// RoomHereID and RoomStallsID are the ids of the pieces that every room has.
const (
	RoomHereID   = "room-here"
	RoomStallsID = "room-stalls"
)

// Piece renders who is where.
func (h *RoomHere) Piece() (RoomPiece, error) { return roomPiece(RoomHereID, "room-here", h) }

// Piece renders the list of exercises.
func (s *RoomStalls) Piece() (RoomPiece, error) { return roomPiece(RoomStallsID, "room-stalls", s) }

// Piece renders a part.
func (p *RoomPart) Piece() (RoomPiece, error) { return roomPiece(p.ID, "room-part", p) }

func roomPiece(id, name string, view any) (RoomPiece, error) {
	body, err := Render(name, view)
	return RoomPiece{id, template.HTML(body)}, err
}

// Widths of the pictures of a room: for a wall, and for a telephone.
const (
	roomWide   = 860
	roomNarrow = 340
)

// Wide draws the picture for a wall.
func (p *RoomPart) Wide() (template.HTML, error) { return p.draw("wide", roomWide) }

// Narrow draws it for a telephone.
func (p *RoomPart) Narrow() (template.HTML, error) { return p.draw("narrow", roomNarrow) }

func (p *RoomPart) draw(suffix string, width float64) (template.HTML, error) {
	svg, err := p.Picture.SVG(figure.Options{ID: p.ID + "-" + suffix, Width: width})
	return template.HTML(svg), err
}

// Numbers is the table behind the picture.
func (p *RoomPart) Numbers() *figure.Data { return p.Picture.Data() }
