package page

import (
	"strings"

	"shaftbook/kernel/words"
)

// SharePath is the address at which a page of a learner's own is shared.
func SharePath(id string) string { return OwnPagePath(id) + "/share" }

// SharedKey is the name, among lessons, of a page that is seen with the secret of a link:
// its address without the first slash.
func SharedKey(secret string) string { return "shared/" + secret }

// ShownKey is the same for a page that a student shows to a class.
func ShownKey(class, person, id string) string {
	return "class/" + class + "/student/" + person + "/page/" + id
}

// An OwnSharing is the page on which a learner shares a page of the learner's own.
type OwnSharing struct {
	Frame
	OwnLine
	Said string // what was done, or empty
	Sharing
	Wrong    string        // why no link was made, or empty
	Answers  []BlockAnswer // of instructors, to all of the page
	Lengths  []ShareLength
	MostOf   int    // links that a page can have
	NewLink  string // the address that was just made; it is not shown again
	NewEnds  Moment
	Typed    string // the name that was typed
	NameMost int    // characters of it
}

// A Sharing is who else can see a page.
type Sharing struct {
	Off     bool        // no page is shared on this server
	Links   []ShareLine // that work
	Classes []ShareClass
	Account string // the name of the learner's account; empty on an open server
}

// SharePath is the address of the page of it.
func (l OwnLine) SharePath() string { return SharePath(l.ID) }

// Full reports whether the page has as many links as it can have.
func (s OwnSharing) Full() bool { return len(s.Links) >= s.MostOf }

// Words says who else can see the page, in a sentence.
func (s Sharing) Words() string {
	var who []string
	switch n := len(s.Links); {
	case n == 1:
		who = append(who, "anyone who has the link")
	case n > 1:
		who = append(who, "anyone who has one of "+words.Count(n, "link"))
	}
	for _, c := range s.Classes {
		if c.Shown {
			who = append(who, "the instructors of "+c.Name)
		}
	}
	if len(who) == 0 {
		return "Only you can see this page."
	}
	return "Besides you, this page can be seen by " + words.And(who) + "."
}

// A ShareLine is a link to a page.
type ShareLine struct {
	ID, By     string
	Made, Ends Moment // Ends has no text for a link that does not end by itself
}

// A ShareLength is how long a link can work.
type ShareLength struct {
	Key, Words string
	Picked     bool
}

// A ShareClass is a class whose instructors may be shown the page.
type ShareClass struct {
	ID, Name string
	Shown    bool
}

// A SharedHead stands above a page that is seen with a link.
type SharedHead struct {
	By      string // who shares it; may be empty
	Ends    Moment
	Results string // the address with nothing covered; empty where nothing is or all is open
}

// A ShownHead stands above a page that a student shows to the instructors of a class.
type ShownHead struct {
	Name, Back, Class string
	Results           string // as in SharedHead
	Said              string // what was done, or empty
	Wrong             string // why an answer was not kept, or empty
}

// A ShownLine is a page that a student shows, in the list of an instructor.
type ShownLine struct {
	Name, Path     string
	Student        string // whose it is; empty in the list of one student
	Since, Changed string
	Answers        int
}

// A BlockAnswer is what an instructor wrote beside a block.
type BlockAnswer struct {
	By      string
	When    Moment
	Text    string
	Changed bool   // the block is not as it was then
	Block   int    // number of the block beside which it stands
	Gone    bool   // there is none like it
	Quote   string // the beginning of what was answered
	Remove  string // the address that removes it; empty for who may not
}

// Quoted is Quote without empty lines around it.
func (a BlockAnswer) Quoted() string { return strings.TrimSpace(a.Quote) }

// An AnswerForm is the form with which an instructor answers beside a block.
type AnswerForm struct {
	Action, Block string
	ID            string // of the answer to be
	Typed         string
	Open          bool
	Most          int // characters
}

// ShareSaid returns the sentence for what was done, by its key.
func ShareSaid(key string) string {
	switch key {
	case "withdrawn":
		return "The link was withdrawn. It no longer works."
	case "shown":
		return "Your instructors can now see this page."
	case "hidden":
		return "Your instructors can no longer see this page."
	case "answered":
		return "Your answer was saved. The student sees it on the page."
	case "removed":
		return "The answer was removed."
	}
	return ""
}
