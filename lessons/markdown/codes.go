package markdown

import "shaftbook/kernel/source"

// Codes of the diagnostics of this package.
const (
	// CodeFrontMatter: the front matter is missing or is not closed.
	CodeFrontMatter source.Code = "front-matter"
	// CodeCellKind: the word of a fenced block is nearly that of a cell.
	CodeCellKind source.Code = "cell-kind"
	// CodeCellPlace: a cell is inside a list or a quotation, or is indented.
	CodeCellPlace source.Code = "cell-place"
	// CodeCellName: the name of a cell is missing, misspelled or used twice.
	CodeCellName source.Code = "cell-name"
	// CodeCellOpen: a cell has no closing line.
	CodeCellOpen source.Code = "cell-open"
	// CodeMath: a formula cannot be typeset.
	CodeMath source.Code = "formula"
	// CodeMathOpen: a formula has no closing sign.
	CodeMathOpen source.Code = "formula-open"
	// CodeRawHTML: there is raw HTML in the text.
	CodeRawHTML source.Code = "raw-html"
	// CodeHeading: a heading is of level 1, is empty or skips a level.
	CodeHeading source.Code = "heading"
	// CodeTable: a row or the header of a table has another number of cells than its columns.
	CodeTable source.Code = "table"
	// CodeLink: a link leads to an address that a lesson cannot use.
	CodeLink source.Code = "link"
	// CodeImage: an image is not a file of the folder, or has no description.
	CodeImage source.Code = "image"
)
