package shaft

import (
	"math"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/interp"

	"shaftbook/kernel/interval"
)

// A measuredOutline is the diameter along a measured piece: the curve through
// its stations in float64, and brackets of the same curve for proofs.
type measuredOutline struct {
	*interp.FritschButland
	stations []Station

	mu     sync.Mutex
	curves map[float64]*stationCurve // by how far the numbers may be off
	latest atomic.Pointer[stationCurve]
}

// A stationCurve encloses the curve through the stations that are meant. Cell k
// runs from station k to station k+1.
type stationCurve struct {
	x, d, slope []interval.Interval // of each station: place, diameter (m), slope
	cells       []cubicCell         // between the stations; empty where one is too large for a number
	off         float64             // how far the numbers may be off
}

// curve returns the bracketed curve for the read error of o. It is worked out
// once for each error.
func (m *measuredOutline) curve(o *outward) *stationCurve {
	off := max(o.off, readError)
	if c := m.latest.Load(); c != nil && c.off == off {
		return c
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if c := m.curves[off]; c != nil {
		m.latest.Store(c)
		return c
	}
	c := &stationCurve{off: off}
	for _, s := range m.stations {
		c.x, c.d = append(c.x, o.given(s.X)), append(c.d, o.given(s.Diameter))
	}
	c.slopes(o)
	if o.err != nil {
		return c
	}
	if m.curves == nil {
		m.curves = map[float64]*stationCurve{}
	}
	c.fillCells(off)
	m.curves[off] = c
	return c
}

// A cubicCell is what cubic returns.
type cubicCell struct {
	by [4]interval.Interval
	h  interval.Interval
}

func (c *stationCurve) fillCells(off float64) {
	o := outward{off: off}
	cells := make([]cubicCell, len(c.x)-1)
	for k := range cells {
		cells[k].by, cells[k].h = c.cubic(&o, k)
	}
	if o.err == nil {
		c.cells = cells
	}
}

// slopes fills the slopes at the stations; the source is that of fitStations.
func (c *stationCurve) slopes(o *outward) {
	last := len(c.x) - 1
	h, secant := make([]interval.Interval, last), make([]interval.Interval, last)
	for k := range h {
		h[k] = o.sub(c.x[k+1], c.x[k])
		secant[k] = o.div(o.sub(c.d[k+1], c.d[k]), h[k])
	}
	if last == 1 {
		c.slope = []interval.Interval{secant[0], secant[0]}
		return
	}
	c.slope = make([]interval.Interval, last+1)
	c.slope[0] = endSlope(o, h[0], h[1], secant[0], secant[1])
	for k := 1; k < last; k++ {
		c.slope[k] = innerSlope(o, h[k-1], h[k], secant[k-1], secant[k])
	}
	c.slope[last] = endSlope(o, h[last-1], h[last-2], secant[last-1], secant[last-2])
}

// innerSlope returns the slope at a station between cells of lengths g and h
// with secants a and b: 0 where they differ in sign, else
//
//	3(g + h)/((g + 2h)/a + (2g + h)/b)
//
// which grows with both secants, so their ends give the bracket.
func innerSlope(o *outward, g, h, a, b interval.Interval) interval.Interval {
	at := func(a, b float64) interval.Interval {
		if !(a > 0 && b > 0 || a < 0 && b < 0) {
			return interval.Interval{}
		}
		before := o.div(o.sum(g, h, h), point(a))
		after := o.div(o.sum(g, g, h), point(b))
		return o.div(o.product(point(3), o.sum(g, h)), o.sum(before, after))
	}
	return interval.Interval{Lo: at(a.Lo, b.Lo).Lo, Hi: at(a.Hi, b.Hi).Hi}
}

// endSlope returns the slope at the first or last station, where h and a are the
// length and the secant of the cell there, g and b those of its neighbour:
//
//	s = ((g + 2h)·a − h·b)/(g + h)
//
// but 0 where s and a differ in sign, and 3a where a and b do and s is steeper
// than that. Where the signs are not known it is the hull of what may be.
func endSlope(o *outward, h, g, a, b interval.Interval) interval.Interval {
	s := o.div(o.sub(o.product(o.sum(g, h, h), a), o.product(h, b)), o.sum(g, h))
	alike, bend := o.product(s, a), o.product(a, b)
	steep, limit := interval.Abs(s), o.product(point(3), interval.Abs(a))
	capped := o.product(point(3), a)
	var all []interval.Interval
	if alike.Lo <= 0 {
		all = append(all, interval.Interval{})
	}
	if alike.Hi > 0 && bend.Lo <= 0 && steep.Hi > limit.Lo {
		all = append(all, capped)
	}
	if alike.Hi > 0 && (steep.Lo <= limit.Hi || o.product(s, b).Hi > 0) {
		all = append(all, s)
	}
	hull := all[0]
	for _, v := range all[1:] {
		hull = interval.Hull(hull, v)
	}
	return hull
}

// cubic returns the coefficients of the diameter in cell k,
//
//	d₀ + m₀t + (3Δ − 2m₀ − m₁)t² + (m₀ + m₁ − 2Δ)t³
//
// with t from 0 to 1 over the length h of the cell, and h: Hermite's cubic.
func (c *stationCurve) cubic(o *outward, k int) (by [4]interval.Interval, h interval.Interval) {
	if c.cells != nil {
		return c.cells[k].by, c.cells[k].h
	}
	h = o.sub(c.x[k+1], c.x[k])
	m0, m1 := o.product(h, c.slope[k]), o.product(h, c.slope[k+1])
	rise := o.sub(c.d[k+1], c.d[k])
	c2 := o.sub(o.product(point(3), rise), o.sum(m0, m0, m1))
	c3 := o.sub(o.sum(m0, m1), o.sum(rise, rise))
	return [4]interval.Interval{c.d[k], m0, c2, c3}, h
}

// at encloses the diameter at the local place x. A place that may be on either
// side of a station has the diameters of both cells.
func (c *stationCurve) at(o *outward, x float64) interval.Interval {
	var all interval.Interval
	found := false
	last := len(c.x) - 2
	for k := 0; k <= last; k++ {
		if k > 0 && x < c.x[k].Lo || k < last && x > c.x[k+1].Hi {
			continue
		}
		by, h := c.cubic(o, k)
		t := o.div(o.sub(point(x), c.x[k]), h)
		v := o.add(by[2], o.mul(t, by[3]))
		v = o.add(by[1], o.mul(t, v))
		v = o.add(by[0], o.mul(t, v))
		if found {
			v = interval.Hull(all, v)
		}
		all, found = v, true
	}
	return all
}

// over encloses the diameter at every local place of at. Between two stations
// the curve only grows or only falls.
func (c *stationCurve) over(o *outward, at interval.Interval) interval.Interval {
	all := interval.Hull(c.at(o, at.Lo), c.at(o, at.Hi))
	for k, x := range c.x {
		if x.Hi >= at.Lo && x.Lo <= at.Hi {
			all = interval.Hull(all, c.d[k])
		}
	}
	return all
}

// stationBreak returns where station k of the piece is along the shaft. Every
// place that is compared with it is found by this function, so that the
// comparison does not depend on rounding.
func (p *piece) stationBreak(k int) float64 { return min(p.start+p.Stations[k].X, p.end) }

// cellFrom returns the cell between stations that the stretch from the break x
// lies in, 0 for a piece that is not measured.
func (p *piece) cellFrom(x float64) int {
	k := 0
	for p.measured != nil && k < len(p.Stations)-2 && p.stationBreak(k+1) <= x {
		k++
	}
	return k
}

// inside keeps a bracket of local places on the piece.
func (p *piece) inside(at interval.Interval) interval.Interval {
	length := math.Max(p.Length, p.end-p.start)
	return interval.Interval{Lo: min(max(at.Lo, 0), length), Hi: min(max(at.Hi, 0), length)}
}
