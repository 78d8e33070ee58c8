package working

import (
	"errors"
	"slices"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/plot"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// plot evaluates a plot statement and lays out its curves.
func (e *evaluation) plot(n *notation.Plot) {
	over := e.it.info.Over
	for i := range e.it.info.Columns {
		if c := e.it.info.Columns[i]; c.Dim != e.it.info.Columns[0].Dim {
			e.fail(n.Columns[i].Span(), check.CodeDimension, "all curves of a plot share one upward axis, but this curve is %s while the first is %s",
				check.Word(c.Dim), check.Word(e.it.info.Columns[0].Dim)).
				Repair = "give it a plot of its own"
			return
		}
	}
	xs, ok := e.samples(n.Range, false)
	if !ok {
		return
	}
	xs = e.withBreaks(n, xs)
	all, ok := e.series(n.Columns, n.Range, xs)
	if !ok {
		return
	}
	xUnit := e.w.unitFor(max(abs(xs[0]), abs(xs[len(xs)-1])), over)
	yUnit := e.curveUnit(all)
	p := &plot.Plot{
		X: plot.Axis{Label: typeset.Plain(n.Range.Var), Unit: xUnit.Text, Log: n.LogX},
		Y: plot.Axis{Unit: yUnit.Text, Log: n.LogY},

		Quantity: quantityOf(all[0].typ, yUnit),
	}
	if n.Range.Mark != nil {
		mark, ok := e.number(n.Range.Mark)
		if !ok {
			return
		}
		p.Chosen = []float64{mark / xUnit.Factor}
	}
	shown := scaledBy(xs, xUnit.Factor)
	for _, s := range all {
		p.Curves = append(p.Curves, curves(s, shown, yUnit.Factor, e.it.info.Whole)...)
	}
	p.Heading = heading(n)
	if len(all) == 1 && !all[0].isBracket() {
		p.Y.Label = p.Curves[0].Label
	} else if yUnit.Text != "" {
		p.Y.Label = axisWord(all[0].typ, yUnit)
	}
	if e.setFigure(p, words.Count(len(p.Curves), "curve"), n.Span()) {
		p.Finding = reading{p.X.Label, xUnit, yUnit, n.LogX && n.LogY, e.it.info.Whole || n.Range.Step != nil || n.Range.Rows != nil}.finding(xs, all)
	}
}

// quantityOf is the quantity whose colour a curve of a type has.
func quantityOf(t check.Type, u unit.Unit) figure.Quantity {
	switch {
	case t.Dim == unit.Base(2, 1, -2) && perAngle(u):
		return figure.OtherQuantity
	case t.Dim == unit.Base(2, 1, -2):
		return figure.Torque
	case t.Dim == unit.Base(-1, 1, -2):
		return figure.Stress
	case t.Dim == unit.Dimension{} && t.Angle == check.IsAngle:
		return figure.Twist
	}
	return figure.OtherQuantity
}

// perAngle reports whether a unit is so much for each angle: of a stiffness, which has the
// dimension of a torque.
func perAngle(u unit.Unit) bool {
	_, below, _ := strings.Cut(u.Text, "/")
	return strings.ContainsAny(below, "°") || strings.Contains(below, "deg") || strings.Contains(below, "rad")
}

// axisWord names what several curves have in common: "angle", "length"; "value"
// where the trade has no word.
func axisWord(t check.Type, u unit.Unit) string {
	switch {
	case t.Dim == unit.Base(2, 1, -2) && perAngle(u):
		return "stiffness"
	case t.Dim == unit.Dimension{} && t.Angle == check.IsAngle:
		return "angle"
	case t.Dim == unit.Dimension{} || !unit.IsNamed(t.Dim):
		return "value"
	}
	_, word, _ := strings.Cut(unit.Describe(t.Dim), " ")
	return strings.TrimSuffix(word, " or torsion constant")
}

// withBreaks adds the places where a shaft of the plot has a step or a load, and
// points just before them, so that a jump is drawn upright. A plot that asks for
// which values it takes is left as it is.
func (e *evaluation) withBreaks(n *notation.Plot, xs []float64) []float64 {
	r := n.Range
	if r.Rows != nil || r.Step != nil || r.Ratio || e.it.info.Over.Dim != unit.Base(1, 0, 0) {
		return xs
	}
	from, to := xs[0], xs[len(xs)-1]
	if from > to {
		return xs
	}
	for _, name := range notation.Uses(n) {
		object, _ := scope{e.w}.Lookup(name.Ident)
		v, ok := object.(shaftValue)
		if !ok {
			continue
		}
		for _, b := range v.s.Breaks() {
			if b > from && b < to {
				xs = append(xs, b-float64(1e-9*(to-from)), b)
			}
		}
	}
	slices.Sort(xs)
	return slices.Compact(xs)
}

// curveUnit is the unit of the upward axis: the first one written, else the
// one that suits the largest value.
func (e *evaluation) curveUnit(all []series) unit.Unit {
	largest := 0.0
	for _, s := range all {
		if u := s.column.Display.Unit; u != nil {
			return u.Unit
		}
		largest = max(largest, s.scale())
	}
	return e.w.unitFor(largest, all[0].typ)
}

// curves turns a series into one curve, or into two for a bracket.
func curves(s series, x []float64, factor float64, points bool) []plot.Curve {
	label := columnName(s.column)
	if !s.isBracket() {
		return []plot.Curve{{Label: label, X: x, Y: scaledBy(s.low, factor), Points: points}}
	}
	return []plot.Curve{
		{Label: label + ", lower", X: x, Y: scaledBy(s.low, factor), Points: points},
		{Label: label + ", upper", X: x, Y: scaledBy(s.high, factor), Points: points},
	}
}

func scaledBy(xs []float64, factor float64) []float64 {
	out := make([]float64, len(xs))
	for i, x := range xs {
		out[i] = x / factor
	}
	return out
}

// setFigure gives the result its figure, if that can be drawn: so trouble is reported
// at its statement and not in a broken picture.
func (e *evaluation) setFigure(p figure.Picture, text string, at source.Span) bool {
	err := p.Check()
	if err == nil {
		e.r.Figure, e.r.Text = p, text
		return true
	}
	d := e.fail(at, CodeFigure, "the figure cannot be drawn: %s", err)
	var problem *figure.Error
	if errors.As(err, &problem) {
		d.Message = "the figure cannot be drawn: " + problem.Part + " " + problem.Reason
		d.Repair = problem.Repair
	}
	return false
}
