package markdown

import (
	"bytes"
	"errors"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"shaftbook/kernel/typeset/box"
	"shaftbook/kernel/typeset/tex"
)

// KindMath is the kind of Math, KindMathBlock of MathBlock.
var (
	KindMath      = ast.NewNodeKind("Math")
	KindMathBlock = ast.NewNodeKind("MathBlock")
)

// A Math is a formula within a sentence: $…$. Markup is its MathML, or the TeX
// as it was written if it cannot be typeset; Box is then nil.
type Math struct {
	ast.BaseInline
	TeX    string
	Box    box.Box
	Markup string
}

// Kind implements ast.Node.
func (n *Math) Kind() ast.NodeKind { return KindMath }

// Dump implements ast.Node.
func (n *Math) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"TeX": n.TeX}, nil)
}

// A MathBlock is a formula on lines of its own: $$…$$.
type MathBlock struct {
	ast.BaseBlock
	TeX    string
	Markup string
	parts  []text.Segment
	closed bool
}

// Kind implements ast.Node.
func (n *MathBlock) Kind() ast.NodeKind { return KindMathBlock }

// IsRaw implements ast.Node.
func (n *MathBlock) IsRaw() bool { return true }

// Dump implements ast.Node.
func (n *MathBlock) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"TeX": n.TeX}, nil)
}

// inlineMathParser reads $…$. The opening sign is followed by no space; the
// closing sign follows no space and is followed by no digit, so that a price
// opens no formula.
type inlineMathParser struct{}

func (inlineMathParser) Trigger() []byte { return []byte{'$'} }

func (inlineMathParser) Parse(parent ast.Node, block text.Reader, pc parser.Context) ast.Node {
	line, segment := block.PeekLine()
	if len(line) < 2 || util.IsSpace(line[1]) {
		return nil
	}
	c := contextOf(pc)
	if line[1] == '$' {
		c.Diagnostics.Addf(c.span(segment.Start, segment.Start+2), CodeMathOpen, "$$ opens a formula at the start of a line only").
			Repair = "put the formula on a line of its own, or write it between single $"
		block.Advance(2)
		return ast.NewTextSegment(segment.WithStop(segment.Start + 2))
	}
	block.Advance(1)
	parts, found := formulaParts(block)
	if !found {
		if isFormulaStart(line[1]) {
			d := c.Diagnostics.Addf(c.span(segment.Start, segment.Start+1), CodeMathOpen, "this formula is not closed")
			d.Repair = "end it with $; for a dollar sign write \\$"
		}
		return nil
	}
	if isInTable(parent) {
		parts = withoutEscapedBars(parts, block.Source())
	}
	n := &Math{}
	n.SetPos(segment.Start)
	n.TeX = joined(parts, block.Source())
	n.Markup, n.Box = c.formula(n.TeX, parts, false)
	return n
}

// isFormulaStart tells $T from $5.
func isFormulaStart(b byte) bool { return b == '\\' || b == '{' || b >= 0x80 || b >= 'A' && b <= 'z' }

// formulaParts moves the reader past the closing sign and returns what is
// before it, one part a line.
func formulaParts(block text.Reader) (parts []text.Segment, found bool) {
	for {
		line, segment := block.PeekLine()
		if line == nil {
			return nil, false
		}
		for i := 0; i < len(line); i++ {
			switch {
			case line[i] == '\\':
				i++
			case line[i] != '$':
			case i+1 < len(line) && line[i+1] == '$':
				return nil, false
			case i > 0 && util.IsSpace(line[i-1]) || i+1 < len(line) && line[i+1] >= '0' && line[i+1] <= '9':
			default:
				block.Advance(i + 1)
				return append(parts, segment.WithStop(segment.Start+i)), true
			}
		}
		parts = append(parts, segment)
		block.AdvanceLine()
	}
}

func joined(parts []text.Segment, src []byte) string {
	var b strings.Builder
	for _, p := range parts {
		b.Write(src[p.Start:p.Stop])
	}
	return b.String()
}

// displayMathParser reads $$…$$, which opens at the start of a line and closes
// at the end of the same or a later one.
type displayMathParser struct{}

func (displayMathParser) Trigger() []byte { return []byte{'$'} }

var display = []byte("$$")

func (displayMathParser) Open(parent ast.Node, reader text.Reader, pc parser.Context) (ast.Node, parser.State) {
	line, segment := reader.PeekLine()
	offset := pc.BlockOffset()
	if offset < 0 || !bytes.HasPrefix(line[offset:], display) {
		return nil, parser.NoChildren
	}
	n := &MathBlock{}
	n.take(line, segment, offset+len(display))
	if !n.closed && bytes.Contains(line[offset+len(display):], display) {
		return nil, parser.NoChildren
	}
	reader.AdvanceToEOL()
	return n, parser.NoChildren
}

// take adds the line from a column on; it ends the formula if it ends in $$.
func (n *MathBlock) take(line []byte, segment text.Segment, from int) {
	rest := bytes.TrimRight(line[from:], " \t\r\n")
	stop := from + len(rest)
	if before, ok := bytes.CutSuffix(rest, display); ok {
		n.closed = true
		stop = from + len(before)
	}
	start := segment.Start - segment.Padding + from
	n.parts = append(n.parts, text.NewSegment(start, start+max(0, stop-from)))
}

func (displayMathParser) Continue(node ast.Node, reader text.Reader, pc parser.Context) parser.State {
	n := node.(*MathBlock)
	line, segment := reader.PeekLine()
	if n.closed || util.IsBlank(line) {
		return parser.Close
	}
	n.take(line, segment, min(segment.Padding, len(line)))
	reader.AdvanceToEOL()
	if n.closed {
		return parser.Close
	}
	return parser.Continue | parser.NoChildren
}

func (displayMathParser) Close(node ast.Node, reader text.Reader, pc parser.Context) {
	n := node.(*MathBlock)
	c := contextOf(pc)
	if !n.closed {
		c.Diagnostics.Addf(c.span(n.Pos(), n.Pos()+len(display)), CodeMathOpen, "this formula is not closed").
			Repair = "end it with $$, without an empty line before that"
	}
	var b strings.Builder
	for _, p := range n.parts {
		b.Write(reader.Source()[p.Start:p.Stop])
		b.WriteByte('\n')
	}
	n.TeX = strings.TrimSuffix(b.String(), "\n")
	n.Markup, _ = c.formula(n.TeX, n.parts, true)
}

func (displayMathParser) CanInterruptParagraph() bool { return true }
func (displayMathParser) CanAcceptIndentedLine() bool { return false }

// formula returns TeX as MathML Core without style attributes, with the TeX as an
// annotation, and as boxes. It reports, at its place, what cannot be typeset.
func (c *Context) formula(source string, parts []text.Segment, block bool) (markup string, b box.Box) {
	b, err := tex.Read(source)
	if err == nil {
		element := box.Element{Block: block, TeX: strings.TrimSpace(source)}
		if block {
			return element.WriteLines(b), b
		}
		return element.Write(b), b
	}
	at, length, message, repair := 0, len(source), err.Error(), ""
	var fault *tex.Fault
	if errors.As(err, &fault) {
		at, length, message, repair = fault.Start, fault.End-fault.Start, fault.Message, fault.Repair
	}
	newline := 0
	if block {
		newline = 1 // a block joins its parts with line ends
	}
	start := place(parts, at, newline)
	c.Diagnostics.Addf(c.span(start, start+length), CodeMath, "%s", message).Repair = repair
	return "<code>" + string(util.EscapeHTML([]byte(source))) + "</code>", nil
}

// place returns the offset in the file of an offset in the joined parts.
func place(parts []text.Segment, offset, between int) int {
	for i, p := range parts {
		if offset <= p.Len() || i == len(parts)-1 {
			return p.Start + min(offset, p.Len())
		}
		offset -= p.Len() + between
	}
	return 0
}

func renderMath(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	markup := n.(*Math).Markup
	if isInHeader(n) {
		// Read as words: with each cell a screen reader says the head of its column again.
		markup = `<span class="sr">` + string(util.EscapeHTML([]byte(wordsOfTeX(n.(*Math).TeX)))) + `</span><span aria-hidden="true">` + markup + `</span>`
	}
	if len(n.(*Math).TeX) > longMath {
		markup = `<span class="formula">` + markup + `</span>`
	}
	_, err := w.WriteString(markup)
	return ast.WalkSkipChildren, err
}

// longMath is how many bytes of TeX a formula within a sentence may have before a page
// can set it smaller and scroll it by itself, as one that has a line of its own. It is
// wider than a telephone only if it is longer.
const longMath = 80

// renderMathBlock wraps a formula so that a page can scroll it by itself.
func renderMathBlock(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	_, err := w.WriteString(`<div class="formula">` + n.(*MathBlock).Markup + "</div>\n")
	return ast.WalkSkipChildren, err
}
