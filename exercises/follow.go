package exercises

import (
	"context"
	"fmt"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// follow works out a solution with the numbers of a variant: one result for each line.
// The list has what has no value; err is ctx's. Written lines stand beside the given
// names only, as they do for the learner.
func (v *Variant) follow(ctx context.Context, s *Solution) ([]kernel.Result, source.List, error) {
	return v.followIn(ctx, nil, "", s)
}

// followIn is follow with the working that was kept for the solution of a part.
func (v *Variant) followIn(ctx context.Context, r *reuse, part string, s *Solution) ([]kernel.Result, source.List, error) {
	d := &evaluator{exercise: v.Exercise, structure: v.Structure, places: v.eval.places}
	d.cells = append(d.cells, v.eval.cells[:len(v.Structure.Given)]...)
	for i, l := range s.Lines {
		d.cells = append(d.cells, kernel.Cell{ID: solutionCell(i), Kind: kernel.Calc, Text: l.text})
	}
	if s.needsShaft {
		d.cells = append(d.cells, v.eval.cells[len(v.eval.cells)-1])
	}
	d.working = r.working(reuseKey{v.way, "solution " + part}, d.cells)
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

// lineOf makes a line of a solution that nobody wrote.
func lineOf(stmt notation.Stmt) *SolutionLine {
	l := &SolutionLine{stmt: stmt, text: source.NewText("solution", notation.Print(stmt))}
	switch s := stmt.(type) {
	case *notation.Define:
		l.name = s.Name.Ident
	case *notation.DefineFunc:
		l.name = s.Name.Ident
	}
	return l
}

// followWith is the value of the last line where one line has another formula. ok is
// false if that cannot be worked out.
func (v *Variant) followWith(ctx context.Context, s *Solution, i int, formula notation.Expr) (line, last float64, ok bool) {
	changed := *s
	changed.Lines = append([]*SolutionLine{}, s.Lines...)
	var stmt notation.Stmt
	switch old := s.Lines[i].stmt.(type) {
	case *notation.Define:
		c := *old
		c.Expr = formula
		stmt = &c
	case *notation.DefineFunc:
		c := *old
		c.Body = formula
		stmt = &c
	case *notation.Show:
		c := *old
		c.Expr = formula
		stmt = &c
	}
	changed.Lines[i] = lineOf(stmt)
	results, list, err := v.follow(ctx, &changed)
	if err != nil || list.HasErrors() {
		return 0, 0, false
	}
	if r := results[i].Value; r != nil {
		line = r.Number
	}
	end := results[len(results)-1].Value
	if end == nil || end.IsBracket || end.IsTruth {
		return 0, 0, false
	}
	return line, end.Number, true
}

// replaceFree puts expressions in the place of names that nothing inside x binds.
func replaceFree(x notation.Expr, with map[string]notation.Expr) notation.Expr {
	switch x := x.(type) {
	case nil:
		return nil
	case *notation.Name:
		if y := with[x.Ident]; y != nil {
			return y
		}
		return x
	case *notation.Bind:
		c := *x
		c.From, c.To = replaceFree(x.From, with), replaceFree(x.To, with)
		inside := with
		if x.Var != nil && with[x.Var.Ident] != nil {
			inside = map[string]notation.Expr{}
			for name, y := range with {
				if name != x.Var.Ident {
					inside[name] = y
				}
			}
		}
		c.Body = replaceFree(x.Body, inside)
		return &c
	}
	return notation.Map(x, func(e notation.Expr) notation.Expr { return replaceFree(e, with) })
}
