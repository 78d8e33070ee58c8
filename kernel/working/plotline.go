package working

import (
	"math"

	"shaftbook/kernel/check"
	"shaftbook/kernel/figure/plot"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// plotLine draws readings, with the line through them if one is named, or how far each
// is from the line.
func (e *evaluation) plotLine(n *notation.PlotLine) {
	object, _ := scope{e.w}.Lookup(n.Of.Ident)
	switch v := object.(type) {
	case *readingsValue:
		e.plotReadings(n, v, nil)
	case *lineValue:
		if n.Residuals {
			e.plotResiduals(n, v)
		} else {
			e.plotReadings(n, v.readings, v)
		}
	}
}

// plotAxes returns the axes with the units of the readings.
func (e *evaluation) plotAxes(n *notation.PlotLine, v *readingsValue) (p *plot.Plot, x, y unit.Unit) {
	symbol := e.w.definers[n.Of.Ident][0].symbol
	e.it.info.Columns = symbol.Axes[:]
	x, y = e.axisUnit(0, v.xs), e.axisUnit(1, v.ys)
	name := func(a notation.ReadingsAxis) string { return typeset.Plain(a.Name) }
	return &plot.Plot{
		X:        plot.Axis{Label: name(v.n.X), Unit: x.Text},
		Y:        plot.Axis{Label: name(v.n.Y), Unit: y.Text},
		Quantity: quantityOf(symbol.Axes[1], y),
	}, x, y
}

// plotReadings draws the readings as points; those that are left out are points of their
// own, and the line is drawn from the smallest x to the largest.
func (e *evaluation) plotReadings(n *notation.PlotLine, v *readingsValue, line *lineValue) {
	p, x, y := e.plotAxes(n, v)
	p.Heading = "Readings of " + p.Y.Label + " against " + p.X.Label
	curves := [2]plot.Curve{{Label: "readings", Points: true}, {Label: "left out", Points: true}}
	for i := range v.xs {
		c := &curves[0]
		if line != nil && line.without[i] {
			c = &curves[1]
		}
		c.X, c.Y = append(c.X, v.xs[i]/x.Factor), append(c.Y, v.ys[i]/y.Factor)
	}
	p.Curves = append(p.Curves, curves[0])
	if line == nil {
		e.setFigure(p, words.Count(len(v.xs), "reading"), n.Span())
		return
	}
	p.Curves = append(p.Curves, line.curve(x, y))
	if len(curves[1].X) > 0 {
		p.Curves = append(p.Curves, curves[1])
	}
	p.Finding = e.lineFinding(line)
	e.setFigure(p, words.Count(len(v.xs), "reading"), n.Span())
}

// curve is the line over the range of the readings, from 0 if it goes through the origin.
func (v *lineValue) curve(x, y unit.Unit) plot.Curve {
	low, high := math.Inf(1), math.Inf(-1)
	for _, at := range v.readings.xs {
		low, high = min(low, at), max(high, at)
	}
	if v.n.Origin {
		low, high = min(low, 0), max(high, 0)
	}
	c := plot.Curve{Label: "line of least squares", Plain: true}
	for _, at := range []float64{low, high} {
		c.X, c.Y = append(c.X, at/x.Factor), append(c.Y, v.at(at)/y.Factor)
	}
	return c
}

// lineFinding says what the figure shows: the slope with its standard error, and which
// readings stand out.
func (e *evaluation) lineFinding(v *lineValue) string {
	u := e.slopeUnit(v)
	figures := unit.Rounding{Figures: 4}
	said := "The slope is about " + unit.Format(v.fit.Slope, u, figures) + ", with a standard error of " + unit.Format(v.fit.SlopeError, u, unit.Rounding{Figures: 2}) + "."
	var out []string
	for i := range v.readings.xs {
		if !v.without[i] && v.fit.StandsOut(i) {
			out = append(out, numberOf(i))
		}
	}
	switch len(out) {
	case 0:
		return said
	case 1:
		return said + " Reading " + out[0] + " stands out."
	}
	return said + " Readings " + words.And(out) + " stand out."
}

// slopeUnit is the unit in which fit.slope is shown.
func (e *evaluation) slopeUnit(v *lineValue) unit.Unit {
	axes := e.w.definers[v.n.Name.Ident][0].symbol.Axes
	return e.w.unitFor(v.fit.Slope, check.SlopeType(axes[0], axes[1]))
}

// plotResiduals draws how far each reading that the line goes through is from it; one
// that is left out would only hide the others.
func (e *evaluation) plotResiduals(n *notation.PlotLine, v *lineValue) {
	p, x, _ := e.plotAxes(n, v.readings)
	largest := 0.0
	for i, r := range v.fit.Residuals {
		if !v.without[i] {
			largest = max(largest, math.Abs(r))
		}
	}
	y := e.axisUnit(1, []float64{largest})
	p.Y.Label = p.Y.Label + " − line"
	p.Heading = "Residuals of " + typeset.Plain(n.Of)
	c := plot.Curve{Label: "residuals", Points: true}
	for i, r := range v.fit.Residuals {
		if !v.without[i] {
			c.X, c.Y = append(c.X, v.readings.xs[i]/x.Factor), append(c.Y, r/y.Factor)
		}
	}
	p.Curves = []plot.Curve{c}
	p.Marks = []plot.Mark{{Way: plot.AcrossY, Label: "the line"}}
	p.Finding = "Residuals of a straight line with errors of one size scatter about 0 without a pattern; a bend, or one that stands apart, says that something else is at work."
	e.setFigure(p, words.Count(len(c.X), "residual"), n.Span())
}
