package reader

import (
	"bytes"
	"context"
	"html/template"
	"strings"

	"shaftbook/exercises"
	"shaftbook/lessons"
	"shaftbook/lessons/guess"
	"shaftbook/web/page"
	"shaftbook/web/turns"
)

// withParts puts into the page of states what a lesson has only for a learner who has done
// something: guesses that were made, what waits for one, practice and its worked solution.
// Nothing is kept here, so these are made by the templates of the page from one answer
// each. They stand in an inert template, from which states.js takes them.
func (h *Handlers) withParts(ctx context.Context, text []byte, lesson *lessons.Lesson, c *covers) ([]byte, error) {
	var all strings.Builder
	put := func(state string, body template.HTML) {
		all.WriteString(`<div data-state="` + template.HTMLEscapeString(state) + `">` + string(body) + "</div>\n")
	}
	err := turns.Do(ctx, turns.Page, func(ctx context.Context) error {
		for _, p := range c.pieces {
			if strings.Contains(p.shut, `class="row covered`) {
				put("result: covered by a guess", template.HTML(`<div class="cell"><div class="rows">`+p.shut+"</div></div>"))
				break
			}
		}
		for _, s := range []struct{ state, id, text string }{
			{"guess: a number made", "guess-how-many", "1.2 deg"}, {"guess: a number shown without a guess", "guess-how-many", ""},
			{"guess: a choice made", "guess-which-end", "b"}, {"guess: an order made", "guess-most-first", "a b c"},
			{"guess: a sketch made", "guess-how-the-twist-grows", "m|deg|0 0;0.4 1.2;0.8 1.6"},
		} {
			body, err := h.guessOf(lesson.Guess(s.id), c, s.text)
			if err != nil {
				return err
			}
			put(s.state, body)
		}
		doubt, err := guessWith(lesson.Guess("guess-how-many"), c, func(v *page.Guess) {
			v.Typed, v.Trouble, v.Choices = "1.2", "The unit is missing.", []page.Choice{{Text: "1.2 deg"}, {Text: "1.2 rad"}}
		})
		if err != nil {
			return err
		}
		put("guess: asked about", doubt)
		return practiceStates(ctx, lesson, put)
	})
	if err != nil {
		return nil, err
	}
	return bytes.Replace(text, []byte("</main>"), []byte(`<template class="js-parts">`+all.String()+"</template>\n</main>"), 1), nil
}

// guessOf shows a guess that was made, or the truth without one.
func (h *Handlers) guessOf(g *guess.Guess, c *covers, text string) (template.HTML, error) {
	truth, _ := c.truth(g.ID)
	return guessWith(g, c, func(v *page.Guess) {
		if v.Seen = text == ""; !v.Seen {
			v.Add(g.Compare(truth, text, 0.021)) // 1.2 deg, where it is a number
		}
		v.Show(g, truth)
		if g.Kind == guess.Sketch {
			_ = v.Draw(h.Rows, g, truth, []string{text}) // without a figure it is seen to be missing
		}
		v.Again = "#" + g.ID
	})
}

func guessWith(g *guess.Guess, c *covers, change func(*page.Guess)) (template.HTML, error) {
	truth, _ := c.truth(g.ID)
	view := page.NewGuess(g, truth)
	view.Action = "#" + g.ID
	change(&view)
	body, err := page.Render("ask-guess", view)
	return template.HTML(body), err
}

// practiceStates shows an exercise to practise: asked, with a wrong answer, and with its
// solution and the line in which the answer went wrong.
func practiceStates(ctx context.Context, lesson *lessons.Lesson, put func(state string, body template.HTML)) error {
	cell := lesson.CellsOf(lessons.Exercise)[0]
	e, list := exercises.Parse(cell.Name, cell.Text)
	if list.HasErrors() {
		return list.Err()
	}
	v, err := e.Variant(ctx, []byte(statesSlug), statesSlug, 0)
	if err != nil {
		return err
	}
	ask := v.Structure.Parts[0]
	part := page.PracticePart{Name: ask.Name, Label: page.Inline(ask.Text), Help: "A number with its unit.", Hints: []template.HTML{page.Inline(ask.Hints[0])}}
	view := page.Practice{ID: "practice-one", Title: e.Title, Question: template.HTML("<p>" + page.Inline(v.Structure.Text) + "</p>"), Action: "#practice-one", Other: "#practice-one", Parts: []page.PracticePart{part}}
	show := func(state string) error {
		body, err := page.Render("practice-set", view)
		put(state, template.HTML(body))
		return err
	}
	if err := show("practice: asked"); err != nil {
		return err
	}
	part.Answer = "2 deg"
	part.Said = &page.Said{Verdict: "wrong", Word: "Wrong", Message: "It is not near the value.", Answer: part.Answer}
	view.Parts[0] = part
	if err := show("practice: a wrong answer"); err != nil {
		return err
	}
	worked, err := v.Worked(ctx, ask.Name)
	if err != nil {
		return err
	}
	lines := page.WorkedLines(worked)
	lines[0].Slips = []template.HTML{"Your answer 2 deg went wrong in this line."}
	part.Worked = &page.Worked{Open: true, Lines: lines}
	view.IsDone, view.Parts[0] = true, part
	return show("practice: the worked solution, with a slip")
}
