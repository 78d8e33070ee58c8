package exercises

import (
	"context"
	"fmt"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

// follow works out a written solution with the numbers of a variant: one result for
// each line. The list has what has no value; err is ctx's. The lines stand beside
// the given names only, as they do for the learner.
func (v *Variant) follow(ctx context.Context, s *Solution) ([]kernel.Result, source.List, error) {
	d := &evaluator{exercise: v.Exercise, structure: v.Structure, working: kernel.NewWorking(limits), places: v.eval.places}
	d.cells = append(d.cells, v.eval.cells[:len(v.Structure.Given)]...)
	for i, l := range s.Lines {
		d.cells = append(d.cells, kernel.Cell{ID: solutionCell(i), Kind: kernel.Calc, Text: l.text})
	}
	d.working.SetCells(d.cells)
	if err := d.working.Evaluate(ctx, nil); err != nil {
		return nil, nil, err
	}
	var results []kernel.Result
	var list source.List
	for i := range s.Lines {
		list = append(list, d.problems(solutionCell(i))...)
		results = append(results, d.working.Results(solutionCell(i))...)
	}
	if !list.HasErrors() && len(results) != len(s.Lines) {
		return nil, nil, fmt.Errorf("the solution of %s has %d lines and %d results", v.Exercise.ID, len(s.Lines), len(results))
	}
	return results, list, nil
}

func solutionCell(i int) string { return fmt.Sprintf("solution-%d", i) }
