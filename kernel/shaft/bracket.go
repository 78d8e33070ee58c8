package shaft

import (
	"math"

	"shaftbook/kernel/interval"
)

// Bracket returns a bracket that certainly holds the twist of the far end
// relative to x = 0, rad, of slice theory: each of n segments a piece is taken
// once as stiff as its stiffest section and once as soft as its softest, and
// everything is rounded outward. Its width falls like 1/n. It holds the exact
// value for the decimals that the Spec's numbers were rounded from, too.
//
// Between two rigid holds nothing turns, so a shaft held rigidly at both ends
// has the bracket 0 at once.
//
// Failure: *SegmentsError, ErrYielded, ErrNoEnclosure for a profile without Enclose, or a
// *bracket.Error where a profile cannot be told from zero.
func (s *Shaft) Bracket(n int) (interval.Interval, error) {
	if err := s.segmentCount(n); err != nil {
		return interval.Interval{}, err
	}
	if s.Yields() {
		return interval.Interval{}, ErrYielded
	}
	return (&bracketed{shaft: s, n: n}).bracket()
}

// bracket returns the twist of the far end from the segments.
func (b *bracketed) bracket() (interval.Interval, error) {
	var err error
	if b.off, err = b.shaft.readError(); err != nil {
		return interval.Interval{}, err
	}
	b.place()
	b.load()
	if err := b.soften(); err != nil {
		return interval.Interval{}, err
	}
	theta := b.twist()
	return theta, b.err
}

// A bracketed is the statics of a shaft in brackets; the letters are those of
// statics.
type bracketed struct {
	outward
	shaft  *Shaft
	n      int
	slack  float64                         // how far a break may be from where it is meant, m
	spans  []int                           // of each stretch between breaks
	torque [][3]interval.Interval          // of each stretch: base torque t₀ + t₁s + t₂s²
	c, p   []interval.Interval             // of each hold
	w, e   []interval.Interval             // of each span
	f, a   []interval.Interval             // of each span
	holdAt map[float64]int                 // hold at a break
	points map[float64][]interval.Interval // point torques at each break

	// soft and stiff are the pieces at the ends of their tolerances; nil without.
	soft, stiff []piece
	loads       []Tolerance // of torques, which may have any value in them
}

// torqueOf returns the bracket of a point torque.
func (b *bracketed) torqueOf(i int) interval.Interval {
	for _, t := range b.loads {
		if t.Of == TorqueValue && t.Index == i {
			return interval.Interval{Lo: t.Low, Hi: t.High}
		}
	}
	s := b.shaft
	if k := i - (len(s.torques) - len(s.bounds)); k >= 0 {
		return b.keep(s.bounds[k]())
	}
	return b.given(s.torques[i].Value)
}

// spreadEnds returns the brackets of a distributed torque at its two ends, and
// whether they are one value.
func (b *bracketed) spreadEnds(i int) (start, end interval.Interval, even bool) {
	p := b.shaft.spreads[i]
	start, end, even = b.given(p.Start), b.given(p.End), p.Start == p.End
	for _, t := range b.loads {
		if t.Index != i {
			continue
		}
		v := interval.Interval{Lo: t.Low, Hi: t.High}
		switch t.Of {
		case SpreadEven:
			return v, v, true
		case SpreadStart:
			start, even = v, false
		case SpreadEnd:
			end, even = v, false
		}
	}
	return start, end, even
}

// place assigns the stretches to spans and gathers what acts at breaks.
func (b *bracketed) place() {
	s := b.shaft
	b.slack = float64(float64(len(s.pieces)+4)*0x1p-52*s.length) + float64((b.off-readError)*s.length)
	b.points, b.holdAt = map[float64][]interval.Interval{}, map[float64]int{}
	for i, t := range s.torques {
		b.points[t.X] = append(b.points[t.X], b.torqueOf(i))
	}
	for i, h := range s.holds {
		b.holdAt[h.X] = i
		c := interval.Interval{}
		if h.Elastic {
			c = b.div(point(1), b.given(h.Stiffness))
		}
		b.c = append(b.c, c)
		b.p = append(b.p, b.twistAt(h.X))
	}
	span := 0
	for _, x := range s.breaks[:len(s.breaks)-1] {
		if i, ok := b.holdAt[x]; ok {
			span = i + 1
		}
		b.spans = append(b.spans, span)
	}
	n := len(s.holds) + 1
	b.w, b.e = make([]interval.Interval, n), make([]interval.Interval, n)
	b.f, b.a = make([]interval.Interval, n), make([]interval.Interval, n)
	b.torque = make([][3]interval.Interval, len(b.spans))
}

// twistAt returns the point torques at a break.
func (b *bracketed) twistAt(x float64) interval.Interval {
	var sum interval.Interval
	for _, t := range b.points[x] {
		sum = b.sum(sum, t)
	}
	return sum
}

// load finds the base torques of the stretches.
func (b *bracketed) load() {
	breaks := b.shaft.breaks
	last := len(b.spans) - 1
	held := len(b.shaft.holds) > 0
	var torque interval.Interval
	for i := 0; i <= last && held && b.spans[i] == 0; i++ {
		torque = b.sub(torque, b.twistAt(breaks[i]))
		torque = b.stretch(i, torque)
	}
	b.e[0] = torque
	torque = interval.Interval{}
	for i := last; i >= 0 && (!held || b.spans[i] > 0); i-- {
		if _, ok := b.holdAt[breaks[i+1]]; ok {
			torque = interval.Interval{}
		} else {
			torque = b.sum(torque, b.twistAt(breaks[i+1]))
		}
		wa, wb := b.intensity(i)
		torque = b.sum(torque, b.half(b.product(b.width(i), b.sum(wa, wb))))
		b.stretch(i, torque)
		b.w[b.spans[i]] = torque
	}
	for span, by := range b.shaft.statics.by {
		b.w[span], b.e[span] = b.sub(b.w[span], point(by)), b.sub(b.e[span], point(by))
	}
	for i, span := range b.spans {
		b.torque[i][0] = b.sub(b.torque[i][0], point(b.shaft.statics.by[span]))
	}
}

func (b *bracketed) half(x interval.Interval) interval.Interval { return b.product(x, point(0.5)) }

// width returns the length of a stretch.
func (b *bracketed) width(i int) interval.Interval {
	breaks := b.shaft.breaks
	d := b.sub(widened(breaks[i+1], b.slack), widened(breaks[i], b.slack))
	return interval.Interval{Lo: max(d.Lo, 0), Hi: d.Hi}
}

// stretch sets the base torque of a stretch from that at its start, and returns
// that at its end.
func (b *bracketed) stretch(i int, start interval.Interval) interval.Interval {
	wa, wb := b.intensity(i)
	h := b.width(i)
	b.torque[i] = [3]interval.Interval{
		start,
		interval.Neg(b.product(h, wa)),
		interval.Neg(b.half(b.product(h, b.sub(wb, wa)))),
	}
	return b.sub(start, b.half(b.product(h, b.sum(wa, wb))))
}

// intensity returns the torque per length at the two ends of a stretch.
func (b *bracketed) intensity(i int) (wa, wb interval.Interval) {
	from, to := b.shaft.breaks[i], b.shaft.breaks[i+1]
	for k, p := range b.shaft.spreads {
		if p.From > from || p.To < to {
			continue
		}
		wa, wb = b.sum(wa, b.spread(k, from)), b.sum(wb, b.spread(k, to))
	}
	return wa, wb
}

// spread returns the torque per length of distributed torque i at x.
func (b *bracketed) spread(i int, x float64) interval.Interval {
	p := b.shaft.spreads[i]
	first, last, even := b.spreadEnds(i)
	if even {
		return first
	}
	gap := func(a, z float64) interval.Interval { return b.sub(widened(z, b.slack), widened(a, b.slack)) }
	sum := b.sum(b.product(first, gap(x, p.To)), b.product(last, gap(p.From, x)))
	return b.div(sum, gap(p.From, p.To))
}

// soften adds the segments to the f and α of their spans.
func (b *bracketed) soften() error {
	s := b.shaft
	i := 0
	for q := range s.pieces {
		p := &s.pieces[q]
		n := b.n
		if p.uniform() && (b.soft == nil || b.soft[q].uniform() && b.stiff[q].uniform()) {
			n = 1
		}
		for k := range n {
			soft, err := b.segment(q, k, n)
			if err != nil {
				return err
			}
			from, to := lerp(p.start, p.end, float64(k), float64(n)), lerp(p.start, p.end, float64(k+1), float64(n))
			for s.breaks[i] < to {
				b.part(i, max(from, s.breaks[i]), min(to, s.breaks[i+1]), soft)
				if s.breaks[i+1] > to {
					break
				}
				i++
			}
		}
	}
	return b.err
}

// segment returns the compliance of segment k of n of a piece.
func (b *bracketed) segment(piece, k, n int) (interval.Interval, error) {
	if b.soft == nil {
		return b.shaft.pieces[piece].segmentCompliance(b.off, k, n)
	}
	soft, err := b.soft[piece].segmentCompliance(b.off, k, n)
	if err != nil {
		return soft, err
	}
	stiff, err := b.stiff[piece].segmentCompliance(b.off, k, n)
	return interval.Hull(stiff, soft), err
}

// part adds the part [from, to] of stretch i. With c the compliance,
//
//	∫ T·c dx  lies in  c·∫T dx                             where T has one sign
//	          and in   mid c·∫T dx ± rad c·length·max|T|   in any case
func (b *bracketed) part(i int, from, to float64, soft interval.Interval) {
	whole := b.width(i)
	start := widened(b.shaft.breaks[i], b.slack)
	place := func(x float64) interval.Interval {
		switch x {
		case b.shaft.breaks[i]:
			return point(0)
		case b.shaft.breaks[i+1]:
			return point(1)
		}
		return b.div(b.sub(widened(x, b.slack), start), whole)
	}
	s0, s1 := place(from), place(to)
	step := b.sub(s1, s0)
	step.Lo = max(step.Lo, 0)
	length := b.product(step, whole)
	t := b.torque[i]
	mid := b.half(b.sum(s0, s1))
	mean := b.sum(t[0], b.product(mid, b.sum(t[1], b.product(mid, t[2]))),
		b.div(b.product(t[2], b.sqr(step)), point(12)))
	span := b.spans[i]
	b.f[span] = b.sum(b.f[span], b.product(length, soft))
	s := interval.Hull(s0, s1)
	swing := b.sum(t[0], b.product(s, b.sum(t[1], b.product(s, t[2]))))
	area := b.product(length, mean)
	if signed(swing) {
		b.a[span] = b.sum(b.a[span], b.product(soft, area))
		return
	}
	centre := soft.Mid()
	radius := math.Nextafter(max(soft.Hi-centre, centre-soft.Lo), math.Inf(1))
	spread := b.product(point(radius), length, point(magnitude(swing)))
	b.a[span] = b.sum(b.a[span], b.product(point(centre), area), interval.Interval{Lo: -spread.Hi, Hi: spread.Hi})
}

// twist solves the statics and returns the twist of the far end.
func (b *bracketed) twist() interval.Interval {
	n := len(b.c)
	if n == 0 {
		return b.a[0]
	}
	theta := b.sum(b.a[0], b.a[n])
	first, last := b.c[0], b.c[n-1]
	if n == 1 || first.Hi == 0 && last.Hi == 0 {
		return theta
	}
	r := b.reactions(b.inner())
	return b.sum(theta, b.sub(b.product(first, r[0]), b.product(last, r[n-1])))
}

// reactions returns those of the holds from the constant torques of the spans.
func (b *bracketed) reactions(s []interval.Interval) []interval.Interval {
	r := make([]interval.Interval, len(b.c))
	for i := range r {
		r[i] = b.sub(b.sub(b.sum(s[i], b.e[i]), b.sum(s[i+1], b.w[i+1])), b.p[i])
	}
	return r
}

// inner solves the tridiagonal system of statics.solveInner. Elimination
// without pivoting keeps its brackets sound for such a matrix, see G. Alefeld
// & J. Herzberger, Introduction to Interval Computations, ch. 15 (from memory).
func (b *bracketed) inner() []interval.Interval {
	n := len(b.c)
	diag, rhs, s := make([]interval.Interval, n), make([]interval.Interval, n), make([]interval.Interval, n+1)
	for i := 1; i < n; i++ {
		left, right := b.c[i-1], b.c[i]
		diag[i] = b.sum(b.f[i], left, right)
		before := b.sub(b.e[i-1], b.sum(b.w[i], b.p[i-1]))
		after := b.sub(b.e[i], b.sum(b.w[i+1], b.p[i]))
		rhs[i] = b.sub(b.sub(b.product(left, before), b.product(right, after)), b.a[i])
		if i == 1 {
			continue
		}
		ratio := b.div(left, diag[i-1])
		diag[i] = b.sub(diag[i], b.product(ratio, left))
		rhs[i] = b.sum(rhs[i], b.product(ratio, rhs[i-1]))
	}
	for i := n - 1; i >= 1; i-- {
		if i < n-1 {
			rhs[i] = b.sum(rhs[i], b.product(b.c[i], s[i+1]))
		}
		s[i] = b.div(rhs[i], diag[i])
	}
	return s
}
