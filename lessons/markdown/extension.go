// Package markdown teaches goldmark the constructs of a lesson: front matter,
// the kinds of cells, formulas in TeX, tables, anchors of headings, and links
// between lessons. Each construct has a file of its own with its node, its
// parser or transformer, and its renderer.
//
// What an author got wrong is reported with its place in the file and never
// stops the page; see Context.
package markdown

import (
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	tables "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"shaftbook/kernel/source"
)

// Extension adds the parsers and transformers to a goldmark parser. The
// document must be parsed with a context made by Context.
var Extension goldmark.Extender = lessonExtension{}

type lessonExtension struct{}

// Extend implements goldmark.Extender. The numbers are goldmark's priorities:
// lower runs earlier. Its own thematic break is at 200, its paragraph at
// 1000, its code span at 100.
func (lessonExtension) Extend(m goldmark.Markdown) {
	m.Parser().AddOptions(tableOptions()...)
	m.Parser().AddOptions(
		parser.WithBlockParsers(
			util.Prioritized(frontMatterParser{}, 50),
			util.Prioritized(displayMathParser{}, 750),
		),
		parser.WithInlineParsers(
			util.Prioritized(inlineMathParser{}, 150),
		),
		parser.WithASTTransformers(
			util.Prioritized(cellTransformer{}, 100),
			util.Prioritized(proseTransformer{}, 200),
		),
	)
}

// A Context carries what parsing finds beside the tree.
type Context struct {
	Text        *source.Text // the whole file; offsets of nodes point into it
	Diagnostics source.List
	Cells       []*Cell
	Headings    []Heading
	Links       []Link
	Assets      []Asset
}

var contextKey = parser.NewContextKey()

// Options returns the option with which the file of c is to be parsed.
func (c *Context) Options() parser.ParseOption {
	pc := parser.NewContext()
	pc.Set(contextKey, c)
	return parser.WithContext(pc)
}

func contextOf(pc parser.Context) *Context { return pc.Get(contextKey).(*Context) }

// span returns a place in the file.
func (c *Context) span(start, end int) source.Span {
	return source.Span{Text: c.Text, Start: start, End: max(start, end)}
}

// lineFrom returns the place from an offset to the end of its line.
func (c *Context) lineFrom(start int) source.Span {
	start = max(0, min(start, len(c.Text.Content)))
	end := start
	for end < len(c.Text.Content) && c.Text.Content[end] != '\n' {
		end++
	}
	return c.span(start, end)
}

// NewRenderer returns a renderer that writes cells with the given hooks. base
// is the address under which lessons are served, "/lesson/"; own is the slug
// of the lesson, under which its files are found. With beside, each section is a box
// with its text and what beside writes.
//
// Covered pieces of the text are written by hide; without it they are open. Lines, or nil,
// writes before each block.
func NewRenderer(base, own string, hooks Hooks, beside Beside, covered []Covered, hide Hide, lines Lines) renderer.Renderer {
	mark := func(r renderer.NodeRenderer) renderer.NodeRenderer {
		if lines == nil {
			return r
		}
		return withLines{r, lines}
	}
	return renderer.NewRenderer(renderer.WithNodeRenderers(
		util.Prioritized(mark(html.NewRenderer()), 1000),
		util.Prioritized(mark(nodeRenderer{base, own, hooks, beside, covered, hide}), 100),
	))
}

type nodeRenderer struct {
	base, own string
	hooks     Hooks
	beside    Beside // or nil
	covered   []Covered
	hide      Hide // or nil
}

// RegisterFuncs implements renderer.NodeRenderer.
func (r nodeRenderer) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(KindFrontMatter, skip)
	reg.Register(KindCell, r.cell)
	reg.Register(ast.KindDocument, r.document)
	reg.Register(ast.KindHeading, r.heading)
	reg.Register(ast.KindText, r.renderText)
	reg.Register(KindMath, renderMath)
	reg.Register(KindMathBlock, renderMathBlock)
	reg.Register(ast.KindRawHTML, skip)
	reg.Register(ast.KindHTMLBlock, skip)
	reg.Register(ast.KindLink, r.link)
	reg.Register(ast.KindImage, r.image)
	r.registerTables(reg)
}

// skip leaves a node out of the page.
func skip(util.BufWriter, []byte, ast.Node, bool) (ast.WalkStatus, error) {
	return ast.WalkSkipChildren, nil
}

// proseTransformer visits the prose once, for anchors, links and raw HTML.
type proseTransformer struct{}

// Transform implements parser.ASTTransformer.
func (proseTransformer) Transform(doc *ast.Document, reader text.Reader, pc parser.Context) {
	c := contextOf(pc)
	anchors := anchors{context: c, used: map[string]bool{}}
	// The walker below never returns an error, so Walk cannot.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Heading:
			anchors.heading(n, reader.Source())
		case *ast.Link:
			c.link(n, n.Destination)
		case *ast.AutoLink:
			c.link(n, n.URL(reader.Source()))
		case *ast.Image:
			c.image(n, reader.Source())
		case *ast.Paragraph:
			c.notATable(n, reader.Source())
		case *tables.TableRow:
			c.surplus(n)
		case *ast.RawHTML:
			c.rawHTML(n.Segments)
		case *ast.HTMLBlock:
			c.rawHTML(n.Lines())
		}
		return ast.WalkContinue, nil
	})
}

// rawHTML reports HTML in the text. A comment is the author's own note and is
// silently left out of the page.
func (c *Context) rawHTML(lines *text.Segments) {
	if lines.Len() == 0 {
		return
	}
	first := lines.At(0)
	if len(first.Value([]byte(c.Text.Content))) > 3 && c.Text.Content[first.Start:first.Start+4] == "<!--" {
		return
	}
	last := lines.At(lines.Len() - 1)
	c.Diagnostics.Addf(c.span(first.Start, last.Stop), CodeRawHTML, "raw HTML is not shown").
		Repair = "write it in Markdown; for a bare < write \\<"
}
