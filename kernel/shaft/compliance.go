package shaft

import (
	"errors"

	"shaftbook/kernel/interval"
)

// ErrNoEnclosure reports that a piece follows a function whose range over a
// segment is not known, so that no bracket can be guaranteed.
var ErrNoEnclosure = errors.New("the diameter of a piece follows a function whose range over a segment cannot be worked out, so no bracket is certain")

// sectionError is the relative error of the torsion constants of sections, which
// are good to a few units in the last place.
const sectionError = 1e-14

// section returns a bracket of a torsion constant or section modulus, which goes
// with the fourth power of a size at most.
func (o *outward) section(v float64) interval.Interval {
	return widened(v, float64((sectionError+float64(5*o.off))*v))
}

// compliance returns a bracket of 1/(G·J) over segment k of n of the piece.
func (p *piece) segmentCompliance(off float64, k, n int) (interval.Interval, error) {
	o := outward{off: off}
	stiff := p.stiffness(&o, k, n, 0)
	soft := o.div(point(1), stiff)
	return soft, o.err
}

// halvings is how often a segment is halved where the range of a function is
// too wide to be of use.
const halvings = 10

// stiffness returns a bracket of G·J over segment k of n.
func (p *piece) stiffness(o *outward, k, n, depth int) interval.Interval {
	if s := p.Section; s != nil {
		// The torsion constants are good to a few units in the last place.
		return o.product(o.given(p.G), o.section(s.J))
	}
	outer := p.outerRange(o, k, n)
	bore := p.boreRange(o, k, n)
	if o.err != nil {
		return interval.Interval{}
	}
	if p.Core != nil {
		core := o.given(p.Core.Diameter)
		return o.sum(o.product(o.given(p.G), ring(o, outer, core)), o.product(o.given(p.Core.G), disc(o, core)))
	}
	if p.Bore == nil {
		return o.product(o.given(p.G), disc(o, outer))
	}
	if p.Outer.Func == nil && p.Bore.Func == nil {
		return o.product(o.given(p.G), p.hollowRange(o, outer, bore, k, n))
	}
	if o.sub(outer, bore).Lo > 0 || depth == halvings {
		return o.product(o.given(p.G), ring(o, outer, bore))
	}
	return interval.Hull(p.stiffness(o, 2*k, 2*n, depth+1), p.stiffness(o, 2*k+1, 2*n, depth+1))
}

// disc returns π/32·d⁴.
func disc(o *outward, d interval.Interval) interval.Interval {
	return o.div(o.product(interval.Pi, o.sqr(o.sqr(d))), point(32))
}

// ring returns the polar moment of a ring, as polarMoment.
func ring(o *outward, outer, bore interval.Interval) interval.Interval {
	return ringOf(o, o.sub(outer, bore), outer, bore)
}

// ringOf returns the same from the difference of the diameters, where more is
// known of that than of each.
func ringOf(o *outward, difference, outer, bore interval.Interval) interval.Interval {
	squares := o.sum(o.sqr(outer), o.sqr(bore))
	return o.div(o.product(interval.Pi, difference, o.sum(outer, bore), squares), point(32))
}

// edge returns the linear profile at the fraction k/n of the piece.
func (p Profile) edge(o *outward, k, n int) interval.Interval {
	near, far := o.product(o.given(p.Start), point(float64(n-k))), o.product(o.given(p.End), point(float64(k)))
	return o.div(o.sum(near, far), point(float64(n)))
}

// over returns a bracket of the profile over segment k of n.
func (p Profile) over(o *outward, k, n int, length interval.Interval, depth int) interval.Interval {
	if p.Func == nil {
		return interval.Hull(p.edge(o, k, n), p.edge(o, k+1, n))
	}
	if p.Enclose == nil {
		return o.keep(interval.Interval{}, ErrNoEnclosure)
	}
	at := func(k int) interval.Interval { return o.div(o.product(length, point(float64(k))), point(float64(n))) }
	b, err := p.Enclose(interval.Hull(at(k), at(k+1)))
	if err == nil && b.Lo > 0 {
		return b
	}
	if depth == halvings {
		if err == nil {
			err = interval.ErrDivideByZero
		}
		return o.keep(b, err)
	}
	return interval.Hull(p.over(o, 2*k, 2*n, length, depth+1), p.over(o, 2*k+1, 2*n, length, depth+1))
}

func (p *piece) outerRange(o *outward, k, n int) interval.Interval {
	if p.measured != nil {
		length := o.given(p.Length)
		edge := func(k int) interval.Interval { return o.div(o.product(length, point(float64(k))), point(float64(n))) }
		return p.outerOver(o, interval.Hull(edge(k), edge(k+1)))
	}
	return p.Outer.over(o, k, n, o.given(p.Length), 0)
}

func (p *piece) boreRange(o *outward, k, n int) interval.Interval {
	if p.Bore == nil {
		return interval.Interval{}
	}
	return p.Bore.over(o, k, n, o.given(p.Length), 0)
}

// hollowRange returns a bracket of J over a segment of a piece whose outside
// and bore are both linear. Where J only grows or only falls it is that of the
// ends, its stiffer and its softer one. The sign of dJ/dx is that of D³D′ − d³d′.
func (p *piece) hollowRange(o *outward, outer, bore interval.Interval, k, n int) interval.Interval {
	end := func(k int) interval.Interval { return ring(o, p.Outer.edge(o, k, n), p.Bore.edge(o, k, n)) }
	difference := func(k int) interval.Interval { return o.sub(p.Outer.edge(o, k, n), p.Bore.edge(o, k, n)) }
	growth := func(q Profile, d interval.Interval) interval.Interval {
		return o.product(d, o.sqr(d), o.sub(o.given(q.End), o.given(q.Start)))
	}
	if signed(o.sub(growth(p.Outer, outer), growth(*p.Bore, bore))) {
		return interval.Hull(end(k), end(k+1))
	}
	return ringOf(o, interval.Hull(difference(k), difference(k+1)), outer, bore)
}
