// Package roster reads lists of students and works out what importing one would
// change in a class. It touches no store: [Read] makes lines of files,
// [Roster.Plan] compares them with who is there.
//
// Three kinds of file are read. A plain CSV has a header with name and one of
// email, id and username, and may have section. The users.csv and
// enrollments.csv of OneRoster 1.1 and 1.2 are read alone, together, or in their
// zip with manifest.csv.
//
// Sources: RFC 4180 for CSV; 1EdTech OneRoster 1.2 CSV binding, tables of users,
// enrollments and manifest. The columns of users.csv were compared with public
// files; those of enrollments.csv and manifest.csv, the values of status and the
// differences of 1.1 are from memory.
package roster

import "fmt"

// Limits of what is read.
const (
	MaxBytes = 2 << 20 // of all files together, unpacked
	MaxLines = 5000    // of one file
	maxField = 200     // characters of one field
)

// A File is one file of a roster. A pasted text has no name.
type File struct {
	Name string
	Data []byte
}

// A Line is one person as the files name them. What a file does not give is
// empty.
type Line struct {
	File   string
	Number int    // of the line in the file, from 1
	Text   string // of the line

	SourcedID string
	SignIn    string
	Email     string
	Name      string
	Section   string

	Out bool // the file lists the person as having left the class
}

// A Bad is a line that is not taken, and why.
type Bad struct {
	File   string
	Number int
	Text   string
	Why    string
}

// A Roster is the content of the files.
type Roster struct {
	Lines   []Line
	Bad     []Bad
	Notes   []string // what was not read, and is not wrong
	Partial bool     // by the manifest, only changes are listed
}

// An Unreadable is a file of which no line can be taken.
type Unreadable struct {
	File string
	Why  string
}

func (u *Unreadable) Error() string {
	if u.File == "" {
		return u.Why
	}
	return fmt.Sprintf("%s: %s", u.File, u.Why)
}
