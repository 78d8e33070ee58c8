package lessons

import (
	"io"
	"strings"

	"github.com/yuin/goldmark/util"

	"shaftbook/lessons/markdown"
)

// Path returns the address of a lesson on the site. A file beside the lesson
// is served under Path(slug) + "/" + its name. A key with a slash, such as that of
// a learner's own page, is an address already.
func Path(slug string) string {
	if strings.Contains(slug, "/") {
		return "/" + slug
	}
	return "/lesson/" + slug
}

// Hooks write the cells of a lesson into its page, by kind. A cell without a
// hook is left out. Beside writes what stands in the margin beside a section; with
// it each section is a box of its own. Hide writes the number of Covering.Numbers at a
// place; open is its HTML. Without it numbers are open.
type Hooks struct {
	Calc, Shaft, Exercise, Derive, Guess func(w io.Writer, cell Cell) error
	Beside                               func(w io.Writer, heading string) error
	Covering                             *Covering // or nil
	Hide                                 func(w io.Writer, number int, open string) error

	// Line writes something before a block of the text that stands in no other: line is
	// that on which the block begins, from 1, and raw its text up to the next one.
	Line func(w io.Writer, line int, raw string) error
}

// Render writes the prose of the lesson as HTML, with each cell written by its
// hook. The title is not written: it is the page's heading. The HTML holds no
// style attributes and no scripts. It returns the first error of a hook or of
// w.
func Render(w io.Writer, l *Lesson, hooks Hooks) error {
	return newRenderer(l.Slug, markdown.Hooks{
		Calc:     adapt(l, hooks.Calc),
		Shaft:    adapt(l, hooks.Shaft),
		Exercise: adapt(l, hooks.Exercise),
		Derive:   adapt(l, hooks.Derive),
		Guess:    adapt(l, hooks.Guess),
	}, beside(hooks), hooks.Covering.pieces(), hide(hooks), lines(l, hooks)).Render(w, []byte(l.Text.Content), l.doc)
}

func adapt(l *Lesson, hook func(io.Writer, Cell) error) func(util.BufWriter, *markdown.Cell) error {
	if hook == nil {
		return nil
	}
	return func(w util.BufWriter, c *markdown.Cell) error {
		cell, _ := l.Cell(c.ID)
		return hook(w, cell)
	}
}

func hide(hooks Hooks) markdown.Hide {
	if hooks.Hide == nil {
		return nil
	}
	return func(w util.BufWriter, number int, open string) error { return hooks.Hide(w, number, open) }
}

func lines(l *Lesson, hooks Hooks) markdown.Lines {
	if hooks.Line == nil {
		return nil
	}
	text := l.Text.Content
	return func(w util.BufWriter, from, to int) error {
		return hooks.Line(w, 1+strings.Count(text[:from], "\n"), text[from:to])
	}
}

func beside(hooks Hooks) markdown.Beside {
	if hooks.Beside == nil {
		return nil
	}
	return func(w util.BufWriter, heading string) error { return hooks.Beside(w, heading) }
}
