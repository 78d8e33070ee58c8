package marking

import (
	"errors"
	"fmt"
)

// near keeps two diameters apart that a closed form divides by the difference
// of; the error it leaves goes with its square.
const near = 1e-4

// A pair is the diameters at the two ends of a taper, as numbers into Given.
type pair struct{ a, b int }

// ends returns the pairs of end diameters: of the outside, and of the bore if
// that tapers too.
func (c *slipCase) ends() ([]pair, error) {
	names, err := c.need(diameters)
	if err != nil {
		return nil, err
	}
	var outer, inner []int
	for _, i := range names {
		if bores.fits(c.numbers.Givens()[i].Name) {
			inner = append(inner, i)
		} else {
			outer = append(outer, i)
		}
	}
	if len(outer) != 2 {
		return nil, fmt.Errorf("a taper has two end diameters and %d names could be one: say which are with of: […]", len(outer))
	}
	pairs := []pair{{outer[0], outer[1]}}
	if len(inner) == 2 {
		pairs = append(pairs, pair{inner[0], inner[1]})
	}
	return pairs, nil
}

// uniform treats the taper as a uniform shaft of the diameter that f makes of
// its ends.
func uniform(f func(a, b float64) float64) func(*slipCase) ([]float64, error) {
	return func(c *slipCase) ([]float64, error) {
		pairs, err := c.ends()
		if err != nil {
			return nil, err
		}
		v, err := c.uniform(pairs, f)
		if err != nil {
			return nil, err
		}
		return []float64{v}, nil
	}
}

func (c *slipCase) uniform(pairs []pair, f func(a, b float64) float64) (float64, error) {
	at := func(apart float64) map[int]float64 {
		values := map[int]float64{}
		for _, p := range pairs {
			d := f(c.number(p.a), c.number(p.b))
			values[p.a], values[p.b] = d*(1-apart), d*(1+apart)
		}
		return values
	}
	if v, err := c.with(at(0)); err == nil {
		return v, nil
	}
	return c.with(at(near))
}

func meanOfEnds(c *slipCase) ([]float64, error) {
	pairs, err := c.ends()
	if err != nil {
		return nil, err
	}
	first, err := c.uniform(pairs, func(a, _ float64) float64 { return a })
	if err != nil {
		return nil, err
	}
	second, err := c.uniform(pairs, func(_, b float64) float64 { return b })
	if err != nil {
		return nil, err
	}
	return []float64{(first + second) / 2}, nil
}

// taperReversed lets the diameter fall from the first end where it should grow.
func taperReversed(c *slipCase) ([]float64, error) {
	pairs, err := c.ends()
	if err != nil {
		return nil, err
	}
	values := map[int]float64{}
	for _, p := range pairs {
		if values[p.b] = 2*c.number(p.a) - c.number(p.b); values[p.b] <= 0 {
			return nil, errors.New("with the slope reversed this taper ends in nothing")
		}
	}
	return c.one(values)
}

// hollow returns the outside and the bore diameter: the larger and the smaller.
func (c *slipCase) hollow() (outer, inner int, err error) {
	names := c.named(diameters)
	if len(names) != 2 {
		return 0, 0, fmt.Errorf("a hollow shaft has two diameters and %d names could be one: say which are with of: [D, b]", len(names))
	}
	if c.number(names[0]) < c.number(names[1]) {
		return names[1], names[0], nil
	}
	return names[0], names[1], nil
}

// nearlySolid is a bore that changes J by less than float64 can hold.
const nearlySolid = 1e-5

// boreFirst takes (D − d)⁴ for D⁴ − d⁴.
func boreFirst(c *slipCase) ([]float64, error) {
	outer, inner, err := c.hollow()
	if err != nil {
		return nil, err
	}
	d := c.number(outer) - c.number(inner)
	return c.one(map[int]float64{outer: d, inner: d * nearlySolid})
}

func boreForgotten(c *slipCase) ([]float64, error) {
	outer, inner, err := c.hollow()
	if err != nil {
		return nil, err
	}
	return c.one(map[int]float64{inner: c.number(outer) * nearlySolid})
}

// splitByLength gives all parts of a shaft that is held at both ends one
// diameter. Which one does not matter to the share of each hold.
func splitByLength(c *slipCase) ([]float64, error) {
	names, err := c.need(diameters)
	if err != nil {
		return nil, err
	}
	values := map[int]float64{}
	for _, i := range names {
		values[i] = c.number(names[0])
	}
	return c.one(values)
}
