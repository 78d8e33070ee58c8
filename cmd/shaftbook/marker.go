package main

import (
	"context"
	"fmt"
	"html"
	"html/template"
	"strings"
	"sync"
	"time"

	"shaftbook/exercises"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

const (
	selfLearner = "self-learner" // whoever reads without an account
	markWait    = 2 * time.Second
	narrowWidth = 340 // of a figure on a telephone, in pixels
)

// marker sets and marks the exercises of lessons for readers without an
// account. It implements web.Marker.
type marker struct {
	read sync.Map // *source.Text of a cell to the *exercises.Exercise in it
}

// exercise returns an exercise that can be set, or what is wrong with it.
func (m *marker) exercise(cell lessons.Cell) (*exercises.Exercise, error) {
	if e, ok := m.read.Load(cell.Text); ok {
		return e.(*exercises.Exercise), nil
	}
	e, list := exercises.Parse(cell.Name, cell.Text)
	if err := list.Err(); err != nil {
		return nil, err
	}
	m.read.Store(cell.Text, e)
	return e, nil
}

func (m *marker) variant(ctx context.Context, cell lessons.Cell) (*exercises.Variant, error) {
	e, err := m.exercise(cell)
	if err != nil {
		return nil, err
	}
	return e.Variant(ctx, exercises.HeadlessKey, selfLearner, 0)
}

// Exercise implements web.Marker. An exercise that cannot be set says so on the
// page; the rest of the lesson can be read.
func (m *marker) Exercise(_ *lessons.Lesson, cell lessons.Cell) (page.Exercise, error) {
	ctx, cancel := context.WithTimeout(context.Background(), markWait)
	defer cancel()
	v, err := m.variant(ctx, cell)
	if err != nil {
		why := html.EscapeString(err.Error())
		return page.Exercise{Title: "This exercise cannot be set", Question: template.HTML("<p>" + why + ". The command shaftbook check says where.</p>")}, nil
	}
	view := page.Exercise{Title: v.Exercise.Title, Question: question(ctx, v, cell.ID)}
	for _, a := range v.Structure.Asks {
		view.Parts = append(view.Parts, page.Part{Name: a.Name, Label: a.Text})
	}
	return view, nil
}

// Mark implements web.Marker.
func (m *marker) Mark(_ *lessons.Lesson, cell lessons.Cell, part, answer string) (page.Said, error) {
	ctx, cancel := context.WithTimeout(context.Background(), markWait)
	defer cancel()
	v, err := m.variant(ctx, cell)
	if err != nil {
		return page.Said{}, err
	}
	verdict, err := v.Mark(ctx, part, answer)
	if err != nil {
		return page.Said{}, err
	}
	return page.Said{Verdict: string(verdict.Kind), Word: verdict.Kind.Word(), Message: verdict.Message}, nil
}

// question writes what is set: the words, the given values, the figure, the
// sentences to pick from, and the hints, each of which opens the next.
func question(ctx context.Context, v *exercises.Variant, id string) template.HTML {
	var b strings.Builder
	if v.Structure.Text != "" {
		b.WriteString("<p>" + lessons.Inline(v.Structure.Text) + "</p>")
	}
	if len(v.Given) > 0 {
		b.WriteString("<p>Given:</p><ul class=\"given\">")
		for _, g := range v.Given {
			b.WriteString("<li>" + typesetGiven(g) + "</li>")
		}
		b.WriteString("</ul>")
	}
	figures, err := v.Figures(ctx)
	if err != nil {
		b.WriteString("<p>" + html.EscapeString("The figure cannot be drawn: "+err.Error()) + "</p>")
	}
	for i, r := range figures {
		b.WriteString(exerciseFigure(r.Figure, fmt.Sprintf("%s-figure-%d", id, i)))
	}
	for _, a := range v.Structure.Asks {
		for i, o := range a.Options {
			if i == 0 {
				b.WriteString("<p>" + lessons.Inline(a.Text) + " Answer with the word before the colon.</p><ul>")
			}
			b.WriteString("<li>" + html.EscapeString(o.Name) + ": " + lessons.Inline(o.Text) + "</li>")
		}
		if len(a.Options) > 0 {
			b.WriteString("</ul>")
		}
		b.WriteString(hints(a.Hints))
	}
	return template.HTML(b.String())
}

// hints writes hints inside one another, so that one at a time is seen.
func hints(list []string) string {
	if len(list) == 0 {
		return ""
	}
	word := "A hint"
	if len(list) == 1 {
		word = "The last hint"
	}
	return "<details><summary>" + word + "</summary><p>" + lessons.Inline(list[0]) + "</p>" + hints(list[1:]) + "</details>"
}

func typesetGiven(g exercises.Value) string {
	line := g.Name + " = " + g.Text
	cell, list := notation.ParseCell(source.NewText("", line))
	if list.HasErrors() || len(cell.Stmts) != 1 {
		return html.EscapeString(line)
	}
	return typeset.MathML(cell.Stmts[0], typeset.Options{Style: typeset.Inline})
}

// exerciseFigure draws a figure twice, as the page does, so that the text in it
// keeps its size on a telephone.
func exerciseFigure(p figure.Picture, id string) string {
	wide, err := p.SVG(figure.Options{ID: id})
	if err != nil {
		return "<p>" + html.EscapeString("This figure cannot be drawn: "+err.Error()) + "</p>"
	}
	narrow, err := p.SVG(figure.Options{ID: id + "-narrow", Width: narrowWidth})
	if err != nil {
		narrow = wide
	}
	return `<figure class="picture"><div class="at-wide">` + string(wide) + `</div><div class="at-narrow">` + string(narrow) + "</div></figure>"
}
