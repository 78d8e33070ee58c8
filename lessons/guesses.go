package lessons

import (
	"context"

	"shaftbook/kernel"
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

// Truths evaluates the lesson as it is written and returns what is right, for each
// guess by its ID, and what is wrong with the answers. The error is ctx's.
func (l *Lesson) Truths(ctx context.Context) (map[string]guess.Truth, source.List, error) {
	if len(l.Guesses) == 0 {
		return nil, nil, nil
	}
	w := l.workingWithGuesses()
	if err := w.Evaluate(ctx, nil); err != nil {
		return nil, nil, err
	}
	truths, list := l.truths(w)
	return truths, list, nil
}

// workingWithGuesses returns the working of the lesson with the answers of its guesses,
// each in a cell under the guess's ID.
func (l *Lesson) workingWithGuesses() *kernel.Working {
	cells := append([]kernel.Cell{}, l.working...)
	for _, g := range l.Guesses {
		if c, ok := g.Cell(); ok {
			cells = append(cells, c)
		}
	}
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells(cells)
	return w
}

func (l *Lesson) truths(w *kernel.Working) (map[string]guess.Truth, source.List) {
	var list source.List
	truths := map[string]guess.Truth{}
	for _, g := range l.Guesses {
		truth, found := g.Truth(w.Results(g.ID))
		list = append(list, found...)
		if !found.HasErrors() {
			truths[g.ID] = truth
		}
	}
	return truths, list
}

// checkGuesses reports guesses whose answers cannot be worked out.
func (l *Lesson) checkGuesses(w *kernel.Working) source.List {
	_, list := l.truths(w)
	for _, g := range l.Guesses {
		for _, c := range g.Covers {
			if !l.defines(w, c.Name) {
				list.Addf(c.At, guess.CodeCovers, "the lesson does not define %s", c.Name).Repair = "name a value, a function or a shaft of the lesson's cells"
			}
		}
	}
	return list
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
