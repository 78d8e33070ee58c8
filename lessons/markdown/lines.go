package markdown

import (
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// Lines writes something before a block of a document that stands in no other: from and
// to are the offsets of its text, to that of the next one.
type Lines func(w util.BufWriter, from, to int) error

// withLines has lines called before what another renderer writes of each block. Blocks of
// which the parser knows no place are left out.
type withLines struct {
	renderer.NodeRenderer
	lines Lines
}

// RegisterFuncs implements renderer.NodeRenderer.
func (l withLines) RegisterFuncs(to renderer.NodeRendererFuncRegisterer) {
	l.NodeRenderer.RegisterFuncs(linesRegisterer{to, l.lines})
}

type linesRegisterer struct {
	to    renderer.NodeRendererFuncRegisterer
	lines Lines
}

// Register implements renderer.NodeRendererFuncRegisterer.
func (l linesRegisterer) Register(kind ast.NodeKind, f renderer.NodeRendererFunc) {
	l.to.Register(kind, func(w util.BufWriter, src []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if parent := n.Parent(); entering && parent != nil && parent.Kind() == ast.KindDocument {
			if from, ok := placeOf(n); ok {
				to := len(src)
				for next := n.NextSibling(); next != nil; next = next.NextSibling() {
					if at, ok := placeOf(next); ok && at > from {
						to = at
						break
					}
				}
				if err := l.lines(w, from, to); err != nil {
					return ast.WalkStop, err
				}
			}
		}
		return f(w, src, n, entering)
	})
}

// placeOf returns where the text of a block begins.
func placeOf(n ast.Node) (at int, ok bool) {
	if _, ok := n.(*FrontMatter); ok {
		return 0, true
	}
	if at := n.Pos(); at > 0 {
		return at, true
	}
	if n.Type() == ast.TypeBlock && n.Lines() != nil && n.Lines().Len() > 0 {
		return n.Lines().At(0).Start, true
	}
	return 0, false
}
