package exercises

import (
	"context"
	"fmt"
	"slices"
	"time"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// limits bound one expression of an exercise or of an answer.
var limits = kernel.Limits{Time: 250 * time.Millisecond}

// A evaluator is the working of one structure with one set of numbers on it. Names
// can be given other values for a while, which is how slips are computed: the
// working stays, the values that the learner took wrongly are replaced.
type evaluator struct {
	e     *Exercise
	s     *Structure
	w     *kernel.Working
	cells []kernel.Cell

	places map[*source.Text]place // texts that are not the exercise's own
}

const (
	workCell   = "work"
	shaftCell  = "shaft"
	figureCell = "figure"
	shaftName  = "S"
)

// newDesk lays out a structure with the chosen value of each given.
func newDesk(e *Exercise, s *Structure, choice []int) *evaluator {
	d := &evaluator{e: e, s: s, w: kernel.NewWorking(limits), places: map[*source.Text]place{}}
	var cells []kernel.Cell
	for i, g := range s.Given {
		t := g.cellText(choice[i], e.Text.Name, g.at.Position().Line)
		d.places[t] = g.place()
		cells = append(cells, kernel.Cell{ID: givenCell(i), Kind: kernel.Calc, Text: t})
	}
	if s.work != nil {
		cells = append(cells, kernel.Cell{ID: workCell, Kind: kernel.Calc, Text: s.work})
	}
	if s.shaft != nil {
		cells = append(cells, kernel.Cell{ID: shaftCell, Kind: kernel.Shaft, Name: shaftName, Text: s.shaft})
	}
	d.cells = cells
	d.w.SetCells(cells)
	return d
}

// figures evaluates what draws, on a desk of its own: a drawing costs more than
// a slip, and slips are computed with other values.
func (d *evaluator) figures(ctx context.Context) ([]kernel.Result, source.List, error) {
	if d.s.figure == nil {
		return nil, nil, nil
	}
	own := &evaluator{e: d.e, s: d.s, w: kernel.NewWorking(limits), places: d.places}
	own.w.SetCells(append(slices.Clone(d.cells), kernel.Cell{ID: figureCell, Kind: kernel.Calc, Text: d.s.figure}))
	list, err := own.evaluate(ctx)
	return own.w.Results(figureCell), list, err
}

func givenCell(i int) string { return fmt.Sprintf("given-%d", i) }

// place says where the statement of a given comes from. A fixed value stands
// in the block letter by letter, a drawn one does not.
func (g *Given) place() place {
	prefix := len(g.head + " = ")
	if len(g.values) > 1 || g.at.Content() != g.values[0] {
		return place{at: g.at}
	}
	return place{at: g.at, exact: true, offset: g.at.Start - prefix}
}

// evaluate brings the values up to date and returns what is in error.
func (d *evaluator) evaluate(ctx context.Context) (source.List, error) {
	if err := d.w.Evaluate(ctx, nil); err != nil {
		return nil, err
	}
	var list source.List
	for i := range d.s.Given {
		list = append(list, d.problems(givenCell(i))...)
	}
	for _, id := range []string{workCell, shaftCell, figureCell} {
		list = append(list, d.problems(id)...)
	}
	return list, nil
}

func (d *evaluator) problems(cell string) source.List {
	var list source.List
	for _, r := range d.w.Results(cell) {
		if r.Failed() {
			list = append(list, *r.Diagnostics.FirstError())
		}
	}
	return locate(locate(list, d.places), d.e.places)
}

// value evaluates an expression of the exercise.
func (d *evaluator) value(ctx context.Context, x notation.Expr) (kernel.Evaluated, source.List) {
	v, list := d.w.EvalExpr(ctx, x)
	if list.HasErrors() {
		return v, locate(locate(list, d.places), d.e.places)
	}
	if v.Value.IsBracket || v.Value.IsTruth {
		list.Addf(x.Span(), CodeValue, "this must be one number")
		return v, locate(list, d.e.places)
	}
	return v, nil
}

// truth evaluates a condition.
func (d *evaluator) truth(ctx context.Context, x notation.Expr) (bool, source.List) {
	v, list := d.w.EvalExpr(ctx, x)
	if list.HasErrors() {
		return false, locate(locate(list, d.places), d.e.places)
	}
	if !v.Value.IsTruth {
		list.Addf(x.Span(), CodeValue, "a condition compares two values").Repair = "write d_1/d_0 < 2"
		return false, locate(list, d.e.places)
	}
	return v.Value.Truth, nil
}

// given returns the present value of the i-th given; ok is false for functions
// and for what has no value.
func (d *evaluator) given(i int) (v kernel.Value, text string, ok bool) {
	results := d.w.Results(givenCell(i))
	if len(results) != 1 || results[0].Value == nil || results[0].Failed() {
		return kernel.Value{}, "", false
	}
	return *results[0].Value, results[0].Text, true
}

// under gives names other values, in SI units, while f runs. It may be nested.
func (d *evaluator) under(ctx context.Context, values map[int]float64, f func() error) error {
	return d.written(ctx, values, literal, func(list source.List) error {
		if list.HasErrors() {
			return list.Err()
		}
		return f()
	})
}

// enclosed is under with each value as a bracket of no width, so that whatever
// is worked out from them is a guaranteed bracket. A shaft cannot be made of
// brackets; what needs it then has no value.
func (d *evaluator) enclosed(ctx context.Context, values map[int]float64, f func() error) error {
	return d.written(ctx, values, func(v float64, dim unit.Dimension) string {
		return "between " + literal(v, dim) + " and " + literal(v, dim)
	}, func(source.List) error { return f() })
}

func (d *evaluator) written(ctx context.Context, values map[int]float64, write func(float64, unit.Dimension) string, f func(source.List) error) error {
	before := map[int]string{}
	for i, v := range values {
		old, _, ok := d.given(i)
		if !ok {
			return fmt.Errorf("%s has no value", d.s.Given[i].Name)
		}
		before[i], _ = d.w.Text(givenCell(i))
		if err := d.w.Edit(givenCell(i), d.s.Given[i].head+" = "+write(v, old.Dim)); err != nil {
			return err
		}
	}
	list, err := d.evaluate(ctx)
	if err == nil {
		err = f(list)
	}
	for i, text := range before {
		if err := d.w.Edit(givenCell(i), text); err != nil {
			return err
		}
	}
	if again := d.w.Evaluate(ctx, nil); again != nil {
		return again
	}
	return err
}

// literal writes a value so that it is read back exactly.
func literal(v float64, dim unit.Dimension) string {
	text := unit.Shortest(v)
	if dim.IsNumber() {
		return text
	}
	return text + " " + dim.String()
}
