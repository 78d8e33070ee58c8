package class

import "time"

// A ShownPage is a page of a student's own that the student shows to the instructors of
// a class.
type ShownPage struct {
	Class  string
	Person string
	Page   string
	At     time.Time

	Name      string    // of the page; the store fills it in, as the rest
	ChangedAt time.Time // when the page was last changed
	Notes     int       // answers that instructors of the class have written
}

// A PageNote is what an instructor answers beside a block of such a page. It stays with
// the page, also when the student no longer shows it.
type PageNote struct {
	ID     string
	Class  string // whose instructor wrote it
	Person string // whose page it is
	Page   string
	Block  string // HashText of the block's text when the note was written
	Quote  string // the beginning of that text
	Text   string
	By     string // the person who wrote it
	At     time.Time
}
