package plot

import (
	"slices"
	"strings"

	"shaftbook/kernel/figure"
)

var _ figure.Picture = (*Plot)(nil)

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
func (p *Plot) Caption() string { return figure.CaptionOf(p.Title(), p.Finding) }

// Check returns an error for what in the plot cannot be drawn.
func (p *Plot) Check() error {
	if len(p.Curves) == 0 {
		return figure.Errorf("the plot", "has no curve")
	}
	for i := range p.Curves {
		if err := p.checkCurve(i); err != nil {
			return err
		}
	}
	for _, m := range p.Marks {
		part := "mark " + figure.Quoted(m.Label)
		axis, name := p.X, "x"
		if m.Way == AcrossY {
			axis, name = p.Y, "y"
		}
		for _, v := range []float64{m.Low, m.High} {
			if err := figure.CheckValue(part, name, v, axis.Log); err != nil {
				return err
			}
		}
	}
	for _, v := range p.Chosen {
		if err := figure.CheckValue("the chosen value", "x", v, p.X.Log); err != nil {
			return err
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
		if err := figure.CheckValue(part, "end", v, a.Log); err != nil {
			return err
		}
	}
	return nil
}

func (p *Plot) checkCurve(i int) error {
	c := &p.Curves[i]
	part := "curve " + figure.Quoted(p.curveName(i))
	if len(c.X) != len(c.Y) {
		return figure.Errorf(part, "has %d values of x and %d of y", len(c.X), len(c.Y))
	}
	if len(c.X) == 0 {
		return figure.Errorf(part, "has no points")
	}
	for k := range c.X {
		if drawable(c.X[k], p.X.Log) && drawable(c.Y[k], p.Y.Log) {
			continue
		}
		if err := figure.CheckValue(part, "x", c.X[k], p.X.Log); err != nil {
			return err
		}
		if err := figure.CheckValue(part, "y", c.Y[k], p.Y.Log); err != nil {
			err.Reason += " at x = " + figure.FormatNumber(c.X[k], 4)
			return err
		}
	}
	return nil
}

// drawable reports whether figure.CheckValue has nothing to say of a value: the quick
// way through the points of a curve.
func drawable(v float64, log bool) bool {
	return v >= -figure.Largest && v <= figure.Largest && (!log || v >= 1/figure.Largest)
}

// curveName is the name of a curve in messages and tables.
func (p *Plot) curveName(i int) string {
	if l := p.Curves[i].Label; l != "" {
		return l
	}
	if p.Y.Label != "" {
		return p.Y.Label
	}
	return "y"
}
