package markdown

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// KindCell is the kind of Cell.
var KindCell = ast.NewNodeKind("Cell")

// A CellKind is the kind of a cell.
type CellKind int

// A Cell is a fenced block whose text is alive on the page. Its ID is the word
// of its kind and its name, "shaft-S"; a cell without a name has its place
// among the cells of its kind, "calc-2". A calculation that must keep its ID
// while others are added before it is given a name.
type Cell struct {
	ast.BaseBlock
	Sort   CellKind
	ID     string
	Name   string
	Source *source.Text // the lines between the fences
	Line   int          // line of the opening fence in the file
}

// Kind implements ast.Node.
func (n *Cell) Kind() ast.NodeKind { return KindCell }

// IsRaw implements ast.Node.
func (n *Cell) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *Cell) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"ID": n.ID}, nil)
}

// A construct is one kind of cell.
type construct struct {
	word     string                // after the fence
	name     func() *regexp.Regexp // what a name may be
	nameRule string                // the same in words
	optional bool                  // the name may be left out
	example  string                // a proper opening line
}

var constructs = [...]construct{
	Calc:     calcConstruct,
	Shaft:    shaftConstruct,
	Exercise: exerciseConstruct,
	Derive:   deriveConstruct,
	Guess:    guessConstruct,
}

// The kinds of cells.
const (
	Calc CellKind = iota
	Shaft
	Exercise
	Derive
	Guess
)

// String returns the word after the fence.
func (k CellKind) String() string { return constructs[k].word }

var (
	slugPattern = pattern.New(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	namePattern = pattern.New(`^\p{L}[\p{L}\p{N}_]*$`)
)

const (
	slugRule = "small letters, digits and hyphens"
	nameRule = "a letter, then letters, digits and _"
)

// cellTransformer turns fenced blocks into cells.
type cellTransformer struct{}

// Transform implements parser.ASTTransformer.
func (cellTransformer) Transform(doc *ast.Document, reader text.Reader, pc parser.Context) {
	t := cellTransform{context: contextOf(pc), src: reader.Source(), taken: map[string]int{}, line: 1}
	var blocks []*ast.FencedCodeBlock
	// The walker below never returns an error, so Walk cannot.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if n.Type() == ast.TypeInline {
			return ast.WalkSkipChildren, nil
		}
		if b, ok := n.(*ast.FencedCodeBlock); ok && entering {
			blocks = append(blocks, b)
		}
		return ast.WalkContinue, nil
	})
	for _, b := range blocks {
		t.block(b)
	}
}

type cellTransform struct {
	context *Context
	src     []byte
	taken   map[string]int // ID to line
	count   [len(constructs)]int
	counted int // bytes whose lines are in line
	line    int
}

// lineAt returns the line of an offset; offsets must not decrease.
func (t *cellTransform) lineAt(offset int) int {
	t.line += bytes.Count(t.src[t.counted:offset], []byte{'\n'})
	t.counted = offset
	return t.line
}

func (t *cellTransform) block(b *ast.FencedCodeBlock) {
	if b.Info == nil {
		return
	}
	info := string(b.Info.Segment.Value(t.src))
	word, rest, _ := strings.Cut(info, " ")
	at := t.context.span(b.Info.Segment.Start, b.Info.Segment.Start+len(word))
	kind, known := kindOf(word)
	if !known {
		t.nearMiss(word, at)
		return
	}
	if b.Parent().Kind() != ast.KindDocument || b.Pos() > 0 && t.src[b.Pos()-1] != '\n' {
		t.context.Diagnostics.Addf(at, CodeCellPlace, "a %s cell must start at the left margin", word).
			Repair = "take it out of the list or quotation and remove the spaces before it"
		return
	}
	cell := t.cell(b, kind, strings.TrimSpace(rest))
	b.Parent().ReplaceChild(b.Parent(), b, cell)
	t.context.Cells = append(t.context.Cells, cell)
}

func kindOf(word string) (CellKind, bool) {
	for k, c := range constructs {
		if c.word == word {
			return CellKind(k), true
		}
	}
	return 0, false
}

// nearMiss reports a word that was surely meant to open a cell, such as Calc, exercises,
// derivation or dervie. Other words leave a block of plain code.
func (t *cellTransform) nearMiss(word string, at source.Span) {
	if meant := meantKind(word); meant != "" {
		t.context.Diagnostics.Addf(at, CodeCellKind, "“%s” is not a kind of cell", word).Repair = "write ```" + meant
	}
}

// meantKind returns the kind of cell that a word begins as, or that is next to it: one
// letter put in, left out, changed or swapped away, or two in a long word.
func meantKind(word string) string {
	letters := strings.ToLower(strings.TrimFunc(word, func(r rune) bool { return !unicode.IsLetter(r) }))
	for _, c := range constructs {
		if strings.HasPrefix(letters, c.word[:4]) {
			return c.word
		}
	}
	for _, c := range constructs {
		away := 1
		if len(c.word) > 6 {
			away = 2
		}
		if len(letters) >= 4 && unit.Slips(letters, c.word) <= 2*away {
			return c.word
		}
	}
	return ""
}

func (t *cellTransform) cell(b *ast.FencedCodeBlock, kind CellKind, name string) *Cell {
	cell := &Cell{Sort: kind, Line: t.lineAt(b.Pos())}
	cell.SetPos(b.Pos())
	opening := t.context.lineFrom(b.Pos())
	content := t.context.span(min(opening.End+1, len(t.src)), min(opening.End+1, len(t.src)))
	if lines := b.Lines(); lines.Len() > 0 {
		content = t.context.span(lines.At(0).Start, lines.At(lines.Len()-1).Stop)
		cell.SetLines(lines)
	}
	t.name(cell, name, opening)
	cell.Source = &source.Text{Name: cell.ID, Content: content.Content(), FirstLine: cell.Line + 1}
	if !closes(t.src, b.Pos(), content.End) {
		t.context.Diagnostics.Addf(opening, CodeCellOpen, "this cell is not closed").Repair = "end it with a line of ```"
	}
	return cell
}

// closes reports whether the line at end is a closing fence for the fence at
// start. Where it is not, the block ended with the file.
func closes(src []byte, start, end int) bool {
	return end < len(src) && bytes.HasPrefix(bytes.TrimLeft(src[end:], " "), src[start:start+3])
}

// name gives the cell its name and ID and reports a name that cannot be used.
func (t *cellTransform) name(cell *Cell, name string, opening source.Span) {
	c := constructs[cell.Sort]
	t.count[cell.Sort]++
	switch {
	case name == "" && c.optional:
	case name == "":
		t.context.Diagnostics.Addf(opening, CodeCellName, "this %s cell has no name", c.word).Repair = "write " + c.example
	case !c.name().MatchString(name):
		t.context.Diagnostics.Addf(opening, CodeCellName, "“%s” cannot name this cell", name).
			Repair = "a name here is made of " + c.nameRule + ", as in " + c.example
		name = ""
	}
	cell.Name = name
	cell.ID = c.word + "-" + name
	if name == "" {
		cell.ID = fmt.Sprintf("%s-%d", c.word, t.count[cell.Sort])
	}
	if line, taken := t.taken[cell.ID]; taken {
		t.context.Diagnostics.Addf(opening, CodeCellName, "a second %s cell is named “%s”; the first is in line %d", c.word, name, line).
			Repair = "give this one another name"
		for n := 2; taken; n++ {
			cell.ID = fmt.Sprintf("%s-%s-%d", c.word, name, n)
			_, taken = t.taken[cell.ID]
		}
	}
	t.taken[cell.ID] = cell.Line
}

// Hooks write the cells of a lesson; a nil hook leaves its cells out.
type Hooks map[CellKind]func(w util.BufWriter, cell *Cell) error

func (r nodeRenderer) cell(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	cell := n.(*Cell)
	hook := r.hooks[cell.Sort]
	if !entering || hook == nil {
		return ast.WalkSkipChildren, nil
	}
	return ast.WalkSkipChildren, hook(w, cell)
}
