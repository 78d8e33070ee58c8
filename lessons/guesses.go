package lessons

import (
	"math"
	"slices"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/lessons/guess"
)

// readGuesses reads the blocks of guesses, and returns what is wrong in them.
func (l *Lesson) readGuesses() source.List {
	var list source.List
	for _, c := range l.CellsOf(Guess) {
		g, found := guess.Parse(c.ID, c.Text)
		list = append(list, found...)
		if !found.HasErrors() {
			l.Guesses = append(l.Guesses, g)
		}
	}
	return list
}

// Guess returns the guess of a cell; nil if there is none that can be shown.
func (l *Lesson) Guess(id string) *guess.Guess {
	for _, g := range l.Guesses {
		if g.ID == id {
			return g
		}
	}
	return nil
}

// checkGuesses reports guesses whose answers cannot be worked out, names that cannot be
// covered, and what gives an answer away above its guess.
func (l *Lesson) checkGuesses(w *kernel.Working) source.List {
	if len(l.Guesses) == 0 {
		return nil
	}
	c, list := l.covering(w)
	for _, g := range l.Guesses {
		for _, c := range g.Covers {
			if !l.defines(w, c.Name) {
				list.Addf(c.At, guess.CodeCovers, "the lesson does not define %s", c.Name).Repair = "name a value, a function or a shaft of the lesson's cells"
			}
		}
		list = append(list, l.answeredAbove(w, c, g)...)
	}
	return list
}

// isRough reports whether a number has one figure only: it may stand in a question.
func (c claim) isRough() bool { return c.half > math.Abs(c.si)/20 }

// answers reports whether a number of the prose is one of the answers.
func answers(c claim, truths []kernel.Result) bool {
	return slices.ContainsFunc(truths, func(r kernel.Result) bool {
		return r.Value != nil && c.borneOutBy(fact{si: r.Value.Number, dim: r.Value.Dim})
	})
}

// equals reports whether a line works out the same value as one of the answers. A value
// that is given, or that is 0 or 1, may be the same by chance.
func (l *Lesson) equals(r *kernel.Result, truths []kernel.Result) bool {
	if r.Kind != kernel.KindValue || r.Value == nil || showsNothing(r) || r.Value.Number == 0 || r.Value.Number == 1 {
		return false
	}
	return slices.ContainsFunc(truths, func(t kernel.Result) bool {
		return t.Value != nil && t.Value.Dim == r.Value.Dim && math.Abs(math.Abs(t.Value.Number)-math.Abs(r.Value.Number)) <= exactly*math.Abs(t.Value.Number)
	})
}

// plotsCurve reports whether a line plots the curve that is to be sketched.
func plotsCurve(r *kernel.Result, g *guess.Guess) bool {
	p, ok := r.Node.(*notation.Plot)
	if !ok || g.Curve == nil {
		return false
	}
	curve := strings.Join(strings.Fields(g.Curve.Columns[0].Expr.Span().Content()), "")
	return slices.ContainsFunc(p.Columns, func(c *notation.Column) bool {
		return strings.Join(strings.Fields(c.Expr.Span().Content()), "") == curve
	})
}

// firstLine returns the first line of a place.
func firstLine(s source.Span) source.Span {
	if line, _, several := strings.Cut(s.Content(), "\n"); several {
		s.End = s.Start + len(line)
	}
	return s
}

// defines reports whether a name is a value, a function or a shaft of the working.
func (l *Lesson) defines(w *kernel.Working, name string) bool {
	for _, c := range l.working {
		if c.Name == name && c.Kind == kernel.Shaft {
			return true
		}
		for _, r := range w.Results(c.ID) {
			if r.Name == name {
				return true
			}
		}
	}
	return false
}
