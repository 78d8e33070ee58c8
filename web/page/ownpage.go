package page

import (
	"html/template"
	"time"

	"shaftbook/kernel/derive"
)

// DerivationsPath is the address of the list of a learner's own derivations.
const DerivationsPath = "/derivation"

// OwnPagePath is the address of a page of a learner's own.
func OwnPagePath(id string) string { return "/page/" + id }

// A DerivationList is the page with the starting points and the learner's own
// derivations.
type DerivationList struct {
	Frame
	Keeps    bool // the server keeps derivations
	Starts   []DerivationStart
	Pages    []OwnLine
	Deleted  []OwnLine
	Gone     *OwnLine // the one that was just deleted, of Deleted
	All      int      // derivations and pages that are kept
	Most     int      // that can be kept
	Verdicts []VerdictLine
}

// NearlyFull reports whether the limit of pages is to be said.
func (l DerivationList) NearlyFull() bool { return l.All*5 >= l.Most*4 }

// A DerivationStart is a starting point.
type DerivationStart struct{ Key, Name, About string }

// An OwnLine is a page of the learner's own in a list.
type OwnLine struct {
	ID, Name         string
	Changed, Deleted Moment
}

// Path is the address of the page.
func (l OwnLine) Path() string { return OwnPagePath(l.ID) }

// An OwnPage is what a page of the learner's own shows beside its derivation.
type OwnPage struct {
	OwnLine
	Numbers   string // for a run, as JSON
	Said      string // what was done, or empty
	Versions  []OwnVersion
	Limits    OwnLimits
	NameLimit int
	NameTyped string // what could not be the name
	NameWrong string // why
	Answers   int    // of instructors, on the page where it is shared
}

// OwnLimits are the limits of a derivation.
type OwnLimits struct {
	Lines, Judged int // lines and bytes that are checked
	Kept          int // bytes that are kept
}

// An OwnVersion is an earlier version of a page.
type OwnVersion struct {
	Revision int64
	When     Moment
	Replaced bool // another window replaced it
	Text     string
}

// OwnSaid returns the sentence for what was done to a page, by its key.
func OwnSaid(key string) string {
	switch key {
	case "replaced":
		return "This derivation has been changed in another window. The text from this window was saved; the other one is under Earlier versions."
	case "version":
		return "The earlier version is back. The text that was here is now under Earlier versions."
	}
	return ""
}

// OwnPageSaid is [OwnSaid] for a page of blocks.
func OwnPageSaid(key string) string {
	switch key {
	case "replaced":
		return "This page has been changed in another window. What you saved here was taken; the other text is under Earlier versions."
	case "version":
		return "The earlier version is back. The page as it was before is under Earlier versions."
	}
	return ""
}

// A Moment is a time for readers whose zone the server does not know: scripts write
// it in theirs.
type Moment struct{ ISO, Text string }

// MomentOf returns the moment of a time; the zero time has none.
func MomentOf(t time.Time) Moment {
	if t.IsZero() {
		return Moment{}
	}
	t = t.UTC()
	return Moment{t.Format(time.RFC3339), t.Format("2 January 2006, 15:04 MST")}
}

// A VerdictLine explains one verdict.
type VerdictLine struct {
	Verdict     string // as in data-verdict
	Mark        template.HTML
	Word, Means string
}

// VerdictLegend explains the verdicts, with their signs.
func VerdictLegend() (lines []VerdictLine) {
	for _, l := range []struct {
		kind  derive.Kind
		means string
	}{
		{derive.Follows, "The step is proved for all values that the givens allow."},
		{derive.Agrees, "Both lines have the same value wherever they were compared. That is not a proof; often a condition is missing from the givens."},
		{derive.Fails, "The step is wrong. The page shows values for which it fails and, where it can, the kind of mistake."},
		{derive.Open, "The step could not be decided. The page says what would help."},
		{derive.Gap, "The line = ? is left for later."},
	} {
		v := verdictWords[l.kind]
		lines = append(lines, VerdictLine{l.kind.String(), template.HTML(v.mark), v.word, l.means})
	}
	return lines
}
