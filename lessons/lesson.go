// Package lessons reads lessons, which are files of CommonMark with front matter
// and live cells. It finds what an author got wrong in the writing, at its place;
// what the cells mean is for the kernel and for package exercises to judge.
package lessons

import (
	"crypto/sha256"
	"encoding/hex"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
	"shaftbook/lessons/guess"
	"shaftbook/lessons/markdown"
)

// A Lesson is one file, read. It is not changed after Parse and may be used by
// many readers at once.
type Lesson struct {
	FrontMatter
	Slug     string       // the name of the file without .md, or the key of WithKey; the lesson's address
	Own      bool         // it is not of the catalog's first folder
	Text     *source.Text // the whole file, with line ends \n
	Headings []Heading    // in the order of the file
	Cells    []Cell       // in the order of the file
	Links    []markdown.Link
	Assets   []markdown.Asset // files beside the lesson that it shows
	Guesses  []*guess.Guess   // those without an error, in the order of the file

	doc     ast.Node
	working []kernel.Cell
}

// FrontMatter holds the keys between the two lines of --- at the top.
type FrontMatter struct {
	Title   string   // required
	Order   int      // required; place on the shelf, from 1
	Summary string   // required; a sentence for the shelf
	Minutes int      // required; how long a reader needs
	Group   string   // heading on the shelf, for lessons of one's own; may be empty
	Aim     string   // what the reader can do afterwards
	Needs   []string // slugs of the lessons that come before
	Brings  []string // numbers in the prose that come from outside the cells, as written
	Breaks  []string // sliders with an end at which lines fail on purpose
	Checked []Source // what the lesson was compared with outside the project, in the author's order
}

// A Heading is a heading with its anchor.
type Heading = markdown.Heading

// A Kind is the kind of a cell.
type Kind = markdown.CellKind

// The kinds of cells.
const (
	Calc     = markdown.Calc
	Shaft    = markdown.Shaft
	Exercise = markdown.Exercise
	Derive   = markdown.Derive
	Guess    = markdown.Guess
)

// A Cell is a fenced block that is alive on the page. ID is unique in the
// lesson: the kind with the name ("shaft-S", "exercise-quill-end"), or, for a
// cell without a name, with its place among those of its kind ("calc-2").
// Places in Text count lines as the file does.
type Cell struct {
	ID   string
	Kind Kind
	Name string // the name after the kind: of the shaft, of the exercise; may be empty
	Text *source.Text
	Line int // line of the opening fence
}

// WithKey returns a copy of the lesson under another address: the key of the
// assignment for which it was given. The copy shares everything else.
func (l *Lesson) WithKey(key string) *Lesson {
	keyed := *l
	keyed.Slug = key
	return &keyed
}

// Version returns what tells the text of the lesson from its other texts.
func (l *Lesson) Version() string {
	sum := sha256.Sum256([]byte(l.Text.Content))
	return hex.EncodeToString(sum[:6])
}

// CellsOf returns the cells of one kind, in the order of the file.
func (l *Lesson) CellsOf(kind Kind) []Cell {
	var out []Cell
	for _, c := range l.Cells {
		if c.Kind == kind {
			out = append(out, c)
		}
	}
	return out
}

// Cell returns the cell with an ID.
func (l *Lesson) Cell(id string) (Cell, bool) {
	for _, c := range l.Cells {
		if c.ID == id {
			return c, true
		}
	}
	return Cell{}, false
}

// Passages returns what a reader sees of the lesson, block by block and without
// marks, with nothing covered. The text of exercises, derivations and guesses is left
// out, since it holds the answers.
func (l *Lesson) Passages() []markdown.Passage {
	return markdown.Passages(l.doc, []byte(l.Text.Content), nil)
}

// A Section is a heading of the second level with what follows it.
type Section = markdown.Section

// Sections returns the sections of the lesson, in order; the first is what stands
// before the first heading.
func (l *Lesson) Sections() []Section { return markdown.Sections(l.doc) }

// HasAnchor reports whether a heading of the lesson has an anchor.
func (l *Lesson) HasAnchor(anchor string) bool {
	for _, h := range l.Headings {
		if h.ID == anchor {
			return true
		}
	}
	return false
}

// reader is the parser of lessons. It keeps no state between files.
var reader parser.Parser = goldmark.New(goldmark.WithExtensions(markdown.Extension)).Parser()

// newRenderer returns the renderer of one page.
func newRenderer(slug string, hooks markdown.Hooks, beside markdown.Beside, covered []markdown.Covered, hide markdown.Hide, lines markdown.Lines) renderer.Renderer {
	return markdown.NewRenderer(Path(""), slug, hooks, beside, covered, hide, lines)
}
