package unit

import (
	"math"
	"sync"
)

// A Hint distinguishes quantities that share a dimension, for display only.
type Hint int

const (
	NoHint          Hint = iota
	Angle                // a pure number that is an angle
	Energy               // not a torque
	TorquePerLength      // not a force
	Frequency            // cycles in a time, not an angular speed
)

// A rung is a unit and the least absolute value, in SI base units, at which it
// is used.
type rung struct {
	from   float64
	symbol string
}

// ladders holds the trade's units for each dimension and hint, smallest first:
// diameters in mm, moduli in GPa, stresses in MPa (common practice, no source).
// The steps keep a number between 0.1 and 10 000 where the ladder has a unit
// for it.
var ladders = map[Dimension]map[Hint][]rung{
	si():             {Angle: {{0, "rad"}}},
	si(1):            {NoHint: {{0, "μm"}, {1e-5, "mm"}, {1, "m"}, {1e4, "km"}}},
	si(2):            {NoHint: {{0, "mm²"}, {0.01, "m²"}}},
	si(3):            {NoHint: {{0, "mm³"}, {1e-3, "m³"}}},
	si(4):            {NoHint: {{0, "mm⁴"}, {1e-2, "m⁴"}}},
	si(-1):           {NoHint: {{0, "1/m"}}, Angle: {{0, "rad/m"}}},
	si(0, 1):         {NoHint: {{0, "g"}, {0.1, "kg"}, {1e4, "t"}}},
	si(0, 0, 1):      {NoHint: {{0, "μs"}, {1e-4, "ms"}, {0.1, "s"}}},
	si(0, 0, -1):     {NoHint: {{0, "rad/s"}}, Frequency: {{0, "Hz"}, {1e4, "kHz"}}},
	si(0, 0, -2):     {NoHint: {{0, "rad/s²"}}},
	si(1, 0, -1):     {NoHint: {{0, "m/s"}}},
	si(1, 0, -2):     {NoHint: {{0, "m/s²"}}},
	si(-3, 1):        {NoHint: {{0, "kg/m³"}}},
	si(-1, 1):        {NoHint: {{0, "kg/m"}}},
	si(2, 1):         {NoHint: {{0, "kg·m²"}}},
	si(1, 1, -2):     {NoHint: {{0, "N"}, {1e4, "kN"}, {1e7, "MN"}}, TorquePerLength: {{0, "N·m/m"}, {1e4, "kN·m/m"}, {1e7, "MN·m/m"}}},
	si(2, 1, -2):     {NoHint: {{0, "N·m"}, {1e4, "kN·m"}, {1e7, "MN·m"}}, Energy: {{0, "J"}, {1e4, "kJ"}, {1e7, "MJ"}}},
	si(-1, 1, -2):    {NoHint: {{0, "Pa"}, {1e3, "kPa"}, {1e6, "MPa"}, {1e10, "GPa"}}},
	si(0, 1, -2):     {NoHint: {{0, "N/m"}, {1e4, "kN/m"}, {1e7, "MN/m"}}},
	si(-2, 1, -2):    {NoHint: {{0, "N/m³"}, {1e4, "kN/m³"}}},
	si(3, 1, -2):     {NoHint: {{0, "N·m²"}, {1e4, "kN·m²"}, {1e7, "MN·m²"}}},
	si(2, 1, -3):     {NoHint: {{0, "W"}, {1e3, "kW"}, {1e7, "MW"}}},
	si(3, 0, -1):     {NoHint: {{0, "m³/s"}}},
	si(0, 1, -1):     {NoHint: {{0, "kg/s"}}},
	si(-2, -1, 2):    {NoHint: {{0, "1/(N·m)"}}, Angle: {{0, "rad/(N·m)"}}},
	si(2, 1, -3, -1): {NoHint: {{0, "V"}, {1e4, "kV"}}},
}

// Choose returns the unit in which to show a value of dimension d, given in SI
// base units: the first preferred unit that fits, else the trade's unit for the
// dimension in the size of the value, else the product of base units.
//
// A preferred unit fits if it has the dimension and speaks of the same
// quantity: deg and rad fit angles only, % fits other numbers, J fits an
// energy, N·m/m a torque per length, Hz a frequency. A pure number without a
// hint gets One. The value 0 gets the unit that a reader expects first: mm, MPa.
func Choose(value float64, d Dimension, prefer []Unit, hint Hint) Unit {
	for _, u := range prefer {
		if fits(u, d, hint) {
			return u
		}
	}
	ladder := ladders[d][hint]
	if ladder == nil {
		ladder = ladders[d][NoHint]
	}
	if ladder == nil {
		return coherent(d)
	}
	size := math.Abs(value)
	if !(size > 0) {
		size = customary[d]
	}
	best := ladder[0].symbol
	for _, r := range ladder {
		if size >= r.from {
			best = r.symbol
		}
	}
	return ladderUnits()[best]
}

// ladderUnits reads the units of the ladders once.
var ladderUnits = sync.OnceValue(func() map[string]Unit {
	units := map[string]Unit{}
	for _, byHint := range ladders {
		for _, ladder := range byHint {
			for _, r := range ladder {
				u, err := Parse(r.symbol)
				if err != nil {
					panic("unit: a ladder holds " + r.symbol + ": " + err.Error())
				}
				units[r.symbol] = u
			}
		}
	}
	return units
})

// customary holds, for dimensions whose first rung is not the unit that a
// reader expects, a size that leads to it. It serves the value 0.
var customary = map[Dimension]float64{
	si(1): 0.1, si(0, 1): 1, si(0, 0, 1): 1, si(-1, 1, -2): 1e6, si(2, 1, -3): 1e3,
}

// coherent returns the product of base units of a dimension.
func coherent(d Dimension) Unit {
	if d.IsNumber() {
		return One
	}
	return Unit{Text: d.String(), Factor: 1, Dim: d}
}

// fits reports whether a preferred unit suits a quantity.
func fits(u Unit, d Dimension, hint Hint) bool {
	if u.Dim != d {
		return false
	}
	if hint == Angle && !d.IsNumber() {
		hint = NoHint // deg/m and 1/m both suit a twist per length
	}
	return speaksOf(u) == hint
}

// speaksOf returns which of the quantities that share its dimension a unit is
// written for.
func speaksOf(u Unit) Hint {
	p, err := parseProduct(u.Text)
	if err != nil {
		return NoHint
	}
	switch u.Dim {
	case si():
		if p.has(func(s *symbol) bool { return angles[s.entry.Name] }) {
			return Angle
		}
	case si(0, 0, -1):
		if p.has(func(s *symbol) bool { return s.entry.Name == "hertz" || s.entry.Name == "becquerel" }) {
			return Frequency
		}
	case si(2, 1, -2):
		if p.has(func(s *symbol) bool { return s.entry.Dim == si(2, 1, -2) || s.entry.Dim == si(2, 1, -3) }) {
			return Energy
		}
	case si(1, 1, -2):
		for _, f := range p.below {
			if f.symbol.entry.Dim == si(1) {
				return TorquePerLength
			}
		}
	}
	return NoHint
}

// angles holds the names of the units of plane angle.
var angles = map[string]bool{
	"radian": true, "degree": true, "minute of arc": true, "second of arc": true, "revolution": true,
}

func (p product) has(is func(*symbol) bool) bool {
	for _, side := range [][]part{p.above, p.below} {
		for _, f := range side {
			if is(f.symbol) {
				return true
			}
		}
	}
	return false
}
