package certify

import (
	"errors"
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/interval"
)

// The bounds of the search for panels.
const (
	// share is the truncation error that one panel may have, relative to what has
	// been found of the integral of |f| so far. It lies a little above the
	// rounding of one operation.
	share = 2e-15
	// acceptPoints is the most points that one panel is given before it is
	// bisected instead.
	acceptPoints = 26
	// endSplit is the part of an end panel that stays with a singular end.
	endSplit = 0.25
	// endMost is the largest distance from an end for which scaled values are
	// used.
	endMost = 0.4
)

// Integrate encloses the integral of f over its variable from a to b. The
// limits are known to lie in the given intervals; an infinite limit is an
// interval whose ends are both that infinity. Captured inputs of f, if it has
// any, are given by params.
//
// With b < a the sign is reversed, with a = b the value is 0.
//
// Failure: *DivergentError, proven, or the error of Stop. Anything else that
// goes wrong comes back as an Enclosure that is not Certain, with its Reason.
func Integrate(f *Function, params []interval.Interval, a, b interval.Interval, o Options) (Enclosure, error) {
	work := 0
	return integrate(f, params, a, b, o, &work)
}

func integrate(f *Function, params []interval.Interval, a, b interval.Interval, o Options, work *int) (Enclosure, error) {
	switch {
	case a == b && a.IsPoint():
		return Enclosure{Certain: true}, nil
	case a.Lo > b.Hi || a.Lo+a.Hi > b.Lo+b.Hi:
		if f.limits[0] >= 0 {
			g := *f
			g.limits[0], g.limits[1] = f.limits[1], f.limits[0]
			f = &g
		}
		e, err := integrate(f, params, b, a, o, work)
		if e.Certain {
			e.Value, e.Low, e.High = -e.Value, -e.High, -e.Low
		}
		return e, err
	}
	if f.unknown {
		return Enclosure{Reason: NoIntervalForm}, nil
	}
	q := quadrature{options: o, limit: o.work(), work: work, params: params}
	defer q.release()
	q.add(f)
	if !q.lay(f, a, b) {
		return Enclosure{Reason: NotSettled, Work: *work}, nil
	}
	err := q.run()
	if err == errUnbounded {
		return Enclosure{Reason: q.reason, Where: q.where, Evaluations: q.points, Work: *work}, nil
	}
	if err != nil {
		return Enclosure{Work: *work}, err
	}
	return q.result(), nil
}

// A sheet is one form of the integrand: in its own variable, in the distance
// from an end of the range, or in the reciprocal of the variable.
type sheet struct {
	frame *frame
	args  []interval.Interval
	place func(float64) float64 // the place in the reader's variable
}

// A panel is a part of the range of a sheet's variable.
type panel struct {
	lo, hi  float64
	bound   float64 // of |∫f|; +Inf if not known
	value   interval.Interval
	sheet   uint8
	ends    uint8 // bits: its lower, its upper end is an end of the range
	touches bool  // lo is 0, and the variable the distance from a singular end
	depth   int16
}

const (
	lowerEnd = 1 << iota
	upperEnd
)

// quadrature is the state of one integration.
type quadrature struct {
	options Options
	limit   int
	work    *int
	params  []interval.Interval
	sheets  []sheet
	heap    []panel
	total   interval.Sum
	size    float64 // ∫|f| over the panels done, roughly
	points  int
	looked  int
	reason  Reason
	where   float64
	failed  bool
	ends    [2]uint8 // the sheets made for the two ends, 0 if none
	needEnd [2]bool  // the function is not bounded past the end, where the limit may lie
	a, b    interval.Interval
	f       *Function
}

var errUnbounded = errors.New("certify: no enclosure")

func (q *quadrature) release() {
	for _, s := range q.sheets {
		s.frame.forced = nil
		s.frame.give()
	}
}

func (q *quadrature) add(f *Function) uint8 {
	fr := f.take()
	fr.work, fr.stop = q.work, q.options.Stop
	args := make([]interval.Interval, len(f.inputs))
	copy(args, q.params)
	q.sheets = append(q.sheets, sheet{frame: fr, args: args})
	return uint8(len(q.sheets) - 1)
}

// lay puts the range into panels.
func (q *quadrature) lay(f *Function, a, b interval.Interval) bool {
	q.f, q.a, q.b = f, a, b
	lower, upper := a.Hi, b.Lo
	if math.IsInf(a.Lo, -1) && a.IsPoint() {
		lower = -1.0
		if upper <= -1 {
			lower = float64(2*upper) - 1
		}
		q.tail(-1, -lower)
	}
	if math.IsInf(b.Hi, 1) && b.IsPoint() {
		upper = 1.0
		if lower >= 1 {
			upper = float64(2*lower) + 1
		}
		q.tail(1, upper)
	}
	if !(lower <= upper) || math.IsInf(lower, 0) || math.IsInf(upper, 0) {
		return false
	}
	// What lies between the bounds of a limit counts with any part of it.
	for _, sliver := range [...]interval.Interval{a, b} {
		if sliver.Lo < sliver.Hi {
			q.sliver(sliver)
		}
	}
	if lower < upper {
		q.push(panel{lo: lower, hi: upper, ends: lowerEnd | upperEnd})
	}
	return true
}

// sliver takes in the doubt about a limit that is known to lie in an interval.
// A function that is not defined past the limit is taken up to it by a panel at
// the end, in the distance from it.
func (q *quadrature) sliver(v interval.Interval) {
	s := &q.sheets[0]
	s.args[len(s.args)-1] = v
	f := s.frame.over(s.args)
	if !isSound(f) {
		q.needEnd[0] = q.needEnd[0] || v == q.a
		q.needEnd[1] = q.needEnd[1] || v == q.b
		return
	}
	part := times(f, interval.Interval{Lo: 0, Hi: widthUp(v)})
	q.total.Add(interval.Hull(part, interval.Interval{}))
}

func widthUp(v interval.Interval) float64 {
	return minus(point(v.Hi), point(v.Lo)).Hi
}

// tail adds the part from X to infinity, as an integral over 1/x from 0 to 1/X.
func (q *quadrature) tail(sign, from float64) {
	b := NewBuilder()
	var args []Expr
	for _, p := range q.params {
		args = append(args, b.Const(p))
	}
	δ := b.Variable()
	x := b.Div(b.Number(sign), δ)
	y := b.Inline(q.f, append(args, x)...)
	g, _ := b.Function(δ, b.Mul(y, b.PowInt(δ, -2)))
	id := q.addWithoutParams(g)
	q.sheets[id].place = func(d float64) float64 { return sign / d }
	r := evaluate(opDiv, 0, one, point(from), one)
	q.push(panel{lo: 0, hi: r.Lo, sheet: id, touches: true})
	if r.Lo < r.Hi { // what the rounding of 1/X leaves
		s := &q.sheets[id]
		s.args[0] = r
		if v := s.frame.over(s.args); isSound(v) {
			q.total.Add(interval.Hull(times(v, interval.Interval{Lo: 0, Hi: widthUp(r)}), interval.Interval{}))
		} else {
			q.failed = true
		}
	}
}

func (q *quadrature) addWithoutParams(g *Function) uint8 {
	fr := g.take()
	fr.work, fr.stop = q.work, q.options.Stop
	q.sheets = append(q.sheets, sheet{frame: fr, args: make([]interval.Interval, 1)})
	return uint8(len(q.sheets) - 1)
}

// useEnd makes the sheet in the distance from an end, if there is none, and
// returns it. which is 0 for the lower end.
func (q *quadrature) useEnd(which int) uint8 {
	if q.ends[which] != 0 {
		return q.ends[which]
	}
	b := NewBuilder()
	var args []Expr
	for _, p := range q.params {
		args = append(args, b.Const(p))
	}
	δ := b.Variable()
	limit, at := q.f.limits[which], q.a
	if which == 1 {
		at = q.b
	}
	var x Expr
	end := b.Const(at)
	if limit >= 0 {
		// The function names its limit: take that value, so that it cancels.
		moved := map[int32]Expr{}
		for i, id := range q.f.inputs[:len(q.f.inputs)-1] {
			if id >= 0 {
				moved[id] = args[i]
			}
		}
		if c := q.f.code[limit]; c.op == opConst {
			moved[limit] = end
		} else if m, ok := moved[limit]; ok {
			end = m
		}
		x = q.distance(b, end, δ, which)
		y := b.inlineWith(q.f, moved, append(args, x))
		g, _ := b.Function(δ, y)
		q.ends[which] = q.addWithoutParams(g)
	} else {
		x = q.distance(b, end, δ, which)
		y := b.Inline(q.f, append(args, x)...)
		g, _ := b.Function(δ, y)
		q.ends[which] = q.addWithoutParams(g)
	}
	q.sheets[q.ends[which]].place = func(d float64) float64 {
		if which == 0 {
			return q.a.Hi + d
		}
		return q.b.Lo - d
	}
	return q.ends[which]
}

func (q *quadrature) distance(b *Builder, end, δ Expr, which int) Expr {
	if which == 0 {
		return b.Add(end, δ)
	}
	return b.Sub(end, δ)
}

// push measures a panel and puts it into the heap.
func (q *quadrature) push(p panel) {
	s := &q.sheets[p.sheet]
	s.frame.forced = nil
	s.args[len(s.args)-1] = interval.Interval{Lo: p.lo, Hi: p.hi}
	p.value = s.frame.over(s.args)
	p.bound = math.Inf(1)
	if isSound(p.value) {
		p.bound = max(-p.value.Lo, p.value.Hi) * (p.hi - p.lo)
	}
	q.heap = append(q.heap, p)
	for i := len(q.heap) - 1; i > 0; {
		up := (i - 1) / 2
		if !first(&q.heap[i], &q.heap[up]) {
			break
		}
		q.heap[i], q.heap[up] = q.heap[up], q.heap[i]
		i = up
	}
}

// first orders panels: the largest bound first, what has none last.
func first(p, r *panel) bool {
	switch {
	case math.IsInf(p.bound, 1):
		return math.IsInf(r.bound, 1) && p.hi-p.lo > r.hi-r.lo
	case math.IsInf(r.bound, 1):
		return true
	}
	return p.bound > r.bound
}

func (q *quadrature) pop() panel {
	top := q.heap[0]
	last := len(q.heap) - 1
	q.heap[0] = q.heap[last]
	q.heap = q.heap[:last]
	for i := 0; ; {
		c := 2*i + 1
		if c >= last {
			break
		}
		if c+1 < last && first(&q.heap[c+1], &q.heap[c]) {
			c++
		}
		if !first(&q.heap[c], &q.heap[i]) {
			break
		}
		q.heap[i], q.heap[c] = q.heap[c], q.heap[i]
		i = c
	}
	return top
}

func (q *quadrature) run() error {
	if q.failed {
		q.reason = NotBounded
		return errUnbounded
	}
	for len(q.heap) > 0 {
		if q.options.Stop != nil && *q.work-q.looked > stopEvery {
			q.looked = *q.work
			if err := q.options.Stop(); err != nil {
				return err
			}
		}
		p := q.pop()
		if *q.work > q.limit {
			if err := q.takeRough(p, BudgetSpent); err != nil {
				return err
			}
			continue
		}
		if err := q.settle(p); err != nil {
			return err
		}
	}
	return nil
}

// takeRough takes a panel by the range of the function on it.
func (q *quadrature) takeRough(p panel, why Reason) error {
	if q.reason == NoReason || !isSound(p.value) {
		q.reason, q.where = why, q.placeOf(p)
	}
	if !isSound(p.value) {
		return errUnbounded
	}
	q.accept(p.value, p)
	return nil
}

func (q *quadrature) placeOf(p panel) float64 {
	x := float64(p.lo/2) + float64(p.hi/2)
	if p.touches {
		x = p.lo
	}
	if place := q.sheets[p.sheet].place; place != nil {
		return place(x)
	}
	return x
}

// accept adds the width of a panel times a mean value of the function.
func (q *quadrature) accept(mean interval.Interval, p panel) {
	part := times(mean, minus(point(p.hi), point(p.lo)))
	if !isSound(part) {
		q.failed, q.reason, q.where = true, NotBounded, q.placeOf(p)
		return
	}
	q.total.Add(part)
	q.size += max(-part.Lo, part.Hi)
}

// settle takes a panel if it can be taken within the error that is allowed, and
// bisects it otherwise.
func (q *quadrature) settle(p panel) error {
	if p.sheet == 0 && (p.ends&lowerEnd != 0 && q.needEnd[0] || p.ends&upperEnd != 0 && q.needEnd[1]) {
		if p.ends == lowerEnd|upperEnd {
			m := float64(p.lo/2) + float64(p.hi/2)
			q.part(p, m, m)
			return nil
		}
		if !q.toEnd(p) {
			q.reason, q.where = NotBounded, q.placeOf(p)
			return errUnbounded
		}
		return nil
	}
	width := p.hi - p.lo
	allowed := share * q.size
	if isSound(p.value) && (p.value.Hi-p.value.Lo)*width <= allowed {
		q.accept(p.value, p)
		return nil
	}
	s := &q.sheets[p.sheet]
	fr := s.frame
	s.args[len(s.args)-1] = interval.Interval{Lo: p.lo, Hi: p.hi}
	fr.forced = nil
	fr.over(s.args) // the heap does not keep the decisions
	if p.touches {
		if done, err := q.settleEnd(p, allowed); done || err != nil {
			return err
		}
	}
	if (!p.touches || isSound(p.value)) && q.gauss(p, allowed) {
		return nil
	}
	if !isSound(p.value) && q.hopeless(p) {
		return q.takeRough(p, NotBounded)
	}
	return q.split(p)
}

// hopeless reports whether a function has no value at any of three points
// inside a panel, so that it is no use to look closer.
func (q *quadrature) hopeless(p panel) bool {
	s := &q.sheets[p.sheet]
	for _, t := range [...]float64{0.3819, 0.5437, 0.7182} {
		s.args[len(s.args)-1] = point(p.lo + float64(t*(p.hi-p.lo)))
		if isSound(s.frame.over(s.args)) {
			return false
		}
	}
	return true
}

// settleEnd takes a panel that touches a singular end, if it is near enough.
func (q *quadrature) settleEnd(p panel, allowed float64) (done bool, err error) {
	if p.hi > endMost {
		return false, nil
	}
	s := &q.sheets[p.sheet]
	v := s.frame.nearEnd(p.hi)
	if v.diverges() {
		where := 0.0
		if s.place != nil {
			where = s.place(0)
		}
		exponent := v.p.Mid()
		if math.IsInf(where, 0) { // f(1/δ)/δ² goes like δ^p
			exponent = -exponent - 2
		}
		return false, &DivergentError{Where: where, Exponent: exponent}
	}
	part, ok := endReach{p.hi}.integral(v)
	if !ok {
		return false, nil
	}
	if part.Hi-part.Lo <= max(allowed, 1e-13*max(-part.Lo, part.Hi)) {
		q.total.Add(part)
		q.size += max(-part.Lo, part.Hi)
		return true, nil
	}
	return false, nil
}

const ulp = 0x1p-52

// gauss takes a panel by a Gauss–Legendre rule, if the function is bounded on an
// ellipse around it that is large enough for few points.
func (q *quadrature) gauss(p panel, allowed float64) bool {
	n, truncation, ok := q.choose(p, allowed)
	if !ok {
		return false
	}
	s := &q.sheets[p.sheet]
	lo, hi := point(p.lo), point(p.hi)
	middle := times(plus(lo, hi), point(0.5))
	half := times(minus(hi, lo), point(0.5))
	var sum interval.Sum
	var size float64
	for _, node := range legendreTable[n-2] {
		step := times(half, nodeOf(node[0]))
		w := nodeOf(node[1])
		s.args[len(s.args)-1] = plus(middle, step)
		f := s.frame.over(s.args)
		if node[0] != 0 {
			s.args[len(s.args)-1] = minus(middle, step)
			g := s.frame.over(s.args)
			q.points++
			size += float64(max(-g.Lo, g.Hi) * w.Hi)
			size += float64(max(-f.Lo, f.Hi) * w.Hi)
			f = plus(f, g)
		} else {
			size += float64(max(-f.Lo, f.Hi) * w.Hi)
		}
		q.points++
		f = times(w, f)
		if !isSound(f) {
			return false
		}
		sum.Add(f)
	}
	v := times(sound(sum.Value()), half)
	if !isSound(v) {
		return false
	}
	v = plus(v, interval.Interval{Lo: -truncation, Hi: truncation})
	q.total.Add(v)
	q.size += float64(size * half.Hi)
	return true
}

// ellipse sizes that are tried, from the one that the disc around the ellipse
// makes likeliest to succeed.
var ellipses = [...]float64{2.2, 3, 4, 5.5, 8, 12, 20, 36, 70}

// choose returns the number of points with which the truncation error stays
// within what is allowed, and a bound of that error.
//
// If f is analytic with |f − c| ≤ M for some constant c inside the ellipse with
// foci −1 and 1 whose semiaxes add up to ρ, then the rule of n ≥ 2 points
// misses ∫f over [−1, 1] by at most
//
//	(64/15)·M·ρ^(−2n)/(1 − ρ^(−2)).
//
// The Chebyshev coefficients of f − c obey |a_k| ≤ 2M·ρ^(−k); the rule is exact
// below degree 2n and, by symmetry, for odd k; and for even k ≥ 4 the integral
// 2/(1 − k²) of T_k and its sum by the rule, at most 2, differ by at most 32/15.
//
// Source: L.N. Trefethen, Approximation Theory and Approximation Practice, SIAM
// 2013, theorem 19.3 (from memory; the proof is the one above).
func (q *quadrature) choose(p panel, allowed float64) (n int, truncation float64, ok bool) {
	fr := q.sheets[p.sheet].frame
	width := p.hi - p.lo
	middle, half := float64(p.lo/2)+float64(p.hi/2), width/2*(1+4*ulp)
	best := mostPoints + 1
	try := func(ρ float64) bool {
		r := float64(half * (ρ + 1/ρ) / 2 * (1 + 4*ulp))
		d := fr.within(makeDisc(middle, 0, r, max(math.Abs(middle)-r, 0)))
		if !d.ok() {
			return false
		}
		scale := modulus(d.x, d.y) * width
		if isSound(p.value) {
			scale = max(scale, p.bound/16)
		}
		enough := max(allowed, share*scale)
		if q.size > 0 {
			enough = share * max(q.size, min(scale, p.bound))
		}
		c := 64.0 / 15 / (1 - 1/(ρ*ρ)) * d.r * half * (1 + 1e-12)
		m := pointsFor(c, ρ, enough)
		if m >= best {
			return false
		}
		best = m
		truncation = c * elementary.Exp(-2*float64(m)*elementary.Ln(ρ)) * (1 + 1e-12)
		return true
	}
	if !try(ellipses[1]) {
		try(ellipses[0])
		return best, truncation, best <= acceptPoints
	}
	for _, ρ := range ellipses[2:] {
		if best <= 3 || !try(ρ) {
			break
		}
	}
	return best, truncation, best <= acceptPoints
}

// pointsFor returns the least n ≥ 2 with c·ρ^(−2n) ≤ allowed.
func pointsFor(c, ρ, allowed float64) int {
	if c <= allowed {
		return 2
	}
	if !(allowed > 0) {
		return mostPoints + 1
	}
	n := math.Ceil(elementary.Ln(c/allowed) / (2 * elementary.Ln(ρ)))
	if !(n <= mostPoints) {
		return mostPoints + 1
	}
	return max(2, int(n))
}

// split divides a panel at a place where a branch of the function changes, if
// one can be found, else near the middle.
func (q *quadrature) split(p panel) error {
	if p.hi-p.lo <= 4*max(spacing(p.lo), spacing(p.hi)) || p.depth > 1100 {
		if isSound(p.value) { // the doubt about a break, next to nothing as a rule
			q.accept(p.value, p)
			return nil
		}
		return q.takeRough(p, NotBounded)
	}
	// An end that gives trouble is looked at in the distance from it.
	if p.sheet == 0 && p.ends != 0 && !p.touches && (!isSound(p.value) || p.lo == 0 && p.depth > 2 || p.depth > 8) {
		if done := q.toEnd(p); done {
			return nil
		}
	}
	at := float64(p.lo/2) + float64(p.hi/2)
	if p.touches {
		at = p.lo + float64((p.hi-p.lo)*endSplit)
		if p.lo == 0 && p.hi < 1e-290 {
			return q.takeRough(p, NotBounded)
		}
	} else if lo, hi, ok := q.breakIn(p); ok && (lo > p.lo || hi < p.hi) {
		q.part(p, lo, hi)
		return nil
	}
	q.part(p, at, at)
	return nil
}

// toEnd moves a panel at an end of the range to the sheet in the distance from
// that end. A panel at both ends is bisected first.
func (q *quadrature) toEnd(p panel) bool {
	which := 0
	switch p.ends {
	case lowerEnd:
	case upperEnd:
		which = 1
	default:
		return false
	}
	end := q.a
	if which == 1 {
		end = q.b
	}
	if math.IsInf(end.Lo, 0) {
		return false
	}
	if which == 0 && end == (interval.Interval{}) {
		// the variable is the distance
		q.ends[0] = 0
		p.touches = true
		p.ends = 0
		q.push(p)
		return true
	}
	id := q.useEnd(which)
	var length interval.Interval
	if which == 0 {
		length = minus(point(p.hi), end)
	} else {
		length = minus(end, point(p.lo))
	}
	if !(length.Lo > 0) {
		return false
	}
	if length.Hi > length.Lo { // what the doubt about the end leaves at the far side
		s := &q.sheets[id]
		s.args[0] = length
		v := s.frame.over(s.args)
		if !isSound(v) {
			return false
		}
		q.total.Add(interval.Hull(times(v, interval.Interval{Lo: 0, Hi: widthUp(length)}), interval.Interval{}))
	}
	q.push(panel{lo: 0, hi: length.Lo, sheet: id, touches: true, depth: p.depth})
	return true
}

// part pushes the parts of a panel below lo, from lo to hi, and above hi.
func (q *quadrature) part(p panel, lo, hi float64) {
	for _, r := range [...][2]float64{{p.lo, lo}, {lo, hi}, {hi, p.hi}} {
		if r[0] >= r[1] {
			continue
		}
		c := panel{lo: r[0], hi: r[1], sheet: p.sheet, depth: p.depth + 1}
		if r[0] == p.lo {
			c.ends |= p.ends & lowerEnd
			c.touches = p.touches
		}
		if r[1] == p.hi {
			c.ends |= p.ends & upperEnd
		}
		q.push(c)
	}
}

func spacing(x float64) float64 {
	x = math.Abs(x)
	return math.Nextafter(x, math.Inf(1)) - x
}

// result returns the enclosure, if the panels left one.
func (q *quadrature) result() Enclosure {
	e := Enclosure{Evaluations: q.points, Work: *q.work, Reason: q.reason, Where: q.where}
	v, err := q.total.Value()
	if err != nil || q.failed {
		if e.Reason == NoReason {
			e.Reason = NotBounded
		}
		return e
	}
	e.Value, e.Low, e.High, e.Certain = v.Mid(), v.Lo, v.Hi, true
	if e.Reason == NoReason && e.High-e.Low > 1e-9*q.size {
		e.Reason = NotSettled
	}
	return e
}
