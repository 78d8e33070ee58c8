package working

import (
	"sync"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// CellKind is the kind of a cell.
type CellKind int

const (
	Calc  CellKind = iota // statements
	Shaft                 // one shaft; the cell's name is the shaft's name
)

// A Cell is one piece of a lesson's working. ID is unique in the working and
// stays the same while the text is edited.
type Cell struct {
	ID   string
	Kind CellKind
	Name string // the shaft's name; empty for a calculation cell
	Text *source.Text
}

// A Kind is what a result is the result of, and so decides which of the fields of
// Result are filled.
type Kind int

const (
	KindBad      Kind = iota // the statement could not be read
	KindValue                // a definition or an expression: Value, Text
	KindFunction             // a function definition
	KindVary                 // Slider, Value, Text
	KindExpect               // Verdict
	KindTable                // Table
	KindPlot                 // Figure
	KindDraw                 // Figure
	KindPrefer               // nothing to show
	KindTrials               // Table, Trials, Figure if there is enough to draw
	KindShaft                // a whole shaft cell: Shaft lines are in Node
)

// A Value is the value of an expression, in SI base units.
type Value struct {
	Dim           unit.Dimension
	IsBracket     bool
	Number        float64 // the value; for a bracket its middle
	Low, High     float64 // the guaranteed bracket, if IsBracket
	IsTruth       bool
	Truth         bool
	ErrorEstimate float64 // absolute, from quadrature; 0 if nothing was estimated
	IsFrequency   bool    // a number of cycles per time, and no rotational speed
}

// A Slider is what a vary statement offers the reader, in the display unit.
type Slider struct {
	Name           string
	Min, Max, Step float64
	Low, High      float64 // what may be typed lies between these; Min and Max unless the text says otherwise
	Value          float64
	Unit           string // "mm"; empty for a pure number
	Whole          bool   // only whole numbers make sense
	Free           bool   // the step is of the slider alone: what is typed may lie between its places
	Text           string // the value as shown, with its unit
	Outside        string // what the reader chose, as shown, where it lies outside by now; Value is the end next to it
}

// A Verdict is the outcome of an expect statement.
type Verdict struct {
	Holds  bool
	Margin string // "holds, with 3.1 % to spare", in words with units
}

// A Table is a computed table. Numbers holds the SI values behind Rows; NaN is behind a
// cell that has none, and in it is Absent.
type Table struct {
	Headers []Header
	Rows    [][]string
	Numbers [][]float64

	certain func(row, column int) bool // whether a cell is certain; asked once
	bare    []unit.Unit                // of each column, without its text
	once    sync.Once
	marked  [][]string
	step    func(work int64) // lets other calculations go first; nil if nobody waits
}

// Step lets other calculations go first, if it is their turn, after work on showing a
// long table, in the unit of package pause.
func (t *Table) Step(work int64) {
	if t.step != nil {
		t.step(work)
	}
}

// A Header is the head of one column: the expression and its unit.
type Header struct {
	Expr  notation.Expr
	Label string // as "label", if written
	Unit  string
	Dim   unit.Dimension // of the values in Numbers
	Words bool           // the column holds words; Numbers has the line of the text that each is about, or its place from 1
}

// A Result is the outcome of one statement, ready to be shown.
type Result struct {
	Cell        string        // the cell's ID
	Index       int           // place of the statement in its cell, from 0
	Node        notation.Node // the statement, or the *notation.ShaftCell
	Span        source.Span
	Kind        Kind
	Name        string // the name defined or shown, "" if none
	Value       *Value
	Text        string // the value as displayed: "0.9706 deg"
	Verdict     *Verdict
	Slider      *Slider
	Table       *Table
	Trials      *Trials
	Segments    string // the shaft whose segments are the rows of Table, "" of other tables
	Figure      figure.Picture
	Diagnostics source.List

	Cause   *Place  // of the statement for which this one waits, which has the message; nil if it waits for none
	Waiters []Place // of the statements that wait for this one
	Folded  bool    // the cell has enough open messages before this statement's
	Order   int     // of a folded one's first error among the errors of its cell, from 1
	Errors  int     // how many errors there are in the cell that wait for nothing

	find      func(source.Span) (Place, bool)
	numbers   func(ident string) (string, bool) // values of names, as shown
	certainty *lazyCertainty                    // nil where there is no number
}

// A Place is where a statement is, as a reader finds it.
type Place struct {
	Cell  string // the cell's ID
	Index int    // of the statement in its cell, from 0
	Line  int    // of the cell, from 1
	Name  string // what it defines, "" if nothing
	Text  string // its first line; "shaft quill" for a shaft cell
}

// Find returns the statement of the working that holds a place, for a message that
// is about another statement.
func (r *Result) Find(s source.Span) (Place, bool) {
	if r.find == nil || !s.IsValid() {
		return Place{}, false
	}
	return r.find(s)
}

// Failed reports whether the statement has no result.
func (r *Result) Failed() bool { return r.Diagnostics.HasErrors() }
