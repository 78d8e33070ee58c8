package shaft

import (
	"shaftbook/kernel/interval"
)

// DiameterOver returns a bracket of the outside diameter at every place of a
// bracket of places, m. At a place where the diameter jumps it holds both sides.
//
// Failure: *RangeError, ShapeError, or ErrNoEnclosure for a profile without
// Enclose.
func (s *Shaft) DiameterOver(x interval.Interval) (interval.Interval, error) {
	return s.over(x, func(o *outward, p *piece, local interval.Interval) interval.Interval {
		if p.Section != nil {
			return o.keep(interval.Interval{}, &ShapeError{X: x.Lo})
		}
		return p.outerOver(o, local)
	})
}

// BoreOver returns a bracket of the bore; see DiameterOver.
func (s *Shaft) BoreOver(x interval.Interval) (interval.Interval, error) {
	return s.over(x, func(o *outward, p *piece, local interval.Interval) interval.Interval { return p.boreOver(o, local) })
}

// JOver returns a bracket of what J returns; see DiameterOver.
func (s *Shaft) JOver(x interval.Interval) (interval.Interval, error) {
	return s.over(x, func(o *outward, p *piece, local interval.Interval) interval.Interval { return p.momentOver(o, local) })
}

// over joins the values of the pieces that a bracket of places touches.
func (s *Shaft) over(x interval.Interval, value func(*outward, *piece, interval.Interval) interval.Interval) (interval.Interval, error) {
	from, err := s.inside(x.Lo)
	if err != nil {
		return interval.Interval{}, err
	}
	to, err := s.inside(x.Hi)
	if err != nil {
		return interval.Interval{}, err
	}
	// A break may be off the place that is meant by rounding; a single place just
	// before it belongs to the piece after it, as for J.
	slack := float64(sameplace * s.length)
	var all interval.Interval
	found := false
	off, err := s.readError()
	if err != nil {
		return all, err
	}
	o := outward{off: off}
	for i := range s.pieces {
		p := &s.pieces[i]
		last := i == len(s.pieces)-1
		if to < p.start-slack || from > p.end+slack || from > p.end-slack && x.IsPoint() && !last {
			continue
		}
		if x.IsPoint() && found {
			break
		}
		length := p.end - p.start
		near := func(v float64) float64 { return min(max(v-p.start, 0), length) }
		local := interval.Interval{Lo: near(from), Hi: near(to)}
		local = interval.Interval{Lo: max(widened(local.Lo, 0x1p-52*s.length).Lo, 0), Hi: min(widened(local.Hi, 0x1p-52*s.length).Hi, widened(length, 0x1p-52*s.length).Hi)}
		v := value(&o, p, local)
		if found {
			v = interval.Hull(all, v)
		}
		all, found = v, true
	}
	return all, o.err
}

// profileOver returns a bracket of a profile over local places.
func (p *piece) profileOver(o *outward, f Profile, at interval.Interval) interval.Interval {
	if f.Func != nil {
		if f.Enclose == nil {
			return o.keep(interval.Interval{}, ErrNoEnclosure)
		}
		return o.keep(f.Enclose(p.inside(at)))
	}
	if f.Start == f.End {
		return o.given(f.Start)
	}
	length := o.given(p.Length)
	end := func(x float64) interval.Interval {
		near := o.product(o.given(f.Start), o.sub(length, point(x)))
		return o.div(o.sum(near, o.product(o.given(f.End), point(x))), length)
	}
	return interval.Hull(end(at.Lo), end(at.Hi))
}

func (p *piece) outerOver(o *outward, at interval.Interval) interval.Interval {
	if p.measured == nil {
		return p.profileOver(o, p.Outer, at)
	}
	return p.measured.curve(o).over(o, p.inside(at))
}

func (p *piece) boreOver(o *outward, at interval.Interval) interval.Interval {
	if p.Bore == nil {
		return interval.Interval{}
	}
	return p.profileOver(o, *p.Bore, at)
}

// momentOver returns a bracket of J over local places.
func (p *piece) momentOver(o *outward, at interval.Interval) interval.Interval {
	if s := p.Section; s != nil {
		return o.section(s.J)
	}
	if p.Bore == nil {
		return disc(o, p.outerOver(o, at))
	}
	return ring(o, p.outerOver(o, at), p.boreOver(o, at))
}

// stiffnessOver returns a bracket of G·J over local places.
func (p *piece) stiffnessOver(o *outward, at interval.Interval) interval.Interval {
	c := p.Core
	if c == nil {
		return o.product(o.given(p.G), p.momentOver(o, at))
	}
	core := o.given(c.Diameter)
	return o.sum(o.product(o.given(p.G), ring(o, p.outerOver(o, at), core)), o.product(o.given(c.G), disc(o, core)))
}

// stressOver returns a bracket of the greatest shear stress per internal torque
// over local places.
func (p *piece) stressOver(o *outward, at interval.Interval) interval.Interval {
	if s := p.Section; s != nil {
		return o.div(point(1), o.section(s.W))
	}
	outer := p.outerOver(o, at)
	if p.Bore == nil && p.Core == nil {
		// 16/(πd³): the diameter once, so that the bracket is tight.
		return o.div(point(16), o.product(interval.Pi, outer, o.sqr(outer)))
	}
	rim := o.product(o.given(p.G), outer, point(0.5))
	if c := p.Core; c != nil {
		rim = interval.Max(rim, o.product(o.given(c.G), o.given(c.Diameter), point(0.5)))
	}
	return o.div(rim, p.stiffnessOver(o, at))
}
