// Package page makes the HTML of every page: the frame, the shelf, a lesson
// with its cells and exercises, and the pages that say what went wrong. It
// decides how results look; what they are comes from the kernel.
package page

import (
	"bytes"
	"embed"
	"html/template"
	"sync"
)

//go:embed templates/*.html
var files embed.FS

// templates are read when a page is first made, or by Prepare.
var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").Funcs(template.FuncMap{
		"pair":    func(a, b any) any { return struct{ A, B any }{a, b} }, // of a template that needs two views
		"changes": newChanges,
		"inc":     func(i int) int { return i + 1 },
		"named":   Named,
	}).ParseFS(files, "templates/*.html"))
})

// Prepare reads the templates, so that the first page need not wait for it.
func Prepare() { templates() }

// Assets are the addresses of the static files that every page names.
type Assets struct {
	Stylesheet, ClassStyle, ShelfStyle, Icon, Theme, Main, Words string
	Modules, Fonts                                               []string
}

// A Frame is what all pages share.
type Frame struct {
	Title       string
	Description string
	Assets      *Assets
	Place       string // where the page stands among others, beside the name of the site
	Accounts    bool   // the server has accounts; the same for everybody, so that pages can be shared

	// What this page has beside what all have: style sheets, modules and keys.
	Styles, Scripts []string
	Keys            []Key
}

// A Key is one line of the list of keys.
type Key struct {
	Names []string // as they stand on the keys
	Does  string
}

// A Shelf lists the lessons in their order or, with a Query, what was found.
type Shelf struct {
	Frame
	Assigned []AssignedLine // to whoever asks
	Closed   []AssignedLine // of these, what is over
	Lessons  []Entry
	Map      template.HTML  // of what needs what; may be empty
	Next     *SuggestedNext // nil where there is no lesson, or nothing is left
	Practice bool           // whether there is practice
	Paths    []Path         // through the lessons; may be empty
	Pages    ReferencePages // beside the lessons
	Query    string
	Also     []string // other words that were looked for
	Found    []FoundLesson
	Terms    []FoundTerm // of the glossary
	Front    *Front      // nil above search results and what is assigned
}

// A ShelfGroup is the lessons that stand under one heading.
type ShelfGroup struct {
	Title   string // empty where there is one group only
	Start   int    // number of the first lesson
	Lessons []Entry
}

// Groups returns the lessons under their headings.
func (s Shelf) Groups() []ShelfGroup {
	var groups []ShelfGroup
	for i, l := range s.Lessons {
		if i == 0 || l.Group != s.Lessons[i-1].Group {
			groups = append(groups, ShelfGroup{Title: l.Group, Start: l.Number})
		}
		g := &groups[len(groups)-1]
		g.Lessons = append(g.Lessons, l)
	}
	if len(groups) == 1 && s.Lessons[0].Group == MainGroup {
		groups[0].Title = ""
	}
	return groups
}

// MainGroup is the heading of the lessons that name no group, and OwnGroup that of those
// which stand beside the built-in ones.
const (
	MainGroup = "The lessons"
	OwnGroup  = "More lessons"
)

// SuggestedNext is what a learner may do next, and why, behind a word such as “Begin with”.
type SuggestedNext struct{ Word, Title, Path, Reason string }

// Front is a shaft to try: live cells above the list of lessons.
type Front struct {
	Slug string // by which the live connection knows them
	Body template.HTML
	More template.HTML // what the shaft is, which is folded under it
}

// An AssignedLine is one assignment as it is for a student. Path is empty
// before it opens.
type AssignedLine struct{ Title, Class, Path, Due, State string }

// A FoundLesson is a lesson in whose sections the words of a search stand.
type FoundLesson struct {
	Title, Path string
	Sections    []Found
}

// A FoundTerm is a term of the glossary whose words were looked for.
type FoundTerm struct {
	Word, Path string
	Means      template.HTML
}

// Found is one of these sections. Heading is empty before the first.
type Found struct {
	Heading, Path string
	Excerpt       []FoundPiece
}

// A FoundPiece is some words of an excerpt, or a formula with the same as Text.
type FoundPiece struct {
	Text    string
	Formula template.HTML
	Found   bool
}

// An Entry is one lesson on the shelf.
type Entry struct {
	Slug, Title, Summary string
	Minutes              int
	Number               int     // on the shelf, from 1
	Group                string  // heading under which it stands, the same as that of its neighbours in the group
	Needs                []Entry // without needs of their own
	Progress             string  // what is done and what holds; empty where nobody is known
	IsDone, IsBegun      bool
}

// A Lesson is one lesson's page. Body is made by the lesson's renderer, with
// the cells from Cell and the exercises from Exercise.HTML.
type Lesson struct {
	Frame
	Slug, Version, Heading, Aim string
	Minutes                     int
	Assigned                    template.HTML // the place of AssignedHead, or empty
	Contents                    []Heading
	Body                        template.HTML
	Checked                     []Checked
	Reference                   ReferencePages
	Own                         bool   // a page of the reader's own can be made from it
	Handout                     string // address of the reader's problem sheet; empty without exercises
	AllResults                  string // address of the lesson with nothing covered; empty without guesses
	Previous, Next              *Entry
}

// Checked is one line of what a lesson was checked against.
type Checked struct {
	Source, What, Note string // Note may be empty
}

// Hint follows the first cell of a lesson. It is seen on the first visit only.
const Hint = `<div class="hint js-hint"><p>You can change everything here. Click or tap a formula to edit it, move a slider, break things: one click restores the original.</p> <button type="button">OK</button></div>`

// An AssignedHead is the head of a lesson that was assigned.
type AssignedHead struct {
	Title, Class string
	Words        []string // until when, in sentences
	Own          string   // address of the assignment's page, for staff
	Mine         string   // address of the reader's own points, for a student
}

// A Heading is one line of a lesson's contents.
type Heading struct{ ID, Text string }

// A Problem is a page that says what went wrong and what to do.
type Problem struct {
	Frame
	Kind            string // of the problem, as a script gets it
	Heading, Detail string
	SignIn          bool // signing in is the way out
}

// Render executes the template of a view.
func Render(name string, view any) ([]byte, error) {
	var b bytes.Buffer
	if err := templates().ExecuteTemplate(&b, name, view); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
