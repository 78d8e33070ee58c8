package shaft

import "math"

// An Excess is the place where a limit is exceeded.
type Excess struct {
	Limit    Limit
	From, To float64 // m, along the shaft
	Greatest float64 // the greatest value there, Pa or rad/m
	X        float64 // where it is reached, m
}

// limitSamples is the number of equal parts that a cell is looked at in.
const limitSamples = 32

// Exceeded returns the stretches of the shaft on which its Limits are
// exceeded, in the order of the limits and then along the shaft. The ends of a
// stretch are found to 1e-12 of the length of their cell; an excess that lies
// wholly between two of 33 points of a smooth cell is missed, except for the
// greatest stress, which is that of StressMax.
func (s *Shaft) Exceeded() ([]Excess, error) {
	var all []Excess
	for _, l := range s.limits {
		list, err := s.exceeds(l)
		if err != nil {
			return nil, err
		}
		all = append(all, list...)
	}
	return all, nil
}

// exceeds returns the stretches on which one limit is exceeded.
func (s *Shaft) exceeds(l Limit) ([]Excess, error) {
	var list []Excess
	for i := range s.cells {
		c := &s.cells[i]
		value := func(f float64) (float64, error) {
			x := c.a + float64(f*c.length())
			if l.Of == Stress {
				return s.carriedIn(c, x)
			}
			sl, err := s.sliceOf(c, x)
			if err != nil {
				return 0, err
			}
			lasting, err := s.lastingRate(c, x)
			return math.Abs(c.torqueAt(x))/sl.gj + math.Abs(lasting), err
		}
		parts, err := exceedsIn(c, l, value)
		if err != nil {
			return nil, err
		}
		for _, e := range parts {
			list = join(list, e)
		}
	}
	if l.Of == Stress {
		list = s.withPeak(list, l)
	}
	return list, nil
}

// exceedsIn returns the stretches of one cell on which the value is above the
// limit.
func exceedsIn(c *cell, l Limit, value func(float64) (float64, error)) ([]Excess, error) {
	var list []Excess
	place := func(f float64) float64 {
		if f == 1 {
			return c.b
		}
		return c.a + float64(f*c.length())
	}
	wasOver, last := false, 0.0
	for k := 0; k <= limitSamples; k++ {
		f := float64(k) / limitSamples
		v, err := value(f)
		if err != nil {
			return nil, err
		}
		over := v > l.Value
		if over && !wasOver {
			from := f
			if k > 0 {
				if from, err = crossing(value, l.Value, last, f); err != nil {
					return nil, err
				}
			}
			list = append(list, Excess{Limit: l, From: place(from), To: place(from)})
		}
		if over {
			e := &list[len(list)-1]
			e.To = place(f)
			if v > e.Greatest {
				e.Greatest, e.X = v, place(f)
			}
		}
		if wasOver && !over {
			to, err := crossing(value, l.Value, last, f)
			if err != nil {
				return nil, err
			}
			list[len(list)-1].To = place(to)
		}
		wasOver, last = over, f
	}
	return list, nil
}

// crossing returns where the value crosses the limit between a and b, on
// different sides of it.
func crossing(value func(float64) (float64, error), limit, a, b float64) (float64, error) {
	at, err := value(a)
	if err != nil {
		return 0, err
	}
	for range 40 {
		mid := (a + b) / 2
		v, err := value(mid)
		if err != nil {
			return 0, err
		}
		if (v > limit) == (at > limit) {
			a = mid
		} else {
			b = mid
		}
	}
	return (a + b) / 2, nil
}

// join adds a stretch to the list, to the last one if it begins where that ends.
func join(list []Excess, e Excess) []Excess {
	if n := len(list); n > 0 && list[n-1].To == e.From {
		last := &list[n-1]
		last.To = e.To
		if e.Greatest > last.Greatest {
			last.Greatest, last.X = e.Greatest, e.X
		}
		return list
	}
	return append(list, e)
}

// withPeak puts the greatest stress of the shaft into the stretch it lies in.
func (s *Shaft) withPeak(list []Excess, l Limit) []Excess {
	p := s.greatest
	if p.value <= l.Value {
		return list
	}
	for i := range list {
		if e := &list[i]; e.From <= p.x && p.x <= e.To {
			if p.value > e.Greatest {
				e.Greatest, e.X = p.value, p.x
			}
			return list
		}
	}
	return append(list, Excess{Limit: l, From: p.x, To: p.x, Greatest: p.value, X: p.x})
}
