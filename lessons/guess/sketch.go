package guess

import (
	"math"
	"slices"

	"shaftbook/kernel"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/plot"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

const (
	usualStations = 9
	mostStations  = 9
	mostPoints    = 12
)

// A Field is what a sketch is drawn on: the ruled field with its points. Positions and
// values are in the units of its axes.
type Field struct {
	X, Y      plot.Axis // the ends of both are fixed: Min < Max
	Quantity  figure.Quantity
	ShapeOnly bool // the upward axis goes from −1 to 1, and 1 is the largest size on the curve
	Points    []Point
	Curve     plot.Curve // what is right
}

// A Point is one place whose value the reader gives.
type Point struct {
	X    float64
	Side Side
}

// A Side tells the two values at a station apart where jumps may be drawn.
type Side int

// The sides of a station.
const (
	Both   Side = iota
	Before      // just before it
	After       // just after it
)

// A fixedScale is the scale of a sketch as its block gives it, in SI base units.
type fixedScale struct {
	low, high float64
	dim       unit.Dimension
	at        source.Span
	pure      bool // it is written without a unit
}

// Where says where a point is, with its unit: "just before 400 mm".
func (f *Field) Where(p Point) string {
	at := figure.NumberWithUnit(figure.FormatNumber(p.X, 4), f.X.Unit)
	switch p.Side {
	case Before:
		return "just before " + at
	case After:
		return "just after " + at
	}
	return at
}

// Value says a value of the upward axis with its unit.
func (f *Field) Value(y float64) string {
	if math.Abs(y) <= 1e-9*math.Max(math.Abs(f.Y.Min), math.Abs(f.Y.Max)) {
		y = 0 // what the arithmetic of a sum left
	}
	return figure.NumberWithUnit(figure.FormatNumber(y, 3), f.Y.Unit)
}

// field reads the field of a sketch from the results of the guess's cell: the plot, then
// the stations.
func (g *Guess) field(list *source.List, results []kernel.Result) *Field {
	if len(results) != 1+len(g.Stations) {
		list.Addf(g.at, CodeValue, "the curve cannot be worked out").Repair = "write curve: T(x) in N·m for x from 0 m to L"
		return nil
	}
	if first := results[0].Diagnostics.FirstError(); first != nil {
		g.report(list, g.Curve.Span().Text, *first)
		return nil
	}
	at := g.places.Span(g.Curve.Span())
	p, ok := results[0].Figure.(*plot.Plot)
	switch {
	case !ok:
		list.Addf(at, CodeValue, "the curve cannot be worked out").Repair = "try the same words after plot in a cell"
		return nil
	case len(p.Curves) != 1 || p.Curves[0].Points || p.X.Log || p.Y.Log || len(p.Curves[0].X) < 2:
		list.Addf(at, CodeValue, "a sketch is of one curve on plain axes, along a length, a time or another quantity that has values between any two").
			Repair = "write curve: T(x) in N·m for x from 0 m to L"
		return nil
	}
	f := &Field{X: p.X, Y: p.Y, Quantity: p.Quantity, Curve: p.Curves[0], ShapeOnly: g.scale == nil}
	f.X.Min, f.X.Max = f.Curve.X[0], f.Curve.X[len(f.Curve.X)-1]
	if !(f.X.Min < f.X.Max) {
		list.Addf(at, CodeValue, "the curve runs backwards").Repair = "write its smaller end first"
		return nil
	}
	if f.ShapeOnly {
		f.shapeOnly()
	} else if !g.rule(list, f) {
		return nil
	}
	if !g.stations(list, f, results[1:]) {
		return nil
	}
	return f
}

// shapeOnly measures the curve in its largest size, so that the field says nothing of it.
func (f *Field) shapeOnly() {
	f.Y.Min, f.Y.Max, f.Y.Unit = -1, 1, ""
	most := largest(f.Curve.Y)
	if most == 0 {
		return
	}
	y := make([]float64, len(f.Curve.Y))
	for i, v := range f.Curve.Y {
		y[i] = v / most
	}
	f.Curve.Y = y
}

// rule puts the author's scale on the field, and reports one that the curve leaves, or
// whose end gives it away.
func (g *Guess) rule(list *source.List, f *Field) bool {
	s := g.scale
	u, err := unit.Parse(f.Y.Unit)
	if f.Y.Unit == "" {
		u, err = unit.Unit{Factor: 1}, nil
	}
	if err != nil || s.dim != u.Dim || s.pure && f.Y.Unit != "" {
		list.Addf(s.at, CodeValue, "the scale is of another kind than the curve, which is in %s", unitOr(f.Y.Unit)).
			Repair = "write both ends in the unit of the curve"
		return false
	}
	f.Y.Min, f.Y.Max = s.low/u.Factor, s.high/u.Factor
	span := f.Y.Max - f.Y.Min
	low, high := slices.Min(f.Curve.Y), slices.Max(f.Curve.Y)
	slack := float64(1e-9 * span)
	for _, end := range []struct {
		curve, scale float64
		out          bool
	}{{low, f.Y.Min, low < f.Y.Min-slack}, {high, f.Y.Max, high > f.Y.Max+slack}} {
		switch {
		case end.out:
			list.Addf(s.at, CodeValue, "the curve leaves this scale: it goes to %s", f.Value(end.curve)).
				Repair = "choose a wider one, with round ends that say nothing of the curve"
			return false
		case math.Abs(end.scale) > slack && math.Abs(end.curve-end.scale) <= 0.01*span:
			list.Addf(s.at, CodeValue, "this scale ends where the curve does, at %s, and so gives it away", f.Value(end.scale)).
				Repair = "choose a wider one, with round ends"
			return false
		}
	}
	return true
}

func unitOr(u string) string {
	if u == "" {
		return "no unit"
	}
	return u
}

// stations sets the points of the field: at the author's stations, or evenly.
func (g *Guess) stations(list *source.List, f *Field, results []kernel.Result) bool {
	var xs []float64
	span := f.X.Max - f.X.Min
	u, err := unit.Parse(f.X.Unit)
	if err != nil {
		u = unit.Unit{Factor: 1}
	}
	for i, r := range results {
		own := g.Stations[i]
		at := g.places.Span(own.Span())
		switch first := r.Diagnostics.FirstError(); {
		case first != nil:
			g.report(list, own.Span().Text, *first)
			return false
		case r.Value == nil || r.Value.IsBracket || r.Value.IsTruth || r.Value.Dim != u.Dim:
			list.Addf(at, CodeValue, "a station is one place along the curve").Repair = "write an expression such as L/2, in the unit of the range"
			return false
		}
		x := r.Value.Number / u.Factor
		if x < f.X.Min-1e-9*span || x > f.X.Max+1e-9*span {
			list.Addf(at, CodeValue, "this station, %s, is beyond the curve", f.Where(Point{X: x})).Repair = "keep it between the ends of the curve"
			return false
		}
		if n := len(xs); n > 0 && x-xs[n-1] < 0.01*span {
			list.Addf(at, CodeValue, "this station is at or before the one above it").Repair = "write the stations from left to right, each once"
			return false
		}
		xs = append(xs, min(max(x, f.X.Min), f.X.Max))
	}
	if len(xs) == 0 {
		for i := range usualStations {
			xs = append(xs, f.X.Min+float64(span*float64(i))/(usualStations-1))
		}
	}
	if xs[0]-f.X.Min > 0.005*span {
		xs = slices.Insert(xs, 0, f.X.Min)
	}
	if f.X.Max-xs[len(xs)-1] > 0.005*span {
		xs = append(xs, f.X.Max)
	}
	for i, x := range xs {
		if g.Jumps && i > 0 && i < len(xs)-1 {
			f.Points = append(f.Points, Point{x, Before}, Point{x, After})
		} else {
			f.Points = append(f.Points, Point{X: x})
		}
	}
	return true
}

// report puts an error of the notation at its place in the block.
func (g *Guess) report(list *source.List, own *source.Text, d source.Diagnostic) {
	d.Fix, d.Choices, d.Related = nil, nil, nil
	d.Span = g.inBlock(own, d.Span)
	*list = append(*list, d)
}

// largest returns the largest size of some values.
func largest(ys []float64) float64 {
	most := 0.0
	for _, y := range ys {
		most = math.Max(most, math.Abs(y))
	}
	return most
}
