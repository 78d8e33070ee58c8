package markdown

import (
	"strings"

	"github.com/yuin/goldmark/ast"
	tables "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/util"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/typeset/box"
	"shaftbook/kernel/typeset/tex"
)

// A Passage is one block of a lesson as a reader sees it, without marks: a
// paragraph, an item of a list, a row of a table, a formula on lines of its own, a statement of a cell
// that shows its text.
type Passage struct {
	Heading int // how many headings come before it
	Pieces  []Piece
}

// A Piece is text within a passage, or a formula.
type Piece struct {
	Text   string // as plain text; spaces and line ends as they are written
	Markup string // of a formula its MathML; "" of text
}

// Text returns the passage as one line with single spaces.
func (p Passage) Text() string {
	var b strings.Builder
	for _, piece := range p.Pieces {
		b.WriteString(piece.Text)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// Passages returns the passages of a document in their order. The text of
// exercises, derivations and guesses is left out, since it holds the answers; in the place
// of a covered piece are words that say so.
func Passages(doc ast.Node, src []byte, covered []Covered) []Passage {
	var list []Passage
	headings := 0
	add := func(pieces ...Piece) {
		if p := (Passage{headings, pieces}); p.Text() != "" {
			list = append(list, p)
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
			switch n.Sort {
			case Calc:
				for _, statement := range statements(n.Source) {
					add(statement...)
				}
			case Shaft:
				for line := range strings.Lines(n.Source.Content) {
					add(Piece{Text: line})
				}
			}
		case *MathBlock:
			add(Piece{wordsOfTeX(n.TeX), n.Markup})
		case *ast.FencedCodeBlock, *ast.CodeBlock:
			add(Piece{Text: string(n.Lines().Value(src))})
		case *FrontMatter, *ast.HTMLBlock:
		case *tables.TableHeader, *tables.TableRow:
			add(rowPieces(n, src, covered)...)
		default:
			if n.FirstChild() == nil || n.FirstChild().Type() != ast.TypeInline {
				return ast.WalkContinue, nil
			}
			add(inlinePieces(n, src, covered)...)
		}
		return ast.WalkSkipChildren, nil
	})
	return list
}

// statements returns each statement of a calculation cell as a formula, with the
// comment behind it as text.
func statements(t *source.Text) [][]Piece {
	cell, _ := notation.ParseCell(t)
	var list [][]Piece
	for _, s := range cell.Stmts {
		at := s.Span()
		formula := Piece{Text: at.Content()}
		if _, unread := s.(*notation.BadStmt); !unread {
			formula.Markup = typeset.MathML(s, typeset.Options{Lines: true})
		}
		rest, _, _ := strings.Cut(t.Content[at.End:], "\n")
		if _, comment, ok := strings.Cut(rest, "#"); ok {
			list = append(list, []Piece{formula, {Text: " (" + strings.TrimSpace(comment) + ")"}})
			continue
		}
		list = append(list, []Piece{formula})
	}
	return list
}

// CoveredWords stand in a passage for a covered number.
const CoveredWords = "(covered until you guess)"

// inlinePieces returns a block of inline nodes as they are read.
func inlinePieces(block ast.Node, src []byte, covered []Covered) []Piece {
	var list []Piece
	var b strings.Builder
	flush := func() {
		if b.Len() > 0 {
			list = append(list, Piece{Text: b.String()})
		}
		b.Reset()
	}
	_ = ast.Walk(block, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			cutText(n.Segment.Start, n.Segment.Stop, covered, func(start, end int, piece *Covered) {
				if piece != nil {
					b.WriteString(CoveredWords)
					return
				}
				b.Write(util.ResolveEntityNames(util.ResolveNumericReferences(util.UnescapePunctuations(src[start:end]))))
			})
			if n.SoftLineBreak() || n.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		case *ast.AutoLink:
			b.Write(n.Label(src))
		case *Math:
			flush()
			list = append(list, Piece{wordsOfTeX(n.TeX), n.Markup})
		case *ast.RawHTML:
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
	flush()
	return list
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
