package shaft

import (
	"errors"
	"fmt"

	"shaftbook/kernel/certify"
	"shaftbook/kernel/interval"
)

// ductileOver writes the section of a piece as one that yields, over local places:
// brackets of its sizes as constants.
func (c *Certain) ductileOver(b *certify.Builder, i int, x interval.Interval) (s ductileExpr, p *piece, err error) {
	p = &c.shaft.pieces[c.pieceOf[i]]
	switch {
	case !p.canYield():
		return s, p, &YieldError{X: x.Mid(), Reason: NotOneRound}
	case p.Yield == 0:
		return s, p, &YieldError{X: x.Mid(), Reason: NoYieldStress}
	}
	at := clamp(c.sub(x, widened(p.start, c.slack)), p)
	s = ductileExpr{b: b, g: b.Const(c.given(p.G)), yield: b.Const(c.given(p.Yield)), solid: p.Bore == nil}
	s.outer = b.Const(p.outerOver(&c.outward, at))
	s.bore = b.Const(p.boreOver(&c.outward, at))
	return s, p, c.err
}

// errUndecided says that the last digit decides whether or how far a section
// yields.
var errUndecided = errors.New("how far the section yields hangs on the last digits of its numbers")

// constant returns the value of an expression of constants.
func (c *Certain) constant(b *certify.Builder, x certify.Expr) (interval.Interval, error) {
	v, ok := b.Constant(x)
	if !ok {
		return v, errUndecided
	}
	return v, nil
}

// permanentOver encloses the permanent twist per length at every place of x in
// stretch i.
func (c *Certain) permanentOver(i int, x interval.Interval) (interval.Interval, error) {
	if !c.mayYield(i) {
		return interval.Interval{}, nil
	}
	b := certify.NewBuilder()
	s, _, err := c.ductileOver(b, i, x)
	if err != nil {
		return interval.Interval{}, err
	}
	torque := c.torqueIn(i, x)
	size := interval.Abs(torque)
	first, err := c.constant(b, s.yieldTorque())
	if err != nil || size.Hi <= first.Lo {
		return interval.Interval{}, err
	}
	v, err := c.constant(b, s.rateBeyond(b.Const(size), b.Const(first)))
	if size.Lo <= first.Hi {
		v = interval.Hull(v, interval.Interval{}) // whether it yields is not certain
	}
	return withSign(v, torque), err
}

// withSign gives a size, which is 0 or more, the sign of a torque.
func withSign(size, torque interval.Interval) interval.Interval {
	size.Lo = max(size.Lo, 0)
	switch {
	case torque.Lo >= 0:
		return size
	case torque.Hi <= 0:
		return interval.Neg(size)
	}
	return interval.Hull(size, interval.Neg(size))
}

// mayYield reports whether it is not certain that stretch i stays elastic.
func (c *Certain) mayYield(i int) bool {
	p := &c.shaft.pieces[c.pieceOf[i]]
	if p.Yield == 0 {
		return false
	}
	o := outward{off: c.off}
	per := p.stressOver(&o, interval.Interval{Hi: p.end - p.start})
	d := c.copy()
	t := d.bernstein(i)
	most := o.product(per, interval.Abs(interval.Hull(t[0], interval.Hull(t[1], t[2]))))
	return o.err != nil || d.err != nil || most.Hi >= o.given(p.Yield).Lo
}

// lasting encloses the permanent twist of stretch i from its beginning to x; all
// is set if x is its end.
func (c *Certain) lasting(i int, x interval.Interval, all bool) (interval.Interval, error) {
	if !c.mayYield(i) {
		return interval.Interval{}, nil
	}
	p := &c.shaft.pieces[c.pieceOf[i]]
	if !p.canYield() {
		// New has found that it does not, by more than rounding or not at all.
		return interval.Interval{}, nil
	}
	from := widened(c.shaft.breaks[i], c.slack)
	length := c.width(i)
	if !all {
		reach := c.sub(x, from)
		length = interval.Interval{Lo: max(reach.Lo, 0), Hi: max(min(reach.Hi, length.Hi), 0)}
	}
	if p.uniform() && c.t0Only(i) {
		rate, err := c.permanentOver(i, from)
		if err != nil {
			return rate, err
		}
		return c.sound(c.product(rate, length))
	}
	local := c.sub(from, widened(p.start, c.slack))
	start, end := clamp(local, p), clamp(c.sum(local, length), p)
	if end.Lo <= start.Hi {
		// A stretch as short as rounding.
		rate, err := c.permanentOver(i, interval.Hull(from, c.sum(from, length)))
		if err != nil {
			return rate, err
		}
		return c.sound(c.product(rate, length))
	}
	f, err := c.lastingFunction(p, i, local)
	if err != nil {
		return interval.Interval{}, err
	}
	e, err := certify.Integrate(f, nil, start, end, certify.Options{Work: momentWork})
	if err != nil {
		return interval.Interval{}, err
	}
	if !e.Certain {
		return interval.Interval{}, fmt.Errorf("%w: %v", errLasting, e.Reason)
	}
	return c.sound(e.Interval())
}

// errLasting says that the twist beyond the yield stress could not be enclosed.
var errLasting = errors.New("the twist beyond the yield stress could not be enclosed along a piece")

// lastingFunction makes the permanent twist per length along stretch i, which
// begins at a local place.
func (c *Certain) lastingFunction(p *piece, i int, local interval.Interval) (*certify.Function, error) {
	b := certify.NewBuilder()
	x := b.Variable()
	outer, ok := p.outerExpr(&c.outward, b, x, c.cellOf[i])
	if !ok {
		return nil, errLasting
	}
	s := ductileExpr{b: b, outer: outer, g: b.Const(c.given(p.G)), yield: b.Const(c.given(p.Yield)), solid: p.Bore == nil}
	if p.Bore != nil {
		if s.bore, ok = p.profileExpr(&c.outward, b, x, *p.Bore); !ok {
			return nil, errLasting
		}
	}
	part := b.Div(b.Sub(x, b.Const(local)), b.Const(c.width(i)))
	t := c.torque[i]
	torque := b.Const(t[0])
	if !c.t0Only(i) {
		torque = b.Add(torque, b.Mul(part, b.Add(b.Const(t[1]), b.Mul(part, b.Const(t[2])))))
	}
	ends := c.bernstein(i)
	var rate certify.Expr
	switch all := interval.Hull(ends[0], interval.Hull(ends[1], ends[2])); {
	case all.Lo >= 0:
		rate = s.permanentRate(torque)
	case all.Hi <= 0:
		rate = b.Neg(s.permanentRate(b.Neg(torque)))
	default:
		rate = b.If(b.Less(torque, b.Number(0)), b.Neg(s.permanentRate(b.Neg(torque))), s.permanentRate(torque))
	}
	f, _ := b.Function(x, rate)
	return f, c.err
}

// lastingAll fills the permanent twist at the breaks, or says why there are no
// bounds of it; the elastic values have theirs all the same.
func (c *Certain) lastingAll() error {
	if c.soft != nil {
		return nil // a shaft with tolerances does not yield
	}
	c.last = make([]interval.Interval, len(c.spans)+1)
	for i := range c.spans {
		twist, err := c.lasting(i, interval.Interval{}, true)
		if err != nil {
			c.lastErr = err
			return nil
		}
		c.last[i+1] = c.sum(c.last[i], twist)
	}
	return c.err
}

// PermanentTwist encloses Shaft.PermanentTwist at x, a place known to within
// rounding.
func (c *Certain) PermanentTwist(x interval.Interval) (interval.Interval, error) {
	c = c.copy()
	_, i, err := c.at(x)
	if err != nil {
		return interval.Interval{}, err
	}
	if c.soft != nil {
		return interval.Interval{}, nil
	}
	if c.lastErr != nil {
		return interval.Interval{}, c.lastErr
	}
	part, err := c.lasting(i, x, false)
	if err != nil {
		return part, err
	}
	v := c.sum(c.last[i], part)
	if before := widened(c.shaft.breaks[i], c.slack); i > 0 && x.Lo < before.Hi {
		// x may lie on the break, where the stretch before ends.
		back, err := c.permanentOver(i-1, before)
		if err != nil {
			return back, err
		}
		v = c.sum(v, c.product(back, interval.Interval{Lo: min(c.sub(x, before).Lo, 0)}))
	}
	return c.sound(v)
}

// SpringBack encloses Shaft.SpringBack at x, a place known to within rounding.
func (c *Certain) SpringBack(x interval.Interval) (interval.Interval, error) {
	return c.elasticTwist(x)
}

// Twist encloses Shaft.Twist at x, a place known to within rounding.
func (c *Certain) Twist(x interval.Interval) (interval.Interval, error) {
	elastic, err := c.elasticTwist(x)
	if err != nil || !c.shaft.Yields() {
		return elastic, err
	}
	lasting, err := c.PermanentTwist(x)
	if err != nil {
		return lasting, err
	}
	d := c.copy()
	return d.sound(d.sum(elastic, lasting))
}

// PermanentTotal encloses Shaft.PermanentTotal.
//
// Failure: the bounds could not be found; those of elastic values exist all the same.
func (c *Certain) PermanentTotal() (interval.Interval, error) {
	if !c.shaft.Yields() || c.lastErr != nil {
		return interval.Interval{}, c.lastErr
	}
	return c.last[len(c.last)-1], nil
}

// SpringBackTotal encloses Shaft.SpringBackTotal.
func (c *Certain) SpringBackTotal() interval.Interval { return c.theta[len(c.theta)-1] }

// TwistTotal encloses the twist of the far end relative to x = 0, rad.
//
// Failure: as PermanentTotal.
func (c *Certain) TwistTotal() (interval.Interval, error) {
	lasting, err := c.PermanentTotal()
	if err != nil || !c.shaft.Yields() {
		return c.SpringBackTotal(), err
	}
	d := c.copy()
	return d.sound(d.sum(c.SpringBackTotal(), lasting))
}

// TwistRate encloses Shaft.TwistRate at every place of x.
func (c *Certain) TwistRate(x interval.Interval) (interval.Interval, error) {
	c = c.copy()
	elastic, err := c.join(x, c.rateIn)
	if err != nil || !c.shaft.Yields() {
		return elastic, err
	}
	var failed error
	lasting, err := c.join(x, func(i int, x interval.Interval) interval.Interval {
		v, err := c.permanentOver(i, x)
		failed = errors.Join(failed, err)
		return v
	})
	if err = errors.Join(err, failed); err != nil {
		return lasting, err
	}
	return c.sound(c.sum(elastic, lasting))
}

// rateIn is the elastic twist per length in stretch i.
func (c *Certain) rateIn(i int, x interval.Interval) interval.Interval {
	return c.div(c.torqueIn(i, x), c.across(i, x, (*piece).stiffnessOver))
}

// sectionValue encloses a value of the section that yields at every place of x.
func (c *Certain) sectionValue(x interval.Interval, value func(i int, s ductileExpr, x interval.Interval) certify.Expr) (interval.Interval, error) {
	c = c.copy()
	var failed error
	v, err := c.join(x, func(i int, x interval.Interval) interval.Interval {
		b := certify.NewBuilder()
		s, _, err := c.ductileOver(b, i, x)
		if err == nil {
			var v interval.Interval
			if v, err = c.constant(b, value(i, s, x)); err == nil {
				return v
			}
		}
		if failed == nil {
			failed = err
		}
		return interval.Interval{}
	})
	if failed != nil {
		return v, failed
	}
	return v, err
}

// YieldTorque encloses Shaft.YieldTorque at every place of x.
func (c *Certain) YieldTorque(x interval.Interval) (interval.Interval, error) {
	return c.sectionValue(x, func(_ int, s ductileExpr, _ interval.Interval) certify.Expr { return s.yieldTorque() })
}

// PlasticTorque encloses Shaft.PlasticTorque at every place of x.
func (c *Certain) PlasticTorque(x interval.Interval) (interval.Interval, error) {
	return c.sectionValue(x, func(_ int, s ductileExpr, _ interval.Interval) certify.Expr { return s.plasticTorque() })
}

// ElasticCore encloses Shaft.ElasticCore at every place of x.
func (c *Certain) ElasticCore(x interval.Interval) (interval.Interval, error) {
	return c.sectionValue(x, func(i int, s ductileExpr, x interval.Interval) certify.Expr {
		if !c.mayYield(i) {
			return s.outer
		}
		size := s.b.Const(interval.Abs(c.copy().torqueIn(i, x)))
		return s.b.If(s.b.LessEq(size, s.yieldTorque()), s.outer, s.core(size))
	})
}

// StressAt encloses Shaft.StressAt at a place and a radius known to within
// rounding.
func (c *Certain) StressAt(x, r interval.Interval) (interval.Interval, error) {
	layers, err := c.shaft.Layers(x.Mid())
	if err != nil {
		return interval.Interval{}, err
	}
	mid, err := radiusWithin(layers, r.Mid())
	if err != nil {
		return interval.Interval{}, err
	}
	rate, err := c.TwistRate(x)
	if err != nil {
		return rate, err
	}
	d := c.copy()
	_, i, err := d.at(x)
	if err != nil {
		return interval.Interval{}, err
	}
	p := &c.shaft.pieces[c.pieceOf[i]]
	g := 0.0
	for _, l := range layers {
		if mid >= l.Inner && mid <= l.Outer {
			g = max(g, l.G)
		}
	}
	v := d.product(d.given(g), interval.Abs(r), interval.Abs(rate))
	if p.Yield > 0 && p.canYield() {
		v = interval.Min(v, d.given(p.Yield))
	}
	return d.sound(v)
}

// ResidualStress encloses Shaft.ResidualStress at a place and a radius known to
// within rounding.
func (c *Certain) ResidualStress(x, r interval.Interval) (interval.Interval, error) {
	stress, err := c.StressAt(x, r)
	if err != nil {
		return stress, err
	}
	d := c.copy()
	_, i, err := d.at(x)
	if err != nil || !c.mayYield(i) {
		return interval.Interval{}, err
	}
	p := &c.shaft.pieces[c.pieceOf[i]]
	if lasting, err := d.permanentOver(i, x); err != nil || lasting == (interval.Interval{}) || !p.canYield() {
		return interval.Interval{}, err
	}
	at := clamp(d.sub(x, widened(p.start, d.slack)), p)
	back := d.div(d.product(interval.Abs(d.torqueIn(i, x)), interval.Abs(r)), p.momentOver(&d.outward, at))
	return d.sound(d.sub(stress, back))
}
