package derive

import (
	"errors"
	"math"
	"slices"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
)

// errSwitch: an integral that is not split where its integrand changes form has no
// estimate of its error.
var errSwitch = errors.New("the places where an integrand changes its form could not all be found")

// maxCuts bounds the places at which an integral is split, maxCells the cells that
// a nonlinear switch is looked for in.
const (
	maxCuts  = 64
	maxCells = 400
)

// A switchOver is what an integrand changes its form by: where u is 0, or where
// u is a whole number plus offset.
type switchOver struct {
	u, slope notation.Expr // slope is nil where it is not known
	linear   bool          // between two other switches
	steps    bool
	offset   float64
	smooth   bool // the integrand may have a peak there, and is smooth
}

// integrate integrates piece by piece between the places where the integrand
// changes its form, so that the rule meets smooth functions only.
func (v *evaluator) integrate(e *notation.Bind, p point, f bigfloat.Func, from, to bigfloat.Value) (bigfloat.Value, error) {
	list, known := v.switches[e]
	if !known {
		list = switchOvers(e)
		v.switches[e] = list
	}
	run, err := bigfloat.Sub(to, from)
	if err != nil {
		return run, err
	}
	if len(list) == 0 || run.Sign() == 0 {
		return bigfloat.Integrate(f, from, to)
	}
	backwards := run.Sign() < 0
	if backwards {
		from, to = to, from
	}
	s := splitter{v: v, x: e.Var.Ident, p: p, cuts: []bigfloat.Value{from, to}}
	for _, w := range list {
		if err := s.split(w); err != nil {
			return from, err
		}
	}
	total := bigfloat.Int(0)
	for i := range s.cuts[1:] {
		piece, err := bigfloat.Integrate(f, s.cuts[i], s.cuts[i+1])
		if err != nil {
			return piece, err
		}
		if total, err = bigfloat.Add(total, piece); err != nil {
			return total, err
		}
	}
	if backwards {
		total = bigfloat.Neg(total)
	}
	return total, nil
}

// switchOvers lists the switches of an integrand, the inner ones first. Those that
// depend on a name bound inside are left to the rule.
func switchOvers(b *notation.Bind) []switchOver {
	x := b.Var.Ident
	var out []switchOver
	add := func(u notation.Expr, steps bool, offset float64) {
		if !isFree(u, x) {
			return
		}
		slope, err := algebra.Derivative(u, x, nil)
		if err != nil {
			slope = nil
		}
		out = append(out, switchOver{u, slope, isPiecewiseLinear(u, x), steps, offset, false})
	}
	difference := func(a, c notation.Expr) {
		m := makerAt(a)
		add(m.sub(m.paren(a), m.paren(c)), false, 0)
	}
	var walk func(e notation.Expr)
	walk = func(e notation.Expr) {
		notation.Map(e, func(c notation.Expr) notation.Expr {
			if in, ok := c.(*notation.Bind); !ok || !isPiecewise(in.Body) {
				walk(c)
			}
			return c
		})
		if u, ok := absoluteOf(e); ok {
			add(u, false, 0)
			return
		}
		for _, u := range mayPeak(e) {
			// Where a quadratic only touches 0, its root has an edge; where it nearly
			// does, its reciprocal has a peak that may be narrower than any panel.
			if !isFree(u, x) || isPiecewiseLinear(u, x) {
				continue
			}
			if slope, err := algebra.Derivative(u, x, nil); err == nil && isFree(slope, x) {
				add(slope, false, 0)
				out[len(out)-1].smooth = true
			}
		}
		switch e := e.(type) {
		case *notation.Compare:
			for i := range e.Ops {
				difference(e.Xs[i], e.Xs[i+1])
			}
		case *notation.Call:
			switch e.Fun.Ident {
			case "min", "max":
				for i := range e.Args {
					for k := range i {
						difference(e.Args[k], e.Args[i])
					}
				}
			case "floor", "ceil":
				add(e.Args[0], true, 0)
			case "round":
				add(e.Args[0], true, 0.5)
			}
		}
	}
	walk(b.Body)
	return out
}

// mayPeak returns the u of √u, 1/u, exp(u), and of u to a fraction or a negative power,
// and the factors of a divisor.
func mayPeak(e notation.Expr) []notation.Expr {
	switch e := e.(type) {
	case *notation.Root:
		return []notation.Expr{e.X}
	case *notation.Call:
		if (e.Fun.Ident == "sqrt" || e.Fun.Ident == "exp") && len(e.Args) == 1 {
			return e.Args
		}
	case *notation.Binary:
		switch e.Op {
		case notation.OpDiv:
			return peakFactors(e.Y)
		case notation.OpPow:
			if r, ok := fractionalExponent(e); ok && (!r.IsInt() || r.Sign() < 0) {
				return peakFactors(e.X)
			}
		}
	}
	return nil
}

// peakFactors takes a product and whole powers apart.
func peakFactors(e notation.Expr) []notation.Expr {
	e = notation.Unparen(e)
	list := []notation.Expr{e}
	if b, ok := e.(*notation.Binary); ok {
		n, whole := exponentOf(b)
		switch {
		case b.Op == notation.OpMul:
			return append(peakFactors(b.X), peakFactors(b.Y)...)
		case b.Op == notation.OpPow && whole && n > 1:
			return append(list, b.X)
		}
	}
	return list
}

// isPiecewiseLinear reports whether u is linear in x as written, between the
// switches that it holds.
func isPiecewiseLinear(u notation.Expr, x string) bool {
	if !isFree(u, x) {
		return true
	}
	all := func(list ...notation.Expr) bool {
		return !slices.ContainsFunc(list, func(e notation.Expr) bool { return !isPiecewiseLinear(e, x) })
	}
	if inner, ok := absoluteOf(u); ok {
		return all(inner)
	}
	switch e := u.(type) {
	case *notation.Name:
		return true
	case *notation.Paren:
		return all(e.X)
	case *notation.Unary:
		return all(e.X)
	case *notation.If:
		return all(e.Then, e.Else)
	case *notation.Call:
		switch e.Fun.Ident {
		case "min", "max":
			return all(e.Args...)
		case "floor", "ceil", "round":
			return true
		}
	case *notation.Binary:
		switch e.Op {
		case notation.OpAdd, notation.OpSub:
			return all(e.X, e.Y)
		case notation.OpMul:
			return all(e.X, e.Y) && (!isFree(e.X, x) || !isFree(e.Y, x))
		case notation.OpDiv:
			return all(e.X) && !isFree(e.Y, x)
		}
	}
	return false
}

// A splitter cuts a range where switches are.
type splitter struct {
	v     *evaluator
	x     string
	p     point
	cuts  []bigfloat.Value // rising
	found []bigfloat.Value // by the present switch
	cells int
}

func (s *splitter) at(e notation.Expr, x bigfloat.Value) (bigfloat.Value, error) {
	before, had := s.p[s.x]
	s.p[s.x] = x
	value, err := s.v.value(e, s.p)
	delete(s.p, s.x)
	if had {
		s.p[s.x] = before
	}
	return value, err
}

func (s *splitter) split(w switchOver) error {
	s.found, s.cells = nil, 0
	for i := range s.cuts[1:] {
		a, b := s.cuts[i], s.cuts[i+1]
		var err error
		if w.linear {
			err = s.solve(w, a, b)
		} else {
			err = s.search(w, a, b)
		}
		if w.smooth && errors.Is(err, errSwitch) {
			err = s.crossing(w, a, b)
		}
		if err != nil {
			return err
		}
	}
	s.cuts = append(s.cuts, s.found...)
	if len(s.cuts) > maxCuts {
		return errSwitch
	}
	slices.SortStableFunc(s.cuts, func(x, y bigfloat.Value) int {
		d, err := bigfloat.Sub(x, y)
		if err != nil {
			return 0
		}
		return d.Sign()
	})
	return nil
}

// solve finds the switches in a piece on which u is linear.
func (s *splitter) solve(w switchOver, a, b bigfloat.Value) error {
	x, err1 := between(a, b, 0.25)
	y, err2 := between(a, b, 0.75)
	if err := firstError(err1, err2); err != nil {
		return err
	}
	ux, err1 := s.at(w.u, x)
	uy, err2 := s.at(w.u, y)
	if err1 != nil || err2 != nil {
		return nil // no value here: the rule will not find one either
	}
	rise, err1 := bigfloat.Sub(uy, ux)
	run, err2 := bigfloat.Sub(y, x)
	if err := firstError(err1, err2); err != nil {
		return err
	}
	if rise.Sign() == 0 {
		return nil
	}
	levels, err := w.levels(ux.Float64()-float64(rise.Float64()/2), uy.Float64()+float64(rise.Float64()/2))
	if err != nil {
		return err
	}
	for _, level := range levels {
		place, err := interpolate(x, run, ux, rise, level)
		if err != nil {
			return err
		}
		s.note(place, a, b)
	}
	return nil
}

// interpolate is x + (level − ux)·run/rise.
func interpolate(x, run, ux, rise, level bigfloat.Value) (bigfloat.Value, error) {
	d, err := bigfloat.Sub(level, ux)
	if err != nil {
		return d, err
	}
	if d, err = bigfloat.Mul(d, run); err != nil {
		return d, err
	}
	if d, err = bigfloat.Div(d, rise); err != nil {
		return d, err
	}
	return bigfloat.Add(x, d)
}

// levels lists the values of u between two at which the form changes, and one
// more on each side.
func (w switchOver) levels(low, high float64) ([]bigfloat.Value, error) {
	if !w.steps {
		return []bigfloat.Value{bigfloat.Int(0)}, nil
	}
	low, high = math.Floor(math.Min(low, high))-1, math.Ceil(math.Max(low, high))+1
	if high-low > maxCuts {
		return nil, errSwitch
	}
	var list []bigfloat.Value
	for k := low; k <= high; k++ {
		level, err := bigfloat.Float(k + w.offset)
		if err != nil {
			return nil, err
		}
		list = append(list, level)
	}
	return list, nil
}

// note keeps a place that lies inside a piece.
func (s *splitter) note(place, a, b bigfloat.Value) {
	above, err1 := bigfloat.Sub(place, a)
	below, err2 := bigfloat.Sub(b, place)
	if err1 == nil && err2 == nil && above.Sign() > 0 && below.Sign() > 0 {
		s.found = append(s.found, place)
	}
}

// search finds the switches in a piece by enclosures of u and of its slope: a cell
// in which u is not 0 has none, one on which u only rises or only falls has one
// at most. Cells of which neither is known are halved.
func (s *splitter) search(w switchOver, a, b bigfloat.Value) error {
	if hasExtremes(w.u) || w.slope == nil {
		return errSwitch
	}
	levels := []bigfloat.Value{bigfloat.Int(0)}
	if w.steps {
		u, err := s.over(w.u, a, b)
		if err != nil {
			return errSwitch
		}
		if levels, err = w.levels(u.Float64()-u.Radius(), u.Float64()+u.Radius()); err != nil {
			return err
		}
	}
	for _, level := range levels {
		if err := s.cell(w, level, a, b, a, b); err != nil {
			return err
		}
	}
	return nil
}

// crossing finds one place at which u changes its sign, if it does between the ends.
func (s *splitter) crossing(w switchOver, a, b bigfloat.Value) error {
	place, err := bigfloat.Root(func(x bigfloat.Value) (bigfloat.Value, error) { return s.at(w.u, x) }, a, b)
	if err == nil {
		s.note(place, a, b)
	}
	if errors.Is(err, errBudget) {
		return err
	}
	return nil // the rule is on its own
}

// hasExtremes reports whether e holds a minimum or a maximum, which enclosures
// do not decide.
func hasExtremes(e notation.Expr) bool {
	return len(find(e, func(c *notation.Call) bool {
		return c.Fun.Ident == "min" || c.Fun.Ident == "max" || c.Fun.Ident == "floor" || c.Fun.Ident == "ceil" || c.Fun.Ident == "round"
	})) > 0
}

// over encloses the values of e over a cell.
func (s *splitter) over(e notation.Expr, a, b bigfloat.Value) (bigfloat.Value, error) {
	x, err := bigfloat.Between(a, b)
	if err != nil {
		return x, err
	}
	return s.at(e, x)
}

func (s *splitter) cell(w switchOver, level, a, b, first, last bigfloat.Value) error {
	if s.cells++; s.cells > maxCells {
		return errSwitch
	}
	f := func(x bigfloat.Value) (bigfloat.Value, error) {
		u, err := s.at(w.u, x)
		if err != nil {
			return u, err
		}
		return bigfloat.Sub(u, level)
	}
	x, err := bigfloat.Between(a, b)
	if err != nil {
		return err
	}
	if u, err := f(x); err == nil && u.Sign() != 0 {
		return nil
	} else if errors.Is(err, errBudget) {
		return err
	}
	if slope, err := s.over(w.slope, a, b); err == nil && slope.Sign() != 0 {
		ua, err1 := f(a)
		ub, err2 := f(b)
		if err1 == nil && err2 == nil {
			switch {
			case ua.Sign() == 0:
				s.note(a, first, last)
			case ub.Sign() == 0:
				s.note(b, first, last)
			case ua.Sign() != ub.Sign():
				place, err := bigfloat.Root(f, a, b)
				if err != nil {
					return errSwitch
				}
				s.note(place, first, last)
			}
			return nil
		}
	}
	mid, err := between(a, b, 0.5078125) // seldom where something is 0
	if err != nil {
		return err
	}
	if err := s.cell(w, level, a, mid, first, last); err != nil {
		return err
	}
	return s.cell(w, level, mid, b, first, last)
}

// between is a + share·(b − a).
func between(a, b bigfloat.Value, share float64) (bigfloat.Value, error) {
	t, err := bigfloat.Float(share)
	if err != nil {
		return t, err
	}
	run, err := bigfloat.Sub(b, a)
	if err != nil {
		return run, err
	}
	if run, err = bigfloat.Mul(run, t); err != nil {
		return run, err
	}
	return bigfloat.Add(a, run)
}
