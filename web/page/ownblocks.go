package page

import (
	"html/template"
	"strings"

	"shaftbook/kernel/words"
	"shaftbook/lessons"
)

// PagesPath is the address of the list of a learner's own pages.
const PagesPath = "/pages"

// OwnBlocks is a page of blocks: a learner's own, or one that is only shown.
type OwnBlocks struct {
	Frame
	OwnLine
	Key      string // by which the live connection knows it: its address without the first slash
	Revision int64
	Titled   bool // a block of it has its name as a heading
	Blocks   []OwnBlock
	Editable bool   // its owner sees it
	Said     string // what was done, or empty
	Versions []OwnVersion
	Limits   OwnBlockLimits
	Adds     []OwnAdd // what can be added
	Open     int      // number of the block that is open to be edited without scripts; -1 for none

	Sharing *Sharing      // who else sees it; nil but for its owner
	Lost    []BlockAnswer // answers to blocks that are no longer there

	Above, Below template.HTML // of a page that is only shown: what stands around its blocks
}

// OwnBlockLimits are the limits of a page of blocks.
type OwnBlockLimits struct{ Bytes, Blocks, Cells int }

// An OwnAdd is a kind of block that can be added: the word of the button, the text with
// which the block begins, and what NAME in it stands for.
type OwnAdd struct{ Kind, Word, Name, Text string }

// An OwnBlock is one block of a page.
type OwnBlock struct {
	Number   int    // from 0
	Kind     string // as lessons.BlockKind
	Word     string // for people: "Text", "Shaft S"
	Cell     string // ID of the cell; empty for what is not one
	Raw      string // as it is in the text of the page
	HTML     template.HTML
	Faults   []OwnFault
	IsLast   bool
	Answers  []BlockAnswer // of instructors
	Answer   *AnswerForm   // for an instructor; nil for everybody else
	Unframed bool          // it is shown by the page itself: the front matter
}

// An OwnFault is something wrong in the text of a block.
type OwnFault struct {
	Line            int // in the block, from 1
	Message, Repair string
}

// OwnPages is the list of a learner's pages.
type OwnPages struct {
	Frame
	Starts  []DerivationStart
	Pages   []OwnLine
	Deleted []OwnLine
	Gone    *OwnLine // the one that was just deleted, of Deleted
	All     int      // pages and derivations that are kept
	Most    int      // that can be kept
	Limits  OwnBlockLimits
	Wrong   string // why a page could not be begun; or empty
}

// NearlyFull reports whether the limit of pages is to be said.
func (l OwnPages) NearlyFull() bool { return l.All*5 >= l.Most*4 }

// An OwnExercise is an exercise on a page of blocks, which is marked nowhere.
type OwnExercise struct {
	Asked
	Practise string // the address where it can be practised
}

var blockWords = map[lessons.BlockKind]string{
	lessons.Head: "Name and details", lessons.Prose: "Text", "calc": "Calculation", "shaft": "Shaft", "derive": "Derivation", "guess": "Guess", "exercise": "Exercise",
}

// Blank is a block with nothing in it, of which scripts make new ones.
func (o OwnBlocks) Blank() OwnBlock {
	return OwnBlock{Kind: string(lessons.Prose), Word: blockWords[lessons.Prose], Number: -2}
}

// NewOwnBlock returns a block of a page with the HTML that shows it.
func NewOwnBlock(number int, b lessons.Block, html template.HTML) OwnBlock {
	word := blockWords[b.Kind]
	if name, ok := strings.CutPrefix(b.Cell, "shaft-"); ok {
		word += " " + name
	}
	return OwnBlock{Number: number, Kind: string(b.Kind), Word: word, Cell: b.Cell, Raw: b.Raw, HTML: html, Unframed: b.Kind == lessons.Head}
}

// Many reports how many faults of a page there are, in words; empty for none.
func (o OwnBlocks) Many() string {
	n := 0
	for _, b := range o.Blocks {
		n += len(b.Faults)
	}
	if n == 0 {
		return ""
	}
	return words.Count(n, "place")
}
