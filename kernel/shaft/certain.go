package shaft

import (
	"errors"
	"fmt"

	"shaftbook/kernel/certify"
	"shaftbook/kernel/interval"
)

// A Certain shaft knows between which bounds its values certainly lie: those of
// slice theory for the decimals that the numbers of the Spec were rounded from.
// Every integral along it is enclosed.
type Certain struct {
	bracketed
	m       []moments           // of each stretch
	theta   []interval.Interval // at each break: twist relative to x = 0
	react   []interval.Interval
	pieceOf []int               // of each stretch
	cellOf  []int               // of each stretch: the cell between stations that it lies in
	last    []interval.Interval // at each break: permanent twist relative to x = 0
	lastErr error               // why last is not known
}

// moments are ∫ sᵏ/(G·J) dx for k = 0, 1, 2 where the shaft is as soft and as
// stiff as its tolerances let it be; the same without tolerances.
type moments struct{ soft, stiff [3]interval.Interval }

// compliance returns the bracket of ∫ dx/(G·J).
func (m moments) compliance() interval.Interval { return interval.Hull(m.stiff[0], m.soft[0]) }

// Certain returns the bounds of the values of the shaft. It is worked out once.
//
// Failure: ErrNotEnclosed, or a *interval.Error.
func (s *Shaft) Certain() (*Certain, error) {
	s.once.Do(func() { s.certain, s.certainErr = s.enclose() })
	return s.certain, s.certainErr
}

func (s *Shaft) enclose() (*Certain, error) {
	c := &Certain{}
	c.shaft = s
	return c.enclose()
}

func (c *Certain) enclose() (*Certain, error) {
	s := c.shaft
	if c.off, c.err = s.readError(); c.err != nil {
		return nil, c.err
	}
	c.place()
	c.load()
	k := 0
	for i := range c.spans {
		for s.pieces[k].end <= s.breaks[i] {
			k++
		}
		c.pieceOf = append(c.pieceOf, k)
		c.cellOf = append(c.cellOf, s.pieces[k].cellFrom(s.breaks[i]))
		m, err := c.moments(i, widened(s.breaks[i+1], c.slack), true)
		if err != nil {
			return nil, err
		}
		c.m = append(c.m, m)
		span := c.spans[i]
		c.f[span] = c.sum(c.f[span], m.compliance())
		c.a[span] = c.sum(c.a[span], c.turn(i, m))
	}
	inner := make([]interval.Interval, len(c.c)+1)
	if len(c.c) > 1 {
		inner = append(c.inner()[:len(c.c)], interval.Interval{})
	}
	c.react = c.reactions(inner)
	for i, span := range c.spans {
		c.torque[i][0] = c.sum(c.torque[i][0], inner[span])
	}
	c.turnAll()
	if err := c.lastingAll(); err != nil {
		return nil, err
	}
	return c, c.err
}

// turn returns ∫T/(G·J) dx over a stretch, or a part of it with the moments m.
func (c *Certain) turn(i int, m moments) interval.Interval {
	switch {
	case c.soft == nil:
		return c.dot(i, m.soft)
	case c.t0Only(i):
		return c.product(c.torque[i][0], m.compliance())
	case c.oneSigned(i):
		// With a torque of one sign the turn grows as 1/(G·J) does, everywhere.
		return interval.Hull(c.dot(i, m.soft), c.dot(i, m.stiff))
	}
	// Each term of Bernstein's form of the torque has one sign.
	b, soft, stiff := c.bernstein(i), c.weights(m.soft), c.weights(m.stiff)
	var sum interval.Interval
	for k := range b {
		sum = c.sum(sum, c.product(b[k], interval.Hull(stiff[k], soft[k])))
	}
	return sum
}

func (c *Certain) dot(i int, m [3]interval.Interval) interval.Interval {
	var sum interval.Interval
	for k, t := range c.torque[i] {
		sum = c.sum(sum, c.product(t, m[k]))
	}
	return sum
}

// bernstein returns b of the torque b₀(1−s)² + b₁·2s(1−s) + b₂s² on a stretch.
func (c *Certain) bernstein(i int) [3]interval.Interval {
	t := c.torque[i]
	return [3]interval.Interval{t[0], c.sum(t[0], c.half(t[1])), c.sum(t[0], t[1], t[2])}
}

// oneSigned reports whether the torque certainly keeps its sign on a stretch.
func (c *Certain) oneSigned(i int) bool {
	b := c.bernstein(i)
	return signed(interval.Hull(b[0], interval.Hull(b[1], b[2])))
}

// weights returns ∫ p/(G·J) dx for the terms p of Bernstein's form, none of which
// is below 0.
func (c *Certain) weights(m [3]interval.Interval) [3]interval.Interval {
	w := [3]interval.Interval{c.sum(c.sub(m[0], c.product(point(2), m[1])), m[2]), c.product(point(2), c.sub(m[1], m[2])), m[2]}
	for k := range w {
		w[k].Lo = max(w[k].Lo, 0)
	}
	return w
}

// turnAll fills the twist at the breaks: forward from x = 0 and, where a rigid
// hold at x = 0 and one further on fix it, backward from that, whichever is
// narrower.
func (c *Certain) turnAll() {
	s := c.shaft
	n := len(c.spans)
	c.theta = make([]interval.Interval, n+1)
	for i := range n {
		c.theta[i+1] = c.sum(c.theta[i], c.turn(i, c.m[i]))
	}
	if !s.heldAt(0) {
		return
	}
	for i := n; i >= 0; i-- {
		if s.heldAt(s.breaks[i]) {
			c.theta[i] = interval.Interval{}
			continue
		}
		if i == n {
			continue
		}
		back := c.sub(c.theta[i+1], c.turn(i, c.m[i]))
		if both, ok := interval.Intersect(c.theta[i], back); ok {
			c.theta[i] = both
		}
	}
	for i := 1; i <= n; i++ {
		ahead := c.sum(c.theta[i-1], c.turn(i-1, c.m[i-1]))
		if both, ok := interval.Intersect(c.theta[i], ahead); ok {
			c.theta[i] = both
		}
	}
}

// momentWork bounds the work on one integral along a stretch.
const momentWork = 60_000

// moments returns ∫ sᵏ/(G·J) dx for k = 0, 1, 2 over stretch i from its beginning
// to x; s is the part of the whole stretch. all is set if x is its end.
func (c *Certain) moments(i int, x interval.Interval, all bool) (m moments, err error) {
	k := c.pieceOf[i]
	if c.soft == nil {
		m.soft, err = c.momentsOf(&c.shaft.pieces[k], i, x, all)
		m.stiff = m.soft
		return m, err
	}
	if m.soft, err = c.momentsOf(&c.soft[k], i, x, all); err != nil {
		return m, err
	}
	m.stiff, err = c.momentsOf(&c.stiff[k], i, x, all)
	return m, err
}

// momentsOf is moments with the sizes of one piece.
func (c *Certain) momentsOf(p *piece, i int, x interval.Interval, all bool) ([3]interval.Interval, error) {
	s := c.shaft
	length := c.width(i)
	from := widened(s.breaks[i], c.slack)
	reach := point(1)
	if !all {
		reach = c.div(c.sub(x, from), length)
		reach = interval.Interval{Lo: max(reach.Lo, 0), Hi: min(max(reach.Hi, 0), 1)}
	}
	var m [3]interval.Interval
	start := widened(p.start, c.slack)
	local := c.sub(from, start)
	switch {
	case p.uniform():
		gj := p.stiffnessOver(&c.outward, interval.Interval{})
		h := c.div(length, gj)
		power := reach
		for k := range m {
			m[k] = c.div(c.product(h, power), point(float64(k+1)))
			power = c.product(power, reach)
		}
		return m, c.err
	case p.solidTaper():
		d := c.edgeAt(p, local)
		far := c.edgeAt(p, c.sum(local, length))
		h := c.div(length, c.product(c.given(p.G), disc(&c.outward, d)))
		eps := c.sub(c.div(far, d), point(1))
		for k, v := range c.taper(reach, eps) {
			m[k] = c.product(h, v)
		}
		return m, c.err
	}
	top := c.t0Only(i)
	to := c.sum(local, c.product(reach, length))
	for k := range m {
		if k > 0 && top {
			break
		}
		f := p.complianceOf(&c.outward, local, length, c.cellOf[i], k)
		if f == nil {
			return m, ErrNotEnclosed
		}
		e, err := certify.Integrate(f, nil, clamp(local, p), clamp(to, p), certify.Options{Work: momentWork})
		if err != nil {
			return m, err
		}
		if !e.Certain {
			return m, fmt.Errorf("%w: %v", ErrNotEnclosed, e.Reason)
		}
		m[k] = e.Interval()
	}
	return m, c.err
}

// clamp keeps local places on the piece, beyond which a function may have no
// value.
func clamp(x interval.Interval, p *piece) interval.Interval {
	length := widened(p.Length, 0x1p-50*p.Length).Hi
	return interval.Interval{Lo: min(max(x.Lo, 0), length), Hi: min(max(x.Hi, 0), length)}
}

// t0Only reports whether the torque of a stretch is constant, so that its higher
// moments do not matter.
func (c *Certain) t0Only(i int) bool {
	zero := interval.Interval{}
	return c.torque[i][1] == zero && c.torque[i][2] == zero
}

// edgeAt returns the diameter of a straight piece at a local place.
func (c *Certain) edgeAt(p *piece, x interval.Interval) interval.Interval {
	length := c.given(p.Length)
	near := c.product(c.given(p.Outer.Start), c.sub(length, x))
	return c.div(c.sum(near, c.product(c.given(p.Outer.End), x)), length)
}

// taper is taperMoments in brackets. Each moment falls as ε grows and grows with
// s, so the ends give it.
func (c *Certain) taper(s, eps interval.Interval) [3]interval.Interval {
	low, high := c.taperAt(s.Lo, eps.Hi), c.taperAt(s.Hi, eps.Lo)
	var m [3]interval.Interval
	for k := range m {
		m[k] = interval.Interval{Lo: low[k].Lo, Hi: high[k].Hi}
	}
	return m
}

func (c *Certain) taperAt(s, eps float64) [3]interval.Interval {
	x := point(s)
	q := c.sum(point(1), c.product(point(eps), x))
	r := c.div(x, q)
	q2 := c.sqr(q)
	return [3]interval.Interval{
		c.div(c.product(r, c.sum(q2, q, point(1))), c.product(point(3), q2)),
		c.div(c.product(c.sqr(r), c.sum(q, point(2))), c.product(point(6), q)),
		c.div(c.product(r, c.sqr(r)), point(3)),
	}
}

// stretchAt returns the stretch just after x, the last one for the far end, and
// the one before it if x is on a break.
func (c *Certain) stretchAt(x float64) (before, after int) {
	tol := float64(sameplace * c.shaft.length)
	breaks := c.shaft.breaks
	after = len(c.spans) - 1
	for after > 0 && breaks[after] > x+tol {
		after--
	}
	before = after
	if after > 0 && breaks[after] >= x-tol {
		before--
	}
	return before, after
}

// at returns the stretches that a bracket of places touches.
func (c *Certain) at(x interval.Interval) (first, last int, err error) {
	if _, err := c.shaft.inside(x.Lo); err != nil {
		return 0, 0, err
	}
	if _, err := c.shaft.inside(x.Hi); err != nil {
		return 0, 0, err
	}
	_, first = c.stretchAt(x.Lo)
	_, last = c.stretchAt(x.Hi)
	if x.Hi-x.Lo <= sameplace*c.shaft.length {
		first = last
	}
	return first, last, nil
}

// part returns the part of stretch i up to x, within 0 and 1.
func (c *Certain) part(i int, x interval.Interval) interval.Interval {
	s := c.div(c.sub(x, widened(c.shaft.breaks[i], c.slack)), c.width(i))
	return interval.Interval{Lo: min(max(s.Lo, 0), 1), Hi: min(max(s.Hi, 0), 1)}
}

func (c *Certain) torqueIn(i int, x interval.Interval) interval.Interval {
	s, t := c.part(i, x), c.torque[i]
	return c.sum(t[0], c.product(s, c.sum(t[1], c.product(s, t[2]))))
}

// join returns the values of the stretches that x touches as one bracket.
func (c *Certain) join(x interval.Interval, value func(i int, x interval.Interval) interval.Interval) (interval.Interval, error) {
	first, last, err := c.at(x)
	if err != nil {
		return interval.Interval{}, err
	}
	v := value(first, x)
	for i := first + 1; i <= last; i++ {
		v = interval.Hull(v, value(i, x))
	}
	return c.sound(v)
}

// copy returns the same bounds with room for an error of their own, so that one
// shaft serves several goroutines.
func (c *Certain) copy() *Certain {
	d := *c
	return &d
}

// sound returns v, or the error that has made it meaningless.
func (c *Certain) sound(v interval.Interval) (interval.Interval, error) {
	err := c.err
	c.err = nil
	return v, err
}

// Torque encloses Shaft.Torque at every place of x.
func (c *Certain) Torque(x interval.Interval) (interval.Interval, error) {
	c = c.copy()
	return c.join(x, c.torqueIn)
}

// across returns the value of a section of stretch i at every place of x, joined
// over the ends of the tolerances.
func (c *Certain) across(i int, x interval.Interval, value func(*piece, *outward, interval.Interval) interval.Interval) interval.Interval {
	k := c.pieceOf[i]
	p := &c.shaft.pieces[k]
	at := clamp(c.sub(x, widened(p.start, c.slack)), p)
	if c.soft == nil {
		return value(p, &c.outward, at)
	}
	return interval.Hull(value(&c.soft[k], &c.outward, at), value(&c.stiff[k], &c.outward, at))
}

func (c *Certain) stressIn(i int, x interval.Interval) interval.Interval {
	return c.product(interval.Abs(c.torqueIn(i, x)), c.across(i, x, (*piece).stressOver))
}

// carriedIn is the stress of stretch i, which is at most its yield stress.
func (c *Certain) carriedIn(i int, x interval.Interval) interval.Interval {
	v := c.stressIn(i, x)
	if limit := c.shaft.pieces[c.pieceOf[i]].Yield; limit > 0 {
		v = interval.Min(v, c.given(limit))
	}
	return v
}

// Stress encloses Shaft.Stress at every place of x.
func (c *Certain) Stress(x interval.Interval) (interval.Interval, error) {
	c = c.copy()
	v, err := c.join(x, c.carriedIn)
	if err != nil {
		return v, err
	}
	if before, after := c.stretchAt(x.Mid()); before != after && x.Hi-x.Lo <= sameplace*c.shaft.length {
		other, err := c.sound(c.carriedIn(before, x))
		return interval.Max(v, other), err
	}
	return v, nil
}

// elasticTwist encloses ∫T/(G·J) dx from x = 0 to x, a place known to within
// rounding.
func (c *Certain) elasticTwist(x interval.Interval) (interval.Interval, error) {
	c = c.copy()
	_, i, err := c.at(x)
	if err != nil {
		return interval.Interval{}, err
	}
	tol := float64(sameplace * c.shaft.length)
	breaks := c.shaft.breaks
	if x.Lo >= breaks[i]-tol && x.Hi <= breaks[i]+tol {
		return c.sound(c.beside(i, x))
	}
	if x.Lo >= breaks[i+1]-tol {
		return c.sound(c.beside(i+1, x))
	}
	m, err := c.moments(i, x, false)
	if err != nil {
		return interval.Interval{}, err
	}
	v := c.sum(c.theta[i], c.turn(i, m))
	// From the nearer end of the stretch the twist of the rest comes off.
	rest := c.sub(c.turn(i, c.m[i]), c.turn(i, m))
	if both, ok := interval.Intersect(v, c.sub(c.theta[i+1], rest)); ok {
		v = both
	}
	return c.sound(v)
}

// beside returns the twist at x, which counts as break k. Where x is farther
// from the break than rounding can be, the twist between the two is added.
func (c *Certain) beside(k int, x interval.Interval) interval.Interval {
	v := c.theta[k]
	at := widened(c.shaft.breaks[k], c.slack)
	add := func(i int, gap interval.Interval) {
		both := interval.Hull(at, x)
		rate := c.div(c.torqueIn(i, both), c.across(i, both, (*piece).stiffnessOver))
		v = c.sum(v, c.product(rate, gap))
	}
	if x.Lo < at.Lo && k > 0 {
		add(k-1, interval.Interval{Lo: c.sub(x, at).Lo})
	}
	if x.Hi > at.Hi && k < len(c.spans) {
		add(k, interval.Interval{Hi: c.sub(x, at).Hi})
	}
	return v
}

// Rotation encloses Shaft.RotationAt at x, a place known to within rounding: the
// rotation of the first hold, or of the gear that the shaft hangs from, and the
// twist from there.
func (c *Certain) Rotation(x interval.Interval) (interval.Interval, error) {
	d := c.copy()
	for i, h := range c.shaft.holds {
		if x.Lo >= h.X-c.slack && x.Hi <= h.X+c.slack {
			return d.sound(interval.Neg(d.product(d.c[i], d.react[i])))
		}
	}
	at, err := d.Twist(x)
	if err != nil {
		return at, err
	}
	var from, known interval.Interval // a section whose rotation is known, and that
	switch r := c.shaft.rim; {
	case r != nil:
		from = d.given(r.x)
		if known, err = r.rotation(); err != nil {
			return known, err
		}
	case len(c.shaft.holds) > 0:
		from, known = d.given(c.shaft.holds[0].X), interval.Neg(d.product(d.c[0], d.react[0]))
	default:
		return interval.Interval{}, ErrNotHeld
	}
	first, err := d.Twist(from)
	if err != nil {
		return first, err
	}
	return d.sound(d.sum(known, d.sub(at, first)))
}

// rotation encloses the rotation at a place of the Spec.
func (c *Certain) rotation(x float64) (interval.Interval, error) { return c.Rotation(c.given(x)) }

// Stiffness encloses Shaft.Stiffness.
func (c *Certain) Stiffness() (interval.Interval, error) {
	c = c.copy()
	var f interval.Interval
	for i := range c.m {
		f = c.sum(f, c.m[i].compliance())
	}
	return c.sound(c.div(point(1), f))
}

// Reaction encloses Shaft.Reaction at x.
func (c *Certain) Reaction(x float64) (interval.Interval, error) {
	if _, err := c.shaft.Reaction(x); err != nil {
		return interval.Interval{}, err
	}
	for i, h := range c.shaft.holds {
		if d := x - h.X; d <= sameplace*c.shaft.length && d >= -sameplace*c.shaft.length {
			return c.react[i], nil
		}
	}
	return interval.Interval{}, errors.New("there is no hold")
}

// Energy encloses Shaft.Energy. ok is false where the torque varies along a
// stretch, whose energy is then known by the rule of fixed points alone.
func (c *Certain) Energy() (v interval.Interval, ok bool) {
	c = c.copy()
	for i := range c.m {
		if !c.t0Only(i) {
			return v, false
		}
		v = c.sum(v, c.product(c.sqr(c.torque[i][0]), c.m[i].compliance(), point(0.5)))
	}
	v, err := c.sound(v)
	return v, err == nil
}

// peakError is the relative error of the stress at a place: that of the torque,
// and of a closed form or a few operations.
const peakError = 1e-12

// StressMax encloses the greatest shear stress in the shaft: it is reached at a
// place that is known, and no other is above the bound found by branch and
// bound.
func (c *Certain) StressMax() interval.Interval {
	g := c.shaft.greatest.value
	off := peakError + float64(8*c.off) // a torque over the cube of a size, twice over
	return interval.Interval{Lo: g * (1 - off), Hi: max(g, c.shaft.peakAbove) * (1 + off)}
}
