package lessons

import (
	"context"

	"shaftbook/exercises"
	"shaftbook/kernel/source"
)

// CodeExpect: a plausibility check of the lesson does not hold with the values
// the lesson starts with.
const CodeExpect source.Code = "expect-fails"

// Check evaluates the cells of a lesson as a reader first sees them and returns
// what an author should mend: statements in error, checks that do not hold,
// numbers in the prose that no cell bears out, quantities that repeat a named one,
// guesses that are answered already, covered results in formulas, steps of derivations that do not
// follow, and exercises that do not work for every set of numbers.
// What is wrong in the writing itself, Parse and Load have said. Of a cell with many
// errors it returns the first three and how many there are, unless all are asked
// for.
func Check(ctx context.Context, l *Lesson, all bool) (source.List, error) {
	w := l.workingWithGuesses()
	if err := w.Evaluate(ctx, nil); err != nil {
		return nil, err
	}
	var list source.List
	for _, c := range l.WorkingCells() {
		for _, r := range w.Results(c.ID) {
			list = append(list, r.Said(all)...)
			if r.Verdict != nil && !r.Verdict.Holds {
				list.Addf(r.Span, CodeExpect, "this check does not hold in the lesson as it stands: %s", r.Verdict.Margin).
					Repair = "correct the working or the check"
			}
		}
	}
	list = append(list, l.checkProse(w)...)
	list = append(list, l.checkRepeats(w)...)
	list = append(list, l.checkGuesses(w)...)
	list = append(list, l.checkFormulas(w)...)
	for _, c := range l.CellsOf(Derive) {
		list = append(list, checkDerivation(ctx, c)...)
	}
	for _, c := range l.CellsOf(Exercise) {
		found, err := checkExercise(ctx, c)
		if err != nil {
			return nil, err
		}
		list = append(list, found...)
	}
	return list, nil
}

func checkExercise(ctx context.Context, c Cell) (source.List, error) {
	e, list := exercises.Parse(c.Name, c.Text)
	if list.HasErrors() {
		return list, nil
	}
	proof, err := exercises.Prove(ctx, e)
	return append(list, proof.Problems...), err
}
