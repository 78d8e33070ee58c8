package markdown

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	tables "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"shaftbook/kernel/pattern"
)

// Tables are those of GitHub Flavored Markdown 0.29, section 4.10, as goldmark reads them.
// What that leaves out in silence is reported: cells beyond those of the header, and a
// header that has another number of columns than the line of dashes.

// tableOptions add the tables to a parser. Formulas are read before the bars in code are.
func tableOptions() []parser.Option {
	return []parser.Option{
		parser.WithParagraphTransformers(util.Prioritized(boundedTables{extension.NewTableParagraphTransformer()}, 200)),
		parser.WithASTTransformers(util.Prioritized(extension.NewTableASTTransformer(), 50)),
	}
}

// mostTableCells is how many cells a table may have. Each row has as many as the header,
// also where it is written with fewer, so that a short text could ask for millions.
const mostTableCells = 10_000

// boundedTables leaves a paragraph that would be too large a table as it is.
type boundedTables struct{ parser.ParagraphTransformer }

// Transform implements parser.ParagraphTransformer.
func (b boundedTables) Transform(n *ast.Paragraph, reader text.Reader, pc parser.Context) {
	lines, most := n.Lines(), 0
	for i := 1; i < lines.Len() && lines.Len() > 2; i++ {
		line := lines.At(i)
		if text := line.Value(reader.Source()); dashes().Match(bytes.TrimRight(text, "\r\n")) {
			most = max(most, columns(text))
		}
	}
	if cells := most * lines.Len(); cells > mostTableCells {
		c := contextOf(pc)
		c.Diagnostics.Addf(c.lineFrom(lines.At(0).Start), CodeTable, "this table would have %d cells, and %d is the most", cells, mostTableCells).
			Repair = "split it, or show the part that matters"
		return
	}
	b.ParagraphTransformer.Transform(n, reader, pc)
}

// dashes is the line under the header of a table of two columns and more, or of one
// column between bars.
var dashes = pattern.New(`^ {0,3}(\|\s*:?-+:?\s*(\|\s*:?-+:?\s*)*\|?|:?-+:?\s*(\|\s*:?-+:?\s*)+\|?)\s*$`)

// notATable reports a paragraph that was meant to be a table.
func (c *Context) notATable(n *ast.Paragraph, src []byte) {
	lines := n.Lines()
	for i := 1; i < lines.Len(); i++ {
		line := lines.At(i)
		if !dashes().Match(bytes.TrimRight(line.Value(src), "\r\n")) {
			continue
		}
		under, head := lines.At(i), lines.At(i-1)
		if columns(head.Value(src)) == columns(under.Value(src)) {
			return // it would be too large
		}
		c.Diagnostics.Addf(c.lineFrom(under.Start), CodeTable, "this is not read as a table: the header has %d columns and the line of dashes %d",
			columns(head.Value(src)), columns(under.Value(src))).
			Repair = "write as many columns in both; a bar within a cell is \\|"
		return
	}
}

// surplus reports a row with more cells than its table has columns, and notes a line of
// text that is taken for a row.
func (c *Context) surplus(n *tables.TableRow) {
	at := c.lineFrom(n.Pos())
	if !strings.Contains(at.Content(), "|") && len(n.Alignments) > 1 {
		c.Diagnostics.Notef(at, CodeTable, "this line is a row of the table above it").Repair = "leave an empty line between them, or write the row with bars"
		return
	}
	if have, want := columns([]byte(at.Content())), len(n.Alignments); have > want {
		c.Diagnostics.Addf(at, CodeTable, "this row has %d cells and the table %d columns, so that the last are left out", have, want).
			Repair = "take them out, or add columns to the header; a bar within a cell is \\|"
	}
}

// columns counts the cells of a line.
func columns(line []byte) int {
	line = bytes.TrimSpace(line)
	line = bytes.TrimPrefix(line, []byte{'|'})
	if bytes.HasSuffix(line, []byte{'|'}) && !bytes.HasSuffix(line, []byte(`\|`)) {
		line = line[:len(line)-1]
	}
	n := 1
	for i, b := range line {
		if b == '|' && (i == 0 || line[i-1] != '\\') {
			n++
		}
	}
	return n
}

// isInTable reports whether a node stands in a cell of a table.
func isInTable(n ast.Node) bool {
	for ; n != nil; n = n.Parent() {
		if n.Kind() == tables.KindTableCell {
			return true
		}
	}
	return false
}

// isInHeader reports whether a node stands in the head of a column.
func isInHeader(n ast.Node) bool {
	for ; n != nil; n = n.Parent() {
		if n.Kind() == tables.KindTableHeader {
			return true
		}
	}
	return false
}

// withoutEscapedBars leaves out the backslash before each bar of a formula: in a cell of a
// table a bar is written \|.
func withoutEscapedBars(parts []text.Segment, src []byte) []text.Segment {
	var list []text.Segment
	for _, p := range parts {
		for {
			i := bytes.Index(src[p.Start:p.Stop], []byte(`\|`))
			if i < 0 {
				break
			}
			list = append(list, p.WithStop(p.Start+i))
			p = p.WithStart(p.Start + i + 1)
		}
		list = append(list, p)
	}
	return list
}

func (r nodeRenderer) registerTables(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(tables.KindTable, renderTable)
	reg.Register(tables.KindTableHeader, around("<thead><tr>\n", "</tr></thead>\n"))
	reg.Register(tables.KindTableRow, around("<tr>\n", "</tr>\n"))
	reg.Register(tables.KindTableCell, renderTableCell)
}

// renderTable writes a table in a box of its own, in which it scrolls where it is wider
// than the page; the box can have the focus and is named by the headings of its columns.
func renderTable(w util.BufWriter, src []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		_, err := w.WriteString("</table></div>\n")
		return ast.WalkContinue, err
	}
	label := "Table"
	if heads := tableHeads(n, src); heads != "" {
		label += ": " + heads
	}
	_, err := w.WriteString(`<div class="scroll" tabindex="0" role="group" aria-label="` + string(util.EscapeHTML([]byte(label))) + "\"><table>\n")
	return ast.WalkContinue, err
}

// tableHeads lists the headings of the columns in plain words.
func tableHeads(n ast.Node, src []byte) string {
	var heads []string
	for cell := n.FirstChild().FirstChild(); cell != nil; cell = cell.NextSibling() {
		if words := (Passage{Pieces: inlinePieces(cell, src, nil)}).Text(); words != "" {
			heads = append(heads, words)
		}
	}
	return strings.Join(heads, ", ")
}

func around(before, after string) renderer.NodeRendererFunc {
	return func(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
		written := after
		if entering {
			written = before
		}
		_, err := w.WriteString(written)
		return ast.WalkContinue, err
	}
}

// renderTableCell writes a cell; the style sheet has numbers to the right, so what is
// meant to be elsewhere says so. Strict rules for styles leave no room for an attribute.
func renderTableCell(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	cell := n.(*tables.TableCell)
	tag, scope := "td", ""
	if cell.Parent().Kind() == tables.KindTableHeader {
		tag, scope = "th", ` scope="col"`
	}
	if !entering {
		_, err := w.WriteString("</" + tag + ">\n")
		return ast.WalkContinue, err
	}
	class := ` class="words"`
	switch cell.Alignment {
	case tables.AlignRight:
		class = ""
	case tables.AlignCenter:
		class = ` class="mid"`
	}
	_, err := w.WriteString("<" + tag + scope + class + ">")
	return ast.WalkContinue, err
}

// rowPieces returns a row of a table as it is read, with its cells apart.
func rowPieces(row ast.Node, src []byte, covered []Covered) []Piece {
	var list []Piece
	for cell := row.FirstChild(); cell != nil; cell = cell.NextSibling() {
		if cell.PreviousSibling() != nil {
			list = append(list, Piece{Text: " · "})
		}
		list = append(list, inlinePieces(cell, src, covered)...)
	}
	return list
}
