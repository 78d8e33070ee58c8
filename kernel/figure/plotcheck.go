package figure

import (
	"math"
	"slices"
	"strings"
)

// Numbers beyond this cannot be scaled without leaving float64.
const largest = 1e300

var _ Picture = (*Plot)(nil)

// Title returns the heading, or what is plotted against what.
func (p *Plot) Title() string {
	if p.Heading != "" {
		return p.Heading
	}
	var names []string
	for i := range p.Curves {
		if n := p.curveName(i); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	x := p.X.Label
	if x == "" {
		x = "x"
	}
	return strings.Join(names, ", ") + " against " + x
}

// Caption returns the title and the finding.
func (p *Plot) Caption() string { return caption(p.Title(), p.Finding) }

// Check says what in the plot cannot be drawn.
func (p *Plot) Check() error {
	if len(p.Curves) == 0 {
		return errorf("the plot", "has no curve")
	}
	for i := range p.Curves {
		if err := p.checkCurve(i); err != nil {
			return err
		}
	}
	for _, m := range p.Marks {
		part := "mark " + quoted(m.Label)
		axis, name := p.X, "x"
		if m.Way == AcrossY {
			axis, name = p.Y, "y"
		}
		for _, v := range []float64{m.Low, m.High} {
			if err := checkValue(part, name, v, axis.Log); err != nil {
				return err
			}
		}
	}
	if err := p.X.check("x axis"); err != nil {
		return err
	}
	return p.Y.check("y axis")
}

func (a *Axis) check(part string) error {
	if !(a.Min < a.Max) {
		return nil
	}
	for _, v := range []float64{a.Min, a.Max} {
		if err := checkValue(part, "end", v, a.Log); err != nil {
			return err
		}
	}
	return nil
}

func (p *Plot) checkCurve(i int) error {
	c := &p.Curves[i]
	part := "curve " + quoted(p.curveName(i))
	if len(c.X) != len(c.Y) {
		return errorf(part, "has %d values of x and %d of y", len(c.X), len(c.Y))
	}
	if len(c.X) == 0 {
		return errorf(part, "has no points")
	}
	for k := range c.X {
		if err := checkValue(part, "x", c.X[k], p.X.Log); err != nil {
			return err
		}
		if err := checkValue(part, "y", c.Y[k], p.Y.Log); err != nil {
			err.Reason += " at x = " + format(c.X[k], 4)
			return err
		}
	}
	return nil
}

// checkValue returns a nil *Error for a value that can be drawn.
func checkValue(part, axis string, v float64, log bool) *Error {
	switch {
	case math.IsNaN(v):
		return errorf(part, "has a value of %s that is not a number", axis)
	case math.IsInf(v, 0):
		return errorf(part, "has an infinite value of %s", axis)
	case math.Abs(v) > largest:
		return errorf(part, "has a value of %s too large to draw (%s)", axis, format(v, 3))
	case log && v <= 0:
		e := errorf(part, "has the value %s = %s, which has no place on a logarithmic axis", axis, format(v, 4))
		e.Repair = "leave out values that are not above zero, or drop the log axes"
		return e
	case log && v < 1/largest:
		return errorf(part, "has a value of %s too close to zero to draw (%s)", axis, format(v, 3))
	}
	return nil
}

func quoted(s string) string { return "“" + s + "”" }

// curveName is what messages and tables call a curve.
func (p *Plot) curveName(i int) string {
	if l := p.Curves[i].Label; l != "" {
		return l
	}
	if p.Y.Label != "" {
		return p.Y.Label
	}
	return "y"
}
