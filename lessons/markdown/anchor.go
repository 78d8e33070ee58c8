package markdown

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/yuin/goldmark/ast"
)

// A Heading is a heading of the lesson with the anchor by which a link finds
// it.
type Heading struct {
	Level int
	ID    string
	Text  string
	Line  int // in the file, from 1
}

// anchors gives headings their anchors.
type anchors struct {
	context *Context
	used    map[string]bool
	level   int // of the heading before; 0 at the start
}

func (a *anchors) heading(n *ast.Heading, src []byte) {
	words := plainText(n, src)
	at := a.context.lineFrom(n.Pos())
	previous := max(a.level, 1)
	a.level = n.Level
	switch {
	case n.Level == 1:
		a.context.Diagnostics.Addf(at, CodeHeading, "the title of a lesson is in its front matter, so headings start with ##").
			Repair = "write one more #"
	case n.Level > previous+1:
		a.context.Diagnostics.Addf(at, CodeHeading, "this heading is of level %d below one of level %d", n.Level, previous).
			Repair = "use " + strings.Repeat("#", previous+1)
	}
	if words == "" {
		a.context.Diagnostics.Addf(at, CodeHeading, "this heading has no text").Repair = "give it some words, or remove it"
	}
	id := a.unique(Anchor(words))
	n.SetAttributeString("id", []byte(id))
	a.context.Headings = append(a.context.Headings, Heading{n.Level, id, words, at.Position().Line})
}

// unique appends -2, -3, … to an anchor that is taken.
func (a *anchors) unique(id string) string {
	candidate := id
	for n := 2; a.used[candidate]; n++ {
		candidate = fmt.Sprintf("%s-%d", id, n)
	}
	a.used[candidate] = true
	return candidate
}

// Anchor returns the anchor of a heading: its letters and digits in small
// letters, its spaces and hyphens as single hyphens, all else dropped; a
// heading without a letter or digit has the anchor "section".
func Anchor(words string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(words) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(r)
		case unicode.IsSpace(r) || r == '-' || r == '_':
			gap = true
		}
	}
	if b.Len() == 0 {
		return "section"
	}
	return b.String()
}

// plainText returns the words of a node without their marks.
func plainText(n ast.Node, src []byte) string {
	var b strings.Builder
	// The walker below never returns an error, so Walk cannot.
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			b.Write(n.Segment.Value(src))
			if n.SoftLineBreak() || n.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		case *ast.AutoLink:
			b.Write(n.Label(src))
		case *Math:
			b.WriteString(n.TeX)
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(b.String())
}
