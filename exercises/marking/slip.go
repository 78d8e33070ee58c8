package marking

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Slip is a wrong turn that an answer can be recognised by.
type Slip struct {
	Name string

	Says    string // "It looks as though …", without the next step
	Next    string
	Formula notation.Expr // its value, or nil for one of the catalogue's
	General *General      // how the catalogue computes it, or nil
	Factor  notation.Expr // of a dropped factor, or nil
	Of      []string      // the names it acts on; nil for those of the usual letter
	Shares  []string      // slips whose value may be the same
	At      source.Span
}

// SharesWith reports whether the author lets two slips have the same value.
func (s *Slip) SharesWith(t *Slip) bool {
	return slices.Contains(s.Shares, t.Name) || slices.Contains(t.Shares, s.Name)
}

// A slipCase holds what a slip is computed from: one part with one set of numbers.
type slipCase struct {
	ctx     context.Context
	numbers Numbers
	part    *Scheme
	slip    *Slip
	right   float64        // the exact value
	dim     unit.Dimension // its dimension
	angle   bool           // whether it is an angle
	turns   *[]Turn        // what was put in, if it is wanted
}

func (m *Marker) slipCase(ctx context.Context, s *Slip) slipCase {
	return slipCase{ctx: ctx, numbers: m.Numbers, part: m.Scheme, slip: s, right: m.Key.Value, dim: m.Key.Dim, angle: m.Key.Angle}
}

// values returns what the slip evaluates to; several for a slip such as a lost
// power of a thousand.
func (c *slipCase) values() ([]float64, error) {
	list, err := c.compute()
	if err != nil {
		return nil, err
	}
	for _, v := range list {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, errors.New("it has no finite value")
		}
	}
	return list, nil
}

func (c *slipCase) compute() ([]float64, error) {
	if c.slip.General != nil {
		return c.slip.General.compute(c)
	}
	v, list := c.numbers.Value(c.ctx, c.slip.Formula)
	if list.HasErrors() {
		return nil, list.Err()
	}
	if v.Value.Dim != c.dim {
		return nil, fmt.Errorf("its formula gives %s and the answer is %s", unit.Describe(v.Value.Dim), unit.Describe(c.dim))
	}
	return []float64{v.Value.Number}, nil
}

// A role finds the names that play a part by the trade's letter for it and by
// their dimension.
type role struct {
	what  string
	bases []string // before the subscript
	dim   unit.Dimension
}

var (
	lengthDim = unit.Base(1, 0, 0)
	torqueDim = unit.Base(2, 1, -2)
	stressDim = unit.Base(-1, 1, -2)

	diameters = role{"diameter", []string{"d", "D", "ø", "Ø", "bore"}, lengthDim}
	radii     = role{"radius", []string{"r", "R", "c"}, lengthDim}
	bores     = role{"bore", []string{"bore", "d_i", "D_i", "d_bore"}, lengthDim}
	torques   = role{"torque", []string{"T", "M"}, torqueDim}
	moduli    = role{"shear modulus", []string{"G"}, stressDim}
	speeds    = role{"speed", []string{"n", "N", "ω", "Ω", "f"}, unit.Base(0, 0, -1)}
	lengths   = role{"length", []string{"d", "D", "r", "R", "L", "l", "a", "b", "c", "bore"}, lengthDim}
)

func (r role) fits(name string) bool {
	base, _, _ := strings.Cut(name, "_")
	return slices.Contains(r.bases, base) || slices.Contains(r.bases, name)
}

// named returns the givens that play a role, as numbers into Given: those the
// author names, else those of the usual letter and, for diameters, those that
// follow from one, such as a bore b = D − 14 mm.
func (c *slipCase) named(r role) []int {
	var found []int
	for i, g := range c.numbers.Givens() {
		v, _, ok := c.numbers.GivenValue(i)
		if !ok || g.IsFunc || v.IsBracket || v.IsTruth || v.Dim != r.dim {
			continue
		}
		if c.slip.Of == nil && (r.fits(g.Name) || r.what == diameters.what && c.follows(g, found)) || slices.Contains(c.slip.Of, g.Name) {
			found = append(found, i)
		}
	}
	return found
}

// follows reports whether a given is derived from one of others. A length along
// the shaft may be so too, but it is not a diameter.
func (c *slipCase) follows(g *Given, others []int) bool {
	if base, _, _ := strings.Cut(g.Name, "_"); !g.Derived || slices.Contains([]string{"L", "l", "x", "s"}, base) {
		return false
	}
	return slices.ContainsFunc(others, func(i int) bool { return slices.Contains(g.Uses, c.numbers.Givens()[i].Name) })
}

// need is named, with an error if there are no such names.
func (c *slipCase) need(r role) ([]int, error) {
	names := c.named(r)
	if len(names) == 0 {
		return nil, fmt.Errorf("no given name is a %s: say which are with of: […]", r.what)
	}
	return names, nil
}

func (c *slipCase) number(i int) float64 {
	v, _, _ := c.numbers.GivenValue(i)
	return v.Number
}

// with evaluates the answer with some givens replaced.
func (c *slipCase) with(values map[int]float64) (float64, error) {
	var got float64
	err := c.numbers.WithValues(c.ctx, values, func() error {
		v, list := c.numbers.Value(c.ctx, c.part.Answer)
		got = v.Value.Number
		return list.Err()
	})
	if c.turns != nil && err == nil {
		*c.turns = append(*c.turns, Turn{Values: maps.Clone(values), Result: got})
	}
	return got, err
}

func (c *slipCase) one(values map[int]float64) ([]float64, error) {
	v, err := c.with(values)
	if err != nil {
		return nil, err
	}
	return []float64{v}, nil
}

func (c *slipCase) scale(names []int, factor float64) ([]float64, error) {
	values := map[int]float64{}
	for _, i := range names {
		values[i] = c.number(i) * factor
	}
	return c.one(values)
}

// scaled takes every name of a role too large by a factor.
func scaled(r role, factor float64) func(*slipCase) ([]float64, error) {
	return func(c *slipCase) ([]float64, error) {
		names, err := c.need(r)
		if err != nil {
			return nil, err
		}
		return c.scale(names, factor)
	}
}

func byFactor(c *slipCase) ([]float64, error) {
	v, list := c.numbers.Value(c.ctx, c.slip.Factor)
	if list.HasErrors() {
		return nil, list.Err()
	}
	if !v.Value.Dim.IsNumber() {
		return nil, fmt.Errorf("its factor must be a pure number, not %s", unit.Describe(v.Value.Dim))
	}
	return []float64{c.right * v.Value.Number}, nil
}

// powersOf lists base^±1 … base^±n times the answer.
func powersOf(base float64, n int) func(*slipCase) ([]float64, error) {
	return func(c *slipCase) ([]float64, error) {
		var list []float64
		for k := 1; k <= n; k++ {
			p := math.Pow(base, float64(k))
			list = append(list, c.right*p, c.right/p)
		}
		return list, nil
	}
}

// softer takes J too small by a factor. J is a factor beside G wherever a twist is
// worked out, so G is divided; without a G it is stress or torque that is
// wanted, and both go with J itself.
func softer(factor float64) func(*slipCase) ([]float64, error) {
	return func(c *slipCase) ([]float64, error) {
		if names := c.named(moduli); len(names) > 0 {
			list, err := c.scale(names, 1/factor)
			if err != nil || math.Abs(list[0]-c.right) > 1e-9*math.Abs(c.right) {
				return list, err
			}
		}
		switch c.dim {
		case stressDim:
			return []float64{c.right * factor}, nil
		case torqueDim, unit.Base(4, 0, 0):
			return []float64{c.right / factor}, nil
		}
		return nil, errors.New("this answer does not go with J: give the wrong formula as formula: …")
	}
}

// poisson is Poisson's ratio of steel, for an exercise that gives no E (common
// practice, no source).
const poisson = 0.3

// youngForShear puts E for G: the given E if there is one, else 2·(1+ν)·G.
func youngForShear(c *slipCase) ([]float64, error) {
	names, err := c.need(moduli)
	if err != nil {
		return nil, err
	}
	values := map[int]float64{}
	for _, i := range names {
		values[i] = 2 * (1 + poisson) * c.number(i)
	}
	for i, g := range c.numbers.Givens() {
		if base, _, _ := strings.Cut(g.Name, "_"); base == "E" && !g.IsFunc {
			for k := range values {
				values[k] = c.number(i)
			}
		}
	}
	return c.one(values)
}

// decimalPlace moves the point of one given length at a time.
func decimalPlace(c *slipCase) ([]float64, error) {
	names, err := c.need(lengths)
	if err != nil {
		return nil, err
	}
	var list []float64
	for _, i := range names {
		for _, factor := range []float64{10, 0.1} {
			v, err := c.with(map[int]float64{i: c.number(i) * factor})
			if err == nil { // some shafts cannot be made with that length
				list = append(list, v)
			}
		}
	}
	if len(list) == 0 {
		return nil, errors.New("no length can slip by a place and leave a shaft")
	}
	return list, nil
}

func revolutions(c *slipCase) ([]float64, error) {
	names, err := c.need(speeds)
	if err != nil {
		return nil, err
	}
	var list []float64
	for _, factor := range []float64{60 / (2 * math.Pi), 1 / (2 * math.Pi)} { // per minute, per second
		v, err := c.scale(names, factor)
		if err != nil {
			return nil, err
		}
		list = append(list, v...)
	}
	return list, nil
}

// torqueSign turns the named torques round, or else those that are negative.
func torqueSign(c *slipCase) ([]float64, error) {
	names, err := c.need(torques)
	if err != nil {
		return nil, err
	}
	values := map[int]float64{}
	for _, i := range names {
		if v := c.number(i); v < 0 || c.slip.Of != nil {
			values[i] = -v
		}
	}
	if len(values) == 0 {
		return nil, errors.New("no given torque is negative: say which acts the other way with of: […]")
	}
	return c.one(values)
}
