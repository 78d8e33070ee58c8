package lessons

import (
	"bytes"

	"github.com/yuin/goldmark/ast"

	"shaftbook/lessons/markdown"
)

// RenderBlocks writes the prose of a lesson as [Render] does, in as many pieces as
// [Blocks] cuts its text into: the HTML of each block by itself, without margins, so
// that a page can put something between them. The piece of the front matter is empty.
// It returns the first error of a hook.
func RenderBlocks(l *Lesson, hooks Hooks, blocks []Block) ([]string, error) {
	hooks.Beside = nil
	pieces := make([]string, len(blocks))
	var b bytes.Buffer
	at, end := 0, 0
	if len(blocks) > 0 {
		end = len(blocks[0].Raw)
	}
	done := func() { pieces[at] += b.String(); b.Reset() }
	writer := newRenderer(l.Slug, markdown.Hooks{
		Calc:     adapt(l, hooks.Calc),
		Shaft:    adapt(l, hooks.Shaft),
		Exercise: adapt(l, hooks.Exercise),
		Derive:   adapt(l, hooks.Derive),
		Guess:    adapt(l, hooks.Guess),
	}, nil, hooks.Covering.pieces(), hide(hooks), nil)
	for n := l.doc.FirstChild(); n != nil; n = n.NextSibling() {
		for start := startOf(n); start >= end && at+1 < len(blocks); {
			done()
			at++
			end += len(blocks[at].Raw)
		}
		if err := writer.Render(&b, []byte(l.Text.Content), n); err != nil {
			return nil, err
		}
	}
	if len(blocks) > 0 {
		done()
	}
	return pieces, nil
}

// startOf returns where a block of the tree begins, -1 where that is not known.
func startOf(n ast.Node) int {
	if h, ok := n.(*ast.Heading); ok && h.Lines().Len() > 0 {
		return h.Lines().At(0).Start
	}
	return n.Pos()
}
