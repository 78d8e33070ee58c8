package lessons

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"

	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset/box"
	"shaftbook/lessons/markdown"
)

func readInline(s string) ast.Node {
	context := &markdown.Context{Text: source.NewText("", s)}
	return reader.Parse(text.NewReader([]byte(s)), context.Options())
}

// Inline writes one paragraph of Markdown as HTML without its paragraph tags:
// the words of an exercise, which are in a label or a list item.
func Inline(s string) (string, error) {
	var b bytes.Buffer
	if err := newRenderer("", markdown.Hooks{}, nil, nil, nil, nil).Render(&b, []byte(s), readInline(s)); err != nil {
		return "", err
	}
	return strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(b.String()), "<p>"), "</p>"), nil
}

// A Run is a piece of a paragraph that is set in one way: text, or a formula
// with the TeX that it was written in.
type Run struct {
	Text             string
	Emphasis, Strong bool
	Formula          box.Box // nil for text
	TeX              string
}

// InlineRuns reads one paragraph of Markdown into runs, for a writer that sets
// type itself.
func InlineRuns(s string) []Run {
	var runs []Run
	emphasis, strong := 0, 0
	add := func(text string) {
		runs = append(runs, Run{Text: text, Emphasis: emphasis > 0, Strong: strong > 0})
	}
	// The walker below never returns an error, so Walk cannot.
	_ = ast.Walk(readInline(s), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if n, ok := n.(*ast.Emphasis); ok {
			level := &emphasis
			if n.Level == 2 {
				level = &strong
			}
			if entering {
				*level++
			} else {
				*level--
			}
		}
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			add(string(n.Segment.Value([]byte(s))))
			if n.SoftLineBreak() || n.HardLineBreak() {
				add(" ")
			}
		case *ast.String:
			add(string(n.Value))
		case *ast.AutoLink:
			add(string(n.Label([]byte(s))))
		case *markdown.Math:
			if n.Box == nil {
				add(n.TeX)
				break
			}
			runs = append(runs, Run{Emphasis: emphasis > 0, Strong: strong > 0, Formula: n.Box, TeX: strings.TrimSpace(n.TeX)})
		}
		return ast.WalkContinue, nil
	})
	return runs
}
