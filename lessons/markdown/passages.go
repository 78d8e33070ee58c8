package markdown

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"shaftbook/kernel/typeset/box"
	"shaftbook/kernel/typeset/tex"
)

// A Passage is one block of a lesson as a reader sees it, without marks: a
// paragraph, an item of a list, a formula on lines of its own, a cell that shows
// its text.
type Passage struct {
	Heading int    // how many headings come before it
	Text    string // spaces single
}

// Passages returns the passages of a document in their order. The text of
// exercises and derivations is left out, since it holds the answers.
func Passages(doc ast.Node, src []byte) []Passage {
	var list []Passage
	headings := 0
	add := func(text string) {
		if text = strings.Join(strings.Fields(text), " "); text != "" {
			list = append(list, Passage{headings, text})
		}
	}
	// The walker below never returns an error, so Walk cannot.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering || n.Type() == ast.TypeInline {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Heading:
			headings++
		case *Cell:
			if n.Sort == Calc || n.Sort == Shaft {
				add(n.Source.Content)
			}
		case *MathBlock:
			add(wordsOfTeX(n.TeX))
		case *ast.FencedCodeBlock, *ast.CodeBlock:
			add(string(n.Lines().Value(src)))
		case *FrontMatter, *ast.HTMLBlock:
		default:
			if n.FirstChild() == nil || n.FirstChild().Type() != ast.TypeInline {
				return ast.WalkContinue, nil
			}
			add(inlineWords(n, src))
		}
		return ast.WalkSkipChildren, nil
	})
	return list
}

// inlineWords returns the words of a block of inline nodes as they are read.
func inlineWords(block ast.Node, src []byte) string {
	var b strings.Builder
	_ = ast.Walk(block, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			b.Write(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(n.Segment.Value(src)))))
			if n.SoftLineBreak() || n.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		case *ast.AutoLink:
			b.Write(n.Label(src))
		case *Math:
			b.WriteString(wordsOfTeX(n.TeX))
		case *ast.RawHTML:
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
	return b.String()
}

var texMarks = strings.NewReplacer(`\,`, " ", `\;`, " ", `\ `, " ", `\`, "", "{", "", "}", "")

// wordsOfTeX returns a formula as a line of plain text: "θ = (T·L)/(G·J)" is for
// finding and for excerpts. Of a formula that cannot be read only the marks of TeX
// are left out.
func wordsOfTeX(source string) string {
	formula, err := tex.Read(source)
	if err != nil {
		return texMarks.Replace(source)
	}
	return box.Plain(formula)
}
