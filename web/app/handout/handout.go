// Package handout prints the exercises of one learner: the problems with room to
// work, or the expected answers for the instructor who marks. ForVariant makes
// them from a variant; package page shows them as HTML, and [PDF] writes a file.
package handout

import (
	"context"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/words"
)

// Caution is printed at the foot of each sheet.
const Caution = "For learning only. A real shaft must also be checked for fatigue, keyways, shoulders, bearings, impact and manufacturing; " +
	"design for service is work for qualified people under the codes and standards that apply where they work."

// Scale is printed on a sheet that has figures.
const Scale = "Printed at full size (100 %), drawings are to the stated scale."

// A Handout is the sheet of one learner.
type Handout struct {
	Title    string // of the lesson or the assignment
	Name     string // of the learner; empty leaves a line to write it on
	Class    string // with its term, or empty
	Due      string // with the name of the clock, or empty
	Answers  bool   // whether it has the expected answers
	Problems []Problem
}

// A Problem is one exercise with one learner's numbers.
type Problem struct {
	Title   string
	Setting string // what is set, Markdown within one paragraph; may be empty
	Given   []exercises.Value
	Lines   []exercises.DerivationLine // of a derivation with lines to fill
	Figures []figure.Picture           // without what was worked out for them
	Guesses []Prediction               // none on a sheet of answers: they carry no marks
	Parts   []Part
	Trouble string // why it, or a figure of it, is not there; with a way out
}

// A Prediction is a question that is answered before anything is calculated.
type Prediction struct {
	Text    string // Markdown within one paragraph
	Bracket bool   // whether a bracket is asked; else more, less or the same
}

// A Part is one thing that is asked. It must not be changed.
type Part struct {
	Letter   string // "a"; empty for an only part
	Ask      *exercises.Part
	Expected *exercises.Expected // on a sheet of answers, else nil
}

// ForVariant puts a variant on paper. The error is ctx's, or that of an exercise whose
// answers have no value with these numbers.
func ForVariant(ctx context.Context, v *exercises.Variant, answers bool) (Problem, error) {
	p := Problem{Title: v.Exercise.Title, Setting: v.Structure.Text, Given: v.Given, Lines: v.Structure.Derivation(false)}
	figures, err := v.Figures(ctx)
	if ctx.Err() != nil {
		return p, ctx.Err()
	}
	if err != nil {
		p.Trouble = "The figure cannot be drawn: " + err.Error() + ". The lesson’s author has to fix it; the command shaftbook check shows where."
	}
	for _, r := range figures {
		p.Figures = append(p.Figures, figure.Bare(r.Figure))
	}
	if !answers {
		for _, q := range v.Structure.Predictions {
			p.Guesses = append(p.Guesses, Prediction{q.Text, q.Kind == exercises.Bracket})
		}
	}
	for i, a := range v.Structure.Parts {
		part := Part{Ask: a}
		if len(v.Structure.Parts) > 1 {
			part.Letter = string(rune('a' + i)) // an exercise asks for less than 26 things
		}
		if answers {
			e, err := v.Expected(ctx, a.Name)
			if err != nil {
				return p, err
			}
			part.Expected = &e
		}
		p.Parts = append(p.Parts, part)
	}
	return p, nil
}

// Unset is the problem in the place of an exercise that cannot be set.
func Unset(title string, err error) Problem {
	return Problem{Title: title, Trouble: "This exercise cannot be set: " + err.Error() + ". The lesson’s author has to fix it; the command shaftbook check shows where."}
}

// HasFigures reports whether a sheet shows a drawing.
func (s *Handout) HasFigures() bool {
	for _, p := range s.Problems {
		if len(p.Figures) > 0 {
			return true
		}
	}
	return false
}

// Points is what a sheet is worth, in words.
func (s *Handout) Points() string {
	sum := 0.0
	for _, p := range s.Problems {
		for _, part := range p.Parts {
			sum += part.Ask.Points
		}
	}
	return words.Amount(sum, "point")
}

// Squares is how many rows of squares of 5 mm a part gets to be worked out on: none
// for one that is picked, few for a formula, more for a calculation. What is left of a
// page is squared too.
func (p *Part) Squares() int {
	switch p.Ask.Kind {
	case marking.Pick:
		return 0
	case marking.Formula, marking.Line:
		return 6
	}
	return 11
}

// mostValues is how many values of one slip stand on a sheet; a lost power of a
// thousand has a dozen.
const mostValues = 4

// FirstValues returns the values of a slip that are shown, and how many more there are.
func FirstValues(values []string) (shown []string, more int) {
	n := min(len(values), mostValues)
	return values[:n], len(values) - n
}

// RouteHeading introduces a second way to an answer, which may be read from the
// shaft of the exercise as it is drawn.
func RouteHeading(s *exercises.Step) string {
	for _, name := range notation.FreeNames(s.Formula) {
		if name.Ident == marking.ShaftName {
			return "From the drawn shaft:"
		}
	}
	return "Another way:"
}
