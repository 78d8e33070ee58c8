package check

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

var (
	areaDim              = unit.Base(2, 0, 0)
	distributedTorqueDim = unit.Base(1, 1, -2) // torque per length; the dimension of a force
	powerDim             = unit.Base(2, 1, -3)
	speedDim             = unit.Base(0, 0, -1)
	profileName          = "x"
)

// Shaft checks the lines of a shaft cell. The type has the kind Bracket if one of
// its numbers has a tolerance, so that its values are brackets.
func (c *Checker) Shaft(cell *notation.ShaftCell) (Type, source.List) {
	c.begin()
	c.tolerance = false
	for _, line := range cell.Lines {
		c.shaftLine(line)
	}
	if c.tolerance {
		return Type{Kind: Bracket}, c.list
	}
	return Type{}, c.list
}

func (c *Checker) shaftLine(line notation.ShaftLine) {
	switch l := line.(type) {
	case *notation.ShaftModulus:
		c.tolerable(stressDim, "a shear modulus", "79 GPa", l.G)
	case *notation.ShaftYield:
		c.want(l.Stress, stressDim, "a yield stress in shear", "150 MPa")
	case *notation.ShaftSolid:
		c.tolerable(lengthDim, "a diameter", "36 mm", l.D0, l.D1)
		c.lengths("the length of a piece", l.Length)
	case *notation.ShaftHollow:
		c.tolerable(lengthDim, "a diameter", "36 mm", l.D0, l.D1)
		c.tolerable(lengthDim, "a bore", "20 mm", l.B0, l.B1)
		c.lengths("the length of a piece", l.Length)
	case *notation.ShaftProfile:
		c.profile(l.D, "the diameter of a profile")
		c.profile(l.Bore, "the bore of a profile")
		c.lengths("the length of a piece", l.Length)
	case *notation.ShaftMeasured:
		c.lengths("a station", l.X...)
		c.lengths("a diameter", l.D...)
	case *notation.ShaftSection:
		c.section(l)
	case *notation.ShaftCore:
		c.lengths("the diameter of a core", l.D)
		c.want(l.G, stressDim, "a shear modulus", "26 GPa")
	case *notation.ShaftHold:
		c.place(l.X)
		c.want(l.Stiffness, torqueDim, "the stiffness of a hold, torque per angle,", "12 kN·m/rad")
	case *notation.ShaftTorque:
		c.tolerable(torqueDim, "a torque", "420 N·m", l.T)
		c.place(l.X)
	case *notation.ShaftSpread:
		c.tolerable(distributedTorqueDim, "a distributed torque, torque per length,", "150 N·m/m", l.T0, l.T1)
		c.place(l.From)
		c.place(l.To)
	case *notation.ShaftPower:
		c.want(l.P, powerDim, "a power", "12 kW")
		c.rotational(l.Speed)
		c.place(l.X)
	case *notation.ShaftAllow:
		if l.What == "stress" {
			c.want(l.Limit, stressDim, "an allowable stress", "40 MPa")
		} else {
			c.want(l.Limit, perLength, "an allowable twist, angle per length,", "1 deg/m")
		}
	case *notation.ShaftGear:
		c.gear(l)
	}
}

// want infers e, nil allowed, and insists on one value of a dimension.
func (c *Checker) want(e notation.Expr, d unit.Dimension, what, example string) {
	if e != nil {
		c.wanted(e, d, what, example)
	}
}

// wanted is want for an expression that is there; it returns the type, invalid
// where something was reported.
func (c *Checker) wanted(e notation.Expr, d unit.Dimension, what, example string) Type {
	t := c.quantity(e)
	if t.Kind == Invalid || !c.plainNumber(e, t, what) {
		return invalid
	}
	return c.ofDimension(e, t, d, what, example)
}

// tolerable infers values, nil allowed, of a dimension that may be brackets.
func (c *Checker) tolerable(d unit.Dimension, what, example string, es ...notation.Expr) {
	for _, e := range es {
		if e == nil {
			continue
		}
		t := c.quantity(e)
		if t.Kind == Invalid || c.ofDimension(e, t, d, what, example).Kind == Invalid {
			continue
		}
		c.tolerance = c.tolerance || t.Kind == Bracket
	}
}

func (c *Checker) ofDimension(e notation.Expr, t Type, d unit.Dimension, what, example string) Type {
	if t.Dim == d || t.Zero {
		return t
	}
	c.clash(t.Dim, d)
	if texts, symbol := Pounds(e, d); texts != nil {
		c.list = append(c.list, NeedsWeight(e.Span(), what+" is needed here, and "+symbol+" is a mass", texts))
		return invalid
	}
	report := c.list.Addf(e.Span(), CodeDimension, "%s is needed here, not %s", what, c.describe(e, t))
	report.Repair = "write it with its unit, as in " + example
	if t.Dim.IsNumber() {
		c.offerUnits(report, e, d, what)
	}
	return invalid
}

// offerUnits offers a bare number in a line of a shaft with the units that it may have.
func (c *Checker) offerUnits(report *source.Diagnostic, e notation.Expr, d unit.Dimension, what string) {
	x := e
	if u, ok := x.(*notation.Unary); ok {
		x = u.X
	}
	n, ok := x.(*notation.Number)
	if !ok {
		return
	}
	if c.UnitFor != nil && d != torqueDim {
		if text, sure := c.UnitFor(n.Value, d); sure {
			report.Repair = n.Text + " " + text + "?"
			report.Fix = &source.Fix{Span: n.At, Text: n.Text + " " + text}
			return
		}
	}
	var ways []string
	for _, text := range strings.Fields(unitsOf(d, what)) {
		ways = append(ways, n.Text+" "+text)
		report.Choose(n.At, n.Text+" "+text)
	}
	if len(ways) > 0 {
		report.Repair = words.Or(ways) + "?"
	}
}

// unitsOf lists the units in which the trade writes what a line of a shaft needs.
func unitsOf(d unit.Dimension, what string) string {
	switch d {
	case lengthDim:
		return "mm m in"
	case torqueDim:
		if strings.Contains(what, "stiffness") {
			return "N·m/rad kN·m/rad"
		}
		return "N·m N·mm kN·m lbf·in"
	case distributedTorqueDim:
		return "N·m/m lbf·in/in"
	case stressDim:
		if strings.Contains(what, "modulus") {
			return "GPa MPa psi"
		}
		return "MPa psi"
	case powerDim:
		return "kW W hp"
	case speedDim:
		return "rpm rad/s"
	case perLength:
		return "deg/m rad/m"
	}
	return ""
}

func (c *Checker) lengths(what string, es ...notation.Expr) {
	example := "36 mm"
	if what == "the length of a piece" {
		example = "400 mm"
	}
	for _, e := range es {
		c.want(e, lengthDim, what, example)
	}
}

func (c *Checker) place(e notation.Expr) { c.want(e, lengthDim, "a place along the shaft", "200 mm") }

// profile checks a diameter as a function of x, the distance from the start of
// the piece.
func (c *Checker) profile(e notation.Expr, what string) {
	if e == nil {
		return
	}
	c.bind(profileName, Type{Kind: Number, Dim: lengthDim})
	c.want(e, lengthDim, what, "40 mm + 6 mm·sin(π·x/(0.5 m))")
	c.unbind()
}

func (c *Checker) section(l *notation.ShaftSection) {
	c.lengths("the length of a piece", l.Length)
	if l.Kind == notation.ThinTube && len(l.Sizes) == 3 {
		c.want(l.Sizes[0], areaDim, "the area inside the median line", "17850 mm²")
		c.lengths("the length of the median line", l.Sizes[1])
		c.lengths("the wall thickness", l.Sizes[2])
		return
	}
	if l.Kind == notation.OpenWall {
		for i, size := range l.Sizes {
			c.lengths([...]string{"the wall thickness", "the length of the median line"}[i%2], size)
		}
		return
	}
	c.lengths("a side", l.Sizes...)
}

func (c *Checker) gear(l *notation.ShaftGear) {
	for _, teeth := range []notation.Expr{l.Teeth, l.OtherTeeth} {
		c.countable(teeth, "a number of teeth")
	}
	c.place(l.X)
	c.place(l.OtherX)
	s, ok := c.scope.Symbol(l.Other.Ident)
	if !ok {
		c.undefinedShaft(l.Other)
		return
	}
	if s.Kind != ShaftName {
		c.list.Addf(l.Other.Span(), CodeKind, "%s is not a shaft", l.Other.Ident).
			Repair = "name the shaft cell that the gear drives; " + l.Other.Ident + " is " + s.what()
	}
}
