package page

import "html/template"

// A Linked is a link with its words.
type Linked struct{ Title, Path string }

// ReferencePages says which pages there are beside the lessons; it is the same for all
// pages of a server.
type ReferencePages struct{ Glossary, Symbols bool }

// A BackTo is the lesson from which a reader came, by its slug or its key; nil if there is
// none.
type BackTo struct{ Title, Key string }

// A Glossary is the page of the words, under their first letters.
type Glossary struct {
	Frame
	Letters []GlossaryLetter
	Symbols bool // whether there is a page of symbols
	Back    *BackTo
}

// A GlossaryLetter is the terms that begin with one letter.
type GlossaryLetter struct {
	Letter string
	Terms  []GlossaryTerm
}

// A GlossaryTerm is a word, what else is said for it, what it means, and where it is
// explained.
type GlossaryTerm struct {
	ID, Word string
	Also     []string
	Means    template.HTML
	See      []Linked
}

// Symbols is the page of the letters and of the shear moduli of materials.
type Symbols struct {
	Frame
	Groups    []SymbolGroup
	Materials []Material
	Sources   []Checked
	Glossary  bool // whether there is a glossary
	Back      *BackTo
}

// A SymbolGroup is some symbols under one heading.
type SymbolGroup struct {
	Title   string
	Symbols []Symbol
}

// A Symbol is a letter with its meaning and its units, as they are shown.
type Symbol struct {
	Letter template.HTML
	Means  template.HTML
	Units  []string
	See    []Linked
}

// A Material is a name with the range of its shear modulus, as it is shown.
type Material struct{ Name, Range, Note string }

// A Path is a way through the lessons, for the shelf.
type Path struct {
	Title, For string
	Minutes    string // how long all of it takes
	Lessons    int
	Done       int // of these; 0 where nobody is known
	Steps      []PathStep
}

// A PathStep is some lessons that are read in one go.
type PathStep struct {
	Title, Minutes, Note string
	Lessons              []PathLesson
}

// A PathLesson is a lesson of a path. IsNext marks the first that is not done.
type PathLesson struct {
	Entry
	IsNext bool
}
