package program

import (
	"math"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
)

// What enclosing a formula tightly may cost: evaluations of it or of a partial
// derivative, fewer where it holds a form or asks a shaft, and work in all.
const (
	mostTrials      = 400
	mostHeavyTrials = 60
	tightWork       = 2_000_000
)

// closeEnough is by how much of its width an end may miss the range.
const closeEnough = 1e-3

// tight encloses an expression: its natural interval extension, and where it
// depends on a bracket more than once, that intersected with bounds of the
// formula behind it (see formula):
//
//   - where a partial derivative has one sign over a box, a bound is taken at
//     that variable's end, for the lower and the upper bound by itself;
//   - for the other variables the mean value form on what is left of the box,
//     f(m) + Σ [∂f/∂v]·(v − m);
//   - the box whose bound is farthest out is halved, until that bound is close to
//     a value that is taken, or the trials are used up.
//
// Everything is rounded outward, and so the result holds every value.
//
// Source: R.E. Moore, R.B. Kearfott, M.J. Cloud, Introduction to Interval
// Analysis, SIAM 2009, chapters 5 and 6; E. Hansen, G.W. Walster, Global
// Optimization Using Interval Analysis, 2nd ed., 2004 (both from memory).
func (w *walker) tight(e notation.Expr) (interval.Interval, bool) {
	natural, ok := w.interval(e)
	if !ok || natural.IsPoint() || !w.holdsBracket(e) || w.sliced(e) {
		return natural, ok
	}
	f, ok := w.formulaKept(e)
	if !ok {
		return natural, w.limit == nil
	}
	run := NewRun(w.run.ctx, Limits{Work: tightWork, Terms: w.run.limits.Terms, Memory: w.run.limits.Memory})
	s := newSearch(f, run, w.scope)
	for _, sign := range []float64{1, -1} {
		natural = s.improve(natural, sign)
	}
	if err := w.run.charge(run.Work()); err != nil {
		return natural, w.failLimit(e, err)
	}
	return natural, true
}

// sliced reports whether an expression mentions a name that stands for a slice
// of a range.
func (w *walker) sliced(e notation.Expr) bool {
	return notation.HasFree(e, func(ident string) bool {
		l := w.local(ident)
		return l != nil && l.sliced
	})
}

// formulaKept is formulaOf for a walker that has failed nothing: what fails on
// the way is forgotten, unless it is a limit.
func (w *walker) formulaKept(e notation.Expr) (*formula, bool) {
	f, ok := w.formulaOf(e)
	if w.limit == nil {
		w.problem = nil
	}
	return f, ok && w.limit == nil
}

// A search looks for the least value of sign·f.
type search struct {
	f      *formula
	w      *walker
	sign   float64
	trials int
	failed bool
}

func newSearch(f *formula, run *Run, s Scope) *search {
	w := newWalker(run, s)
	w.quiet = true
	for _, v := range f.vars {
		w.bindBracket(v.name, v.b)
	}
	w.locals = append(w.locals, f.fixed...)
	return &search{f: f, w: w}
}

// heavy reports whether an evaluation is more than a few operations.
func (f *formula) heavy() bool {
	found := false
	notation.Inspect(f.expr, func(n notation.Node) bool {
		switch n.(type) {
		case *notation.Bind, *notation.Field:
			found = true
		}
		return !found
	})
	return found
}

// A box gives each variable its bracket. bound is below sign·f over it.
type box struct {
	at     []interval.Interval
	bound  float64
	widest int // the variable to halve, −1 for none
}

// improve raises the lower bound of sign·f, which lies in known.
func (s *search) improve(known interval.Interval, sign float64) interval.Interval {
	s.sign, s.failed, s.trials = sign, false, mostTrials/2
	if s.f.heavy() {
		s.trials = mostHeavyTrials / 2
	}
	signed := known
	if sign < 0 {
		signed = interval.Neg(known)
	}
	whole := box{at: make([]interval.Interval, len(s.f.vars))}
	for i, v := range s.f.vars {
		whole.at[i] = v.b
	}
	reached := signed.Hi // a value of the range is at most this
	s.settle(&whole, signed.Lo, &reached)
	open := []box{whole}
	for !s.failed && s.trials > 0 {
		i := lowest(open)
		b := open[i]
		if b.widest < 0 || reached-b.bound <= closeEnough*(signed.Hi-b.bound) {
			break
		}
		halves, ok := b.halve()
		if !ok {
			break
		}
		for k := range halves {
			s.settle(&halves[k], b.bound, &reached)
		}
		open[i] = halves[0]
		open = append(open, halves[1])
	}
	signed.Lo = min(max(signed.Lo, open[lowest(open)].bound), signed.Hi)
	if sign < 0 {
		return interval.Neg(signed)
	}
	return signed
}

func lowest(open []box) int {
	best := 0
	for i, b := range open {
		if b.bound < open[best].bound {
			best = i
		}
	}
	return best
}

// halve splits a box across its widest variable.
func (b box) halve() (halves [2]box, ok bool) {
	x := b.at[b.widest]
	m := x.Mid()
	if m <= x.Lo || m >= x.Hi {
		return halves, false
	}
	for k, part := range [...]interval.Interval{{Lo: x.Lo, Hi: m}, {Lo: m, Hi: x.Hi}} {
		halves[k].at = append([]interval.Interval{}, b.at...)
		halves[k].at[b.widest] = part
	}
	return halves, true
}

// evaluate encloses an expression over a box. What has no value there, or meets
// a limit, ends the search if fatal.
func (s *search) evaluate(e notation.Expr, at []interval.Interval, fatal bool) (interval.Interval, bool) {
	if s.failed || s.trials <= 0 {
		return interval.Interval{}, false
	}
	s.trials--
	for i := range at {
		s.w.locals[i].b = at[i]
	}
	b, ok := s.w.interval(e)
	if !ok {
		s.failed = fatal || s.w.limit != nil
		s.w.problem = nil
	}
	return b, ok
}

// value encloses sign·f over a box.
func (s *search) value(at []interval.Interval) (interval.Interval, bool) {
	b, ok := s.evaluate(s.f.expr, at, true)
	if s.sign < 0 {
		b = interval.Neg(b)
	}
	return b, ok
}

// settle bounds sign·f from below over a box, where bound is below it already,
// and lowers reached to a value that is taken.
func (s *search) settle(b *box, bound float64, reached *float64) {
	b.bound = bound
	b.widest = b.byWidth()
	natural, ok := s.value(b.at)
	if !ok {
		return
	}
	b.bound = max(b.bound, natural.Lo)
	slopes, ok := s.face(b.at)
	if ok {
		b.widest = b.bySlope(slopes)
	}
	mid := make([]interval.Interval, len(b.at))
	for i, x := range b.at {
		mid[i] = point(x.Mid())
	}
	at, known := s.value(mid)
	if !known {
		return
	}
	*reached = min(*reached, at.Hi)
	if ok {
		b.bound = max(b.bound, meanValue(at, slopes, b.at, mid))
	}
	if ok && b.widest >= 0 {
		if face, known := s.value(b.at); known {
			b.bound = max(b.bound, face.Lo)
		}
	}
}

// face moves a box onto the face on which sign·f is least, as far as the signs
// of its slopes decide, and returns the slopes there; ok is false where they are
// not known.
func (s *search) face(at []interval.Interval) (slopes []interval.Interval, ok bool) {
	if s.f.partials == nil {
		return nil, false
	}
	slopes = make([]interval.Interval, len(at))
	for moved := true; moved; {
		moved = false
		for i, d := range s.f.partials {
			if at[i].IsPoint() {
				continue
			}
			b, ok := s.evaluate(d, at, false)
			if !ok {
				return nil, false
			}
			if s.sign < 0 {
				b = interval.Neg(b)
			}
			slopes[i] = b
			switch {
			case b.Lo >= 0:
				at[i], moved = point(at[i].Lo), true
			case b.Hi <= 0:
				at[i], moved = point(at[i].Hi), true
			}
		}
	}
	return slopes, true
}

// meanValue is the lower end of f(m) + Σ slope·(x − m).
func meanValue(f interval.Interval, slopes, at, mid []interval.Interval) float64 {
	for i, x := range at {
		if x.IsPoint() {
			continue
		}
		d, err := interval.Sub(x, mid[i])
		if err != nil {
			return math.Inf(-1)
		}
		if d, err = interval.Mul(slopes[i], d); err != nil {
			return math.Inf(-1)
		}
		if f, err = interval.Add(f, d); err != nil {
			return math.Inf(-1)
		}
	}
	return f.Lo
}

// byWidth returns the variable that is widest for its size, −1 if all are points.
func (b box) byWidth() int {
	best, most := -1, 0.0
	for i, x := range b.at {
		if w := (x.Hi - x.Lo) / max(math.Abs(x.Lo), math.Abs(x.Hi)); w > most {
			best, most = i, w
		}
	}
	return best
}

// bySlope returns the variable that may move the value most.
func (b box) bySlope(slopes []interval.Interval) int {
	best, most := -1, 0.0
	for i, x := range b.at {
		if w := (x.Hi - x.Lo) * max(math.Abs(slopes[i].Lo), math.Abs(slopes[i].Hi)); w > most {
			best, most = i, w
		}
	}
	return best
}
