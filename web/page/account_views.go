package page

// An EntryForm is a page on which someone signs in: by a sign-in name, a join
// code or a one-time link.
type EntryForm struct {
	Frame
	Heading string
	Said    string   // what was done just now, or empty
	Wrong   string   // why nothing was done
	Text    []string // before the form
	Action  string   // address that the form is sent to
	Next    string   // where the reader is sent then, or empty
	Fields  []ClassField
	Own     bool // the device is the reader's own
	Button  string
	Ways    []EntryWay
}

// An EntryWay is another way in: words around a link.
type EntryWay struct{ Before, Label, Path, After string }

// An Account is the page of the person who is signed in.
type Account struct {
	Frame
	Name, SignIn string
	Instructor   bool
	Said         string
	Classes      []ClassLine
	Particulars  []ClassField // of an instructor; a student's are the roster's
	Password     []ClassField
	Calendar     string // whole address of the person's calendar, or empty
}
