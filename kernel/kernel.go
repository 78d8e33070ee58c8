// Package kernel is the front of the calculation kernel: what lessons,
// exercises and pages may call to evaluate the working of a lesson. It holds no
// code of its own; [NewWorking] is where to begin, and each name is explained
// in package working.
package kernel

import "shaftbook/kernel/working"

// The working of a lesson and what goes into it.
type (
	Working     = working.Working
	Limits      = working.Limits
	Cell        = working.Cell
	CellKind    = working.CellKind
	Moved       = working.Moved
	RowPlace    = working.RowPlace
	SliderPlace = working.SliderPlace
)

// The kinds of cells.
const (
	Calc  = working.Calc
	Shaft = working.Shaft
)

// NewWorking returns an empty working.
func NewWorking(limits Limits) *Working { return working.New(limits) }

// The results of statements.
type (
	Evaluated = working.Evaluated
	Header    = working.Header
	Kind      = working.Kind
	Place     = working.Place
	Result    = working.Result
	Slider    = working.Slider
	Fit       = working.Fit
	Forecast  = working.Forecast
	Table     = working.Table
	Trials    = working.Trials
	Value     = working.Value
	Verdict   = working.Verdict
)

// What a result is the result of.
const (
	KindBad      = working.KindBad
	KindValue    = working.KindValue
	KindFunction = working.KindFunction
	KindVary     = working.KindVary
	KindExpect   = working.KindExpect
	KindTable    = working.KindTable
	KindPlot     = working.KindPlot
	KindDraw     = working.KindDraw
	KindPrefer   = working.KindPrefer
	KindTrials   = working.KindTrials
	KindShaft    = working.KindShaft
)

// Absent is in a cell of a table that has no value, and Mark stands before an estimate.
const (
	Absent = working.Absent
	Mark   = working.Mark
)

// CodeLate is the code of a statement for which the ones before it left no work; what
// a working says then depends on what it evaluated before.
const CodeLate = working.CodeLate
