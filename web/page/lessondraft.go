package page

import (
	"html/template"
	"strconv"
)

// DraftsPath is the address of the list of lessons that can be written.
const DraftsPath = "/drafts"

// DraftPath is the address of a lesson's draft.
func DraftPath(slug string) string { return DraftsPath + "/" + slug }

// DraftImagesPath is the address of the images that a draft shows, which ends in a slash.
func DraftImagesPath(slug string) string { return DraftPath(slug) + "/file/" }

// A DraftList lists the lessons that an instructor can write, and those that can be
// copied.
type DraftList struct {
	Frame
	Said    string
	None    string // why nothing can be written here; empty otherwise
	Folder  string
	Own     []DraftLine
	BuiltIn []DraftLine
	Name    ClassField // of a new lesson
	From    string     // the lesson of which a copy is begun; empty for a new one
}

// A DraftLine is one lesson.
type DraftLine struct {
	Slug, Heading string // Heading is the title
	OnFile        bool
	Draft         Moment // when the visitor's draft was changed; zero where there is none
}

// Path is the address of the lesson's draft.
func (l DraftLine) Path() string { return DraftPath(l.Slug) }

// HasDraft reports whether the visitor has a draft.
func (l DraftLine) HasDraft() bool { return l.Draft.ISO != "" }

// A DraftLesson is the page of one lesson that is written: with Draft its editor, without
// one what has become of it.
type DraftLesson struct {
	Frame
	DraftLine
	Said, Wrong string
	Refused     int // status of Wrong, for scripts

	Draft    *DraftText
	Others   []string // who has a draft of it too
	Versions bool
	Assign   []ClassWay // where it can be assigned
	Behind   []ClassWay // assignments that still have another text
	Folder   string
}

// A DraftText is a draft in its editor.
type DraftText struct {
	Text     string
	Revision int64
	Faults   DraftFaults
	Page     template.HTML // as a reader finds it
	Trouble  string        // why there is no page
	Most     int           // bytes of a text
	MostMB   int           // of an image
	Image    string        // Markdown that shows the image which was sent just now
}

// DraftFaults are the faults of a draft.
type DraftFaults struct {
	Faults, Notes []DraftFault
	Whole         bool // cells and exercises were checked too
}

// A DraftFault is one of them, at its line of the text.
type DraftFault struct {
	Line            int
	Message, Repair string
}

// A DraftCompare compares a draft with the file that it would replace.
type DraftCompare struct {
	Frame
	DraftLine
	Stale    bool // what was shown before is not what would be done
	Same     bool
	Lines    []AssignChange
	Moved    bool // the file is another than the draft was begun from
	MovedBy  string
	Since    []AssignChange
	Faults   DraftFaults
	Seen     string // of the file
	Revision int64  // of the draft
	Folder   string
}

// DraftVersions lists the earlier texts of a lesson.
type DraftVersions struct {
	Frame
	DraftLine
	Versions []DraftVersion
	Most     int
}

// A DraftVersion is one of them.
type DraftVersion struct {
	Number int64
	When   Moment
	What   string // by whom, and how it came to be kept
}

// A DraftOneVersion compares an earlier text with the one that is there.
type DraftOneVersion struct {
	Frame
	DraftLine
	Version DraftVersion
	Than    string // with what it is compared
	Lines   []AssignChange
}

// Path is the address of a version.
func (v DraftVersion) Path(l DraftLine) string {
	return l.Path() + "/versions/" + strconv.FormatInt(v.Number, 10)
}
