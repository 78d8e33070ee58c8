package exercises

import (
	"context"
	"fmt"
	"slices"

	"shaftbook/exercises/marking"
	"shaftbook/exercises/yamltext"
	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// limits bound one expression of an exercise or of an answer.
var limits = kernel.Limits{Work: 250_000_000}

// An evaluator is the working of one structure with one set of numbers on it. Names
// can be given other values for a while, which is how slips are computed: the
// working stays, the values that the learner took wrongly are replaced.
type evaluator struct {
	exercise  *Exercise
	structure *Structure
	working   *kernel.Working
	cells     []kernel.Cell
	givens    []*marking.Given

	places yamltext.Places // texts that are not the exercise's own
	choice []int           // which value of each given

	known []givenValue // of the givens, while the working has not been evaluated with its texts; else nil
}

// A givenValue is what GivenValue returns.
type givenValue struct {
	value kernel.Value
	text  string
	ok    bool
}

const (
	workCell   = "work"
	shaftCell  = "shaft"
	figureCell = "figure"
)

// newEvaluator lays out a structure with the chosen value of each given.
func newEvaluator(e *Exercise, s *Structure, choice []int) *evaluator {
	d := &evaluator{exercise: e, structure: s, working: kernel.NewWorking(limits), places: yamltext.Places{}, choice: slices.Clone(choice)}
	var cells []kernel.Cell
	for i, g := range s.Given {
		t := g.cellText(choice[i], e.Text.Name, g.at.Position().Line)
		d.places[t] = g.place()
		d.givens = append(d.givens, &g.Given)
		cells = append(cells, kernel.Cell{ID: givenCell(i), Kind: kernel.Calc, Text: t})
	}
	if s.work != nil {
		cells = append(cells, kernel.Cell{ID: workCell, Kind: kernel.Calc, Text: s.work})
	}
	if s.shaft != nil {
		cells = append(cells, kernel.Cell{ID: shaftCell, Kind: kernel.Shaft, Name: marking.ShaftName, Text: s.shaft})
	}
	d.cells = cells
	d.working.SetCells(cells)
	return d
}

// choose gives the givens other values.
func (d *evaluator) choose(choice []int) {
	for i, g := range d.structure.Given {
		if choice[i] == d.choice[i] {
			continue
		}
		d.choice[i] = choice[i]
		t := g.cellText(choice[i], d.exercise.Text.Name, g.at.Position().Line)
		delete(d.places, d.cells[i].Text)
		d.places[t] = g.place()
		d.cells[i].Text = t
	}
	replaceTexts(d.working, d.cells)
	d.known = nil // evaluate is next
}

// catchUp evaluates the working if it lags behind its texts.
func (d *evaluator) catchUp(ctx context.Context) {
	if d.known != nil && d.working.Evaluate(ctx, nil) == nil {
		d.known = nil
	}
}

// results returns the results of a cell.
func (d *evaluator) results(cell string) []kernel.Result {
	d.catchUp(context.Background()) // what it evaluates is bounded, and was evaluated before
	return d.working.Results(cell)
}

// figures evaluates what draws, in a working of its own: a drawing costs more than
// a slip, and slips are computed with other values.
func (d *evaluator) figures(ctx context.Context) ([]kernel.Result, source.List, error) {
	if d.structure.figure == nil {
		return nil, nil, nil
	}
	own := &evaluator{exercise: d.exercise, structure: d.structure, working: kernel.NewWorking(limits), places: d.places}
	own.working.SetCells(append(slices.Clone(d.cells), kernel.Cell{ID: figureCell, Kind: kernel.Calc, Text: d.structure.figure}))
	list, err := own.evaluate(ctx)
	return own.working.Results(figureCell), list, err
}

func givenCell(i int) string { return fmt.Sprintf("given-%d", i) }

// place returns where the statement of a given comes from. A fixed value is in
// the block letter by letter, a drawn one does not.
func (g *Given) place() yamltext.Place {
	prefix := len(g.Head + " = ")
	if len(g.values) > 1 || g.at.Content() != g.values[0] {
		return yamltext.Place{At: g.at}
	}
	return yamltext.Place{At: g.at, Exact: true, Offset: g.at.Start - prefix}
}

// evaluate brings the values up to date and returns what is in error.
func (d *evaluator) evaluate(ctx context.Context) (source.List, error) {
	if err := d.working.Evaluate(ctx, nil); err != nil {
		return nil, err
	}
	d.known = nil
	var list source.List
	for i := range d.structure.Given {
		list = append(list, d.problems(givenCell(i))...)
	}
	for _, id := range []string{workCell, shaftCell, figureCell} {
		list = append(list, d.problems(id)...)
	}
	return list, nil
}

func (d *evaluator) problems(cell string) source.List {
	var list source.List
	for _, r := range d.working.Results(cell) {
		if r.Failed() {
			list = append(list, *r.Diagnostics.FirstError())
		}
	}
	return d.exercise.places.Locate(d.places.Locate(list))
}

// Value evaluates an expression of the exercise.
func (d *evaluator) Value(ctx context.Context, x notation.Expr) (kernel.Evaluated, source.List) {
	d.catchUp(ctx)
	v, list := d.working.EvalExpr(ctx, x)
	if list.HasErrors() {
		return v, d.exercise.places.Locate(d.places.Locate(list))
	}
	if v.Value.IsBracket || v.Value.IsTruth {
		list.Addf(x.Span(), CodeValue, "this must be one number")
		return v, d.exercise.places.Locate(list)
	}
	return v, nil
}

// Truth evaluates a condition.
func (d *evaluator) Truth(ctx context.Context, x notation.Expr) (bool, source.List) {
	d.catchUp(ctx)
	v, list := d.working.EvalExpr(ctx, x)
	if list.HasErrors() {
		return false, d.exercise.places.Locate(d.places.Locate(list))
	}
	if !v.Value.IsTruth {
		list.Addf(x.Span(), CodeValue, "a condition compares two values").Repair = "write d_1/d_0 < 2"
		return false, d.exercise.places.Locate(list)
	}
	return v.Value.Truth, nil
}

// Givens lists the given names.
func (d *evaluator) Givens() []*marking.Given { return d.givens }

// Eval evaluates an expression of a learner.
func (d *evaluator) Eval(ctx context.Context, x notation.Expr) (kernel.Evaluated, source.List) {
	d.catchUp(ctx)
	return d.working.EvalExpr(ctx, x)
}

// Possible reports whether the conditions of the structure hold.
func (d *evaluator) Possible(ctx context.Context) bool {
	for _, x := range d.structure.where {
		if truth, list := d.Truth(ctx, x); !truth || list.HasErrors() {
			return false
		}
	}
	return true
}

// GivenValue returns the present value of the i-th given; ok is false for functions
// and for what has no value.
func (d *evaluator) GivenValue(i int) (v kernel.Value, text string, ok bool) {
	if d.known != nil {
		g := d.known[i]
		return g.value, g.text, g.ok
	}
	results := d.working.Results(givenCell(i))
	if len(results) != 1 || results[0].Value == nil || results[0].Failed() {
		return kernel.Value{}, "", false
	}
	return *results[0].Value, results[0].Text, true
}

// WithValues gives names other values, in SI units, while f runs. It may be nested.
func (d *evaluator) WithValues(ctx context.Context, values map[int]float64, f func() error) error {
	return d.withWritten(ctx, values, literal, func(list source.List) error {
		if list.HasErrors() {
			return list.Err()
		}
		return f()
	})
}

// WithEnclosures is under with each value as a bracket of no width, so that whatever
// is worked out from them is a guaranteed bracket. A shaft cannot be made of
// brackets; what needs it then has no value.
func (d *evaluator) WithEnclosures(ctx context.Context, values map[int]float64, f func() error) error {
	return d.withWritten(ctx, values, func(v float64, dim unit.Dimension) string {
		return "between " + literal(v, dim) + " and " + literal(v, dim)
	}, func(source.List) error { return f() })
}

func (d *evaluator) withWritten(ctx context.Context, values map[int]float64, write func(float64, unit.Dimension) string, f func(source.List) error) error {
	known := make([]givenValue, len(d.structure.Given))
	texts := map[int]string{}
	for i := range known {
		g := &known[i]
		g.value, g.text, g.ok = d.GivenValue(i)
		v, replaced := values[i]
		switch {
		case replaced && !g.ok:
			return fmt.Errorf("%s has no value", d.structure.Given[i].Name)
		case replaced:
			texts[i] = d.structure.Given[i].Head + " = " + write(v, g.value.Dim)
		}
	}
	before := map[int]*source.Text{}
	for i, text := range texts {
		before[i] = d.working.Source(givenCell(i))
		if err := d.working.Edit(givenCell(i), text); err != nil {
			return err
		}
	}
	list, err := d.evaluate(ctx)
	if err == nil {
		err = f(list)
	}
	for i, text := range before {
		if again := d.working.Replace(givenCell(i), text); again != nil {
			return again
		}
	}
	d.known = known // what comes next may be other values again
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
