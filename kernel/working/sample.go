package working

import (
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
)

const (
	mostRows    = 1000 // of a table
	mostPoints  = 4000 // of a curve
	usualPoints = 200  // of a curve, unless the plot says otherwise
	ratioPoints = 61   // of a curve spaced by ratio
)

// samples returns the values at which a table or a plot is evaluated.
func (e *evaluation) samples(r *notation.Range, isTable bool) ([]float64, bool) {
	from, ok1 := e.number(r.From)
	to, ok2 := e.number(r.To)
	if !ok1 || !ok2 {
		return nil, false
	}
	count, counted := 0, false
	if r.Rows != nil {
		if count, counted = e.rows(r, isTable); !counted {
			return nil, false
		}
	}
	isCount := e.it.info.Whole || e.it.info.Over.Dim.IsNumber() && whole(from) && whole(to)
	if from == to && !isTable {
		if isCount {
			return []float64{from}, true // a slider may leave one point
		}
		e.fail(r.Span(), CodeRange, "the range is empty: both ends are the same").Repair = "let it go from a smaller to a larger value"
		return nil, false
	}
	switch {
	case r.Ratio:
		return e.byRatio(r, from, to, count, isCount)
	case r.Step != nil:
		return e.bySteps(r, from, to, isTable)
	case counted:
		return spread(from, to, count, e.it.info.Whole), true
	case isTable && !isCount:
		e.fail(r.Span(), CodeRange, "a table over %s must say how many rows it has", r.Var.Ident).
			Repair = "end it with in 6 rows, or give a step: by …"
		return nil, false
	case isTable || e.it.info.Whole && to-from < usualPoints:
		return e.counts(r, from, to, isTable)
	}
	return spread(from, to, usualPoints+1, e.it.info.Whole), true
}

func (e *evaluation) rows(r *notation.Range, isTable bool) (int, bool) {
	n, ok := e.number(r.Rows)
	if !ok {
		return 0, false
	}
	most := mostPoints
	if isTable {
		most = mostRows
	}
	if !whole(n) || n < 2 || n > float64(most) {
		e.fail(r.Rows.Span(), CodeRange, "between 2 and %d are possible here", most).
			Repair = "give a whole number in that range"
		return 0, false
	}
	return int(n), true
}

// spread returns n values at equal distances, both ends included; as whole
// numbers without repeats if asked.
func spread(from, to float64, n int, isCount bool) []float64 {
	xs := make([]float64, 0, n)
	for i := range n {
		x := from + (to-from)*float64(i)/float64(n-1)
		if i == n-1 {
			x = to
		}
		xs = appendCount(xs, x, isCount)
	}
	return xs
}

func appendCount(xs []float64, x float64, isCount bool) []float64 {
	if !isCount {
		return append(xs, x)
	}
	x = math.Round(x)
	if len(xs) > 0 && xs[len(xs)-1] == x {
		return xs
	}
	return append(xs, x)
}

// counts returns from, from+1, … up to to.
func (e *evaluation) counts(r *notation.Range, from, to float64, isTable bool) ([]float64, bool) {
	if isTable && to-from >= mostRows {
		e.fail(r.Span(), CodeRange, "that makes more than %d rows", mostRows).
			Repair = "say how many: in 20 rows, or give a larger step: by …"
		return nil, false
	}
	if to < from {
		e.fail(r.Span(), CodeRange, "the range is empty: it must go from a smaller to a larger number").
			Repair = "swap the two ends"
		return nil, false
	}
	var xs []float64
	for x := from; x <= to; x++ {
		xs = append(xs, x)
	}
	return xs, true
}

func (e *evaluation) bySteps(r *notation.Range, from, to float64, isTable bool) ([]float64, bool) {
	step, ok := e.number(r.Step)
	if !ok {
		return nil, false
	}
	steps := (to - from) / step
	most := mostPoints
	if isTable {
		most = mostRows
	}
	if !(steps >= 0) || steps >= float64(most) {
		e.fail(r.Step.Span(), CodeRange, "this step does not lead from one end to the other in at most %d steps", most).
			Repair = "check its sign and its size"
		return nil, false
	}
	var xs []float64
	// A last step that falls short of the end by rounding alone still counts.
	for i := 0; float64(i) <= float64(steps*(1+1e-12))+1e-9; i++ {
		xs = append(xs, from+float64(float64(i)*step))
	}
	return xs, true
}

// byRatio returns values with a constant ratio between neighbours.
func (e *evaluation) byRatio(r *notation.Range, from, to float64, count int, isCount bool) ([]float64, bool) {
	if !(from > 0 && to > from) {
		e.fail(r.Span(), CodeRange, "a range spaced by ratio goes from one value above zero to a larger one").
			Repair = "start it above zero"
		return nil, false
	}
	if count == 0 {
		count = ratioPoints
	}
	xs := make([]float64, 0, count)
	ratio := elementary.Ln(to / from)
	for i := range count {
		x := from * elementary.Exp(ratio*float64(i)/float64(count-1))
		if i == count-1 {
			x = to
		}
		xs = appendCount(xs, x, isCount)
	}
	return xs, true
}
