package store

import (
	"fmt"
	"time"
)

// What a store keeps of one learner's pages at most. The server states each limit
// before it is reached.
const (
	MostVersions = 10        // earlier texts of one page; the oldest gives way
	MostDeleted  = 10        // deleted pages that can be brought back; the one deleted first gives way
	MostPageText = 128 << 10 // bytes of a page
)

// A Page is a page of a learner's own: a document in the Markdown of lessons,
// with a heading that names it.
type Page struct {
	ID   string // drawn by chance; the page's address
	Name string // the text of its heading
	Kind string // what it was begun as, such as KindDerivation
	Text string // the whole document; List leaves it out

	// Revision grows by one with each change; 1 is the page as it was made. The
	// store sets it.
	Revision int64

	// Writer names the window that wrote this revision, so that the window
	// recognises its own text when the answer to a write was lost. It may be empty.
	Writer string

	MadeAt, ChangedAt time.Time
	DeletedAt         time.Time // zero unless the page was deleted
}

// The kinds of pages.
const (
	KindDerivation = "derivation" // begun as a derivation
	KindPage       = "page"       // of any blocks
)

// A PageVersion is an earlier text of a page.
type PageVersion struct {
	Revision   int64 // the revision of the page that had this text
	Name, Text string
	Reason     VersionReason
	At         time.Time // when the text was written
}

// VersionReason is why an earlier text is kept.
type VersionReason string

// The reasons.
const (
	NotKept  VersionReason = ""         // the text that is replaced is not kept
	Replaced VersionReason = "replaced" // another window replaced it without having seen it
	Earlier  VersionReason = "earlier"  // the end of an earlier sitting, or replaced by a version that was brought back
)

// Validate returns an error that wraps [ErrInvalid] for a page that no store may
// keep.
func (p *Page) Validate(learner string) error {
	switch {
	case learner == "" || p.ID == "":
		return invalid("a page needs a learner and an identifier")
	case p.Name == "" || p.Kind == "":
		return invalid("a page needs a name and a kind")
	case p.ChangedAt.IsZero():
		return invalid("a page needs a time")
	}
	return texts(field{"learner", learner, maxName}, field{"page", p.ID, maxName}, field{"name", p.Name, maxName},
		field{"kind", p.Kind, maxName}, field{"writer", p.Writer, maxName}, field{"text", p.Text, MostPageText})
}

// Validate returns an error that wraps [ErrInvalid] for an unknown reason.
func (r VersionReason) Validate() error {
	if r != NotKept && r != Replaced && r != Earlier {
		return invalid(fmt.Sprintf("%q is not a reason to keep a version", string(r)))
	}
	return nil
}
