package page

import (
	"html"
	"html/template"

	"shaftbook/exercises"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/lessons"
)

// Given sets a given name of an exercise with its value.
func Given(g exercises.Value) template.HTML {
	line := g.Name + " = " + g.Text
	cell, list := notation.ParseCell(source.NewText("", line))
	if list.HasErrors() || len(cell.Stmts) != 1 {
		return template.HTML(html.EscapeString(line))
	}
	return template.HTML(typeset.MathML(cell.Stmts[0], typeset.Options{Style: typeset.Inline, Label: typeset.Spoken(cell.Stmts[0])}))
}

// Inline sets the words of an exercise, which are Markdown within one paragraph.
func Inline(s string) template.HTML {
	out, err := lessons.Inline(s)
	if err != nil {
		return template.HTML(html.EscapeString(s))
	}
	return template.HTML(out)
}
