package markdown

import (
	"bytes"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
)

// KindFrontMatter is the kind of FrontMatter.
var KindFrontMatter = ast.NewNodeKind("FrontMatter")

// FrontMatter is the block between two lines of --- at the very start of a
// file. Its lines are kept as they are.
type FrontMatter struct {
	ast.BaseBlock
	Closed bool // its closing line is there
}

// Kind implements ast.Node.
func (n *FrontMatter) Kind() ast.NodeKind { return KindFrontMatter }

// IsRaw implements ast.Node.
func (n *FrontMatter) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *FrontMatter) Dump(source []byte, level int) { ast.DumpHelper(n, source, level, nil, nil) }

// frontMatterParser opens on the first line of a file only.
type frontMatterParser struct{}

func (frontMatterParser) Trigger() []byte { return []byte{'-'} }

func isRule(line []byte) bool { return bytes.Equal(bytes.TrimRight(line, " \t\r\n"), []byte("---")) }

func (frontMatterParser) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	line, segment := reader.PeekLine()
	if segment.Start != 0 || !isRule(line) {
		return nil, parser.NoChildren
	}
	reader.AdvanceToEOL()
	return &FrontMatter{}, parser.NoChildren
}

func (frontMatterParser) Continue(node ast.Node, reader text.Reader, pc parser.Context) parser.State {
	line, segment := reader.PeekLine()
	reader.AdvanceToEOL()
	if isRule(line) {
		node.(*FrontMatter).Closed = true
		return parser.Close
	}
	node.Lines().Append(segment)
	return parser.Continue | parser.NoChildren
}

func (frontMatterParser) Close(node ast.Node, reader text.Reader, pc parser.Context) {
	if node.(*FrontMatter).Closed {
		return
	}
	c := contextOf(pc)
	c.Diagnostics.Addf(c.span(0, 3), CodeFrontMatter, "the front matter is not closed").
		Repair = "end it with a line of ---"
}

func (frontMatterParser) CanInterruptParagraph() bool { return false }
func (frontMatterParser) CanAcceptIndentedLine() bool { return false }
