package certify

import (
	"errors"
	"math"

	"shaftbook/kernel/interval"
)

// A searcher evaluates a function for the searches for roots and extremes.
type searcher struct {
	frame   *frame
	args    []interval.Interval
	options Options
	work    int
	looked  int
	points  int
}

func newSearcher(f *Function, params []interval.Interval, o Options) *searcher {
	s := &searcher{frame: f.take(), args: make([]interval.Interval, len(f.inputs)), options: o}
	s.frame.work, s.frame.stop = &s.work, o.Stop
	copy(s.args, params)
	return s
}

// stop reports whether the work is spent, or the error of Stop.
func (s *searcher) stop() (spent bool, err error) {
	if s.options.Stop != nil && s.work-s.looked > stopEvery {
		s.looked = s.work
		if err := s.options.Stop(); err != nil {
			return false, err
		}
	}
	return s.work > s.options.work(), nil
}

func (s *searcher) at(x float64) interval.Interval {
	s.points++
	s.args[len(s.args)-1] = point(x)
	return s.frame.over(s.args)
}

// look returns enclosures of the function and of its slope over x: the range
// found directly, narrowed by the mean value form, and by the ends where the
// function is monotone. middle is the value at the middle of x.
func (s *searcher) look(x interval.Interval) (v, slope, middle interval.Interval) {
	s.args[len(s.args)-1] = x
	v = s.frame.over(s.args)
	if !isSound(v) {
		return v, unsound, unsound
	}
	slope = s.frame.slopes()
	m := x.Mid()
	middle = s.at(m)
	if !isSound(slope) || !isSound(middle) {
		return v, slope, middle
	}
	if slope.Lo >= 0 || slope.Hi <= 0 {
		if ends := interval.Hull(s.at(x.Lo), s.at(x.Hi)); isSound(ends) {
			if c, ok := interval.Intersect(v, ends); ok {
				v = c
			}
		}
		return v, slope, middle
	}
	mean := plus(middle, times(slope, minus(x, point(m))))
	if isSound(mean) {
		if c, ok := interval.Intersect(v, mean); ok {
			v = c
		}
	}
	return v, slope, middle
}

// ErrNoRoot says that the function is proven to have no root in the range.
var ErrNoRoot = errors.New("the function has no root in the range")

// FindRoot encloses the root of f between a and b that is first when walking
// from a to b. The result is Certain if f is proven to have a root within the
// enclosure, and none between a and it. A function that touches zero without
// crossing it, or that jumps or is not defined on the way, leaves that open.
//
// Failure: ErrNoRoot, proven, or the error of Stop.
func FindRoot(f *Function, params []interval.Interval, a, b float64, o Options) (Enclosure, error) {
	if f.unknown {
		return Enclosure{Reason: NoIntervalForm}, nil
	}
	s := newSearcher(f, params, o)
	defer s.frame.give()
	e, err := s.root(a, b)
	e.Evaluations, e.Work = s.points, s.work
	return e, err
}

func (s *searcher) root(a, b float64) (Enclosure, error) {
	open := []interval.Interval{{Lo: min(a, b), Hi: max(a, b)}}
	doubt := Enclosure{}
	doubtful := 0
	for len(open) > 0 {
		x := open[len(open)-1]
		open = open[:len(open)-1]
		spent, err := s.stop()
		if err != nil {
			return Enclosure{}, err
		}
		if spent || doubtful > 40 {
			if doubt.Reason == NoReason {
				doubt = Enclosure{Reason: BudgetSpent, Where: x.Mid()}
			}
			return doubt, nil
		}
		v, slope, middle := s.look(x)
		if isSound(v) && (v.Lo > 0 || v.Hi < 0) {
			continue
		}
		if isSound(slope) && (slope.Lo > 0 || slope.Hi < 0) {
			found, certain, none := s.single(x)
			if none {
				continue
			}
			if certain {
				if doubtful > 0 {
					return doubt, nil
				}
				return Enclosure{Value: found.Mid(), Low: found.Lo, High: found.Hi, Certain: true}, nil
			}
		}
		if x.Hi-x.Lo <= 4*max(spacing(x.Lo), spacing(x.Hi)) {
			doubtful++
			if doubt.Reason == NoReason {
				doubt = Enclosure{Reason: TouchesZero, Where: x.Mid()}
				if !isSound(v) {
					doubt.Reason = NotBounded
				}
			}
			continue
		}
		m := x.Mid()
		if isSound(middle) && middle.Lo <= 0 && middle.Hi >= 0 {
			m = x.Lo + float64((x.Hi-x.Lo)*0.4375) // a root is better not at an end of both halves
		}
		lower, upper := interval.Interval{Lo: x.Lo, Hi: m}, interval.Interval{Lo: m, Hi: x.Hi}
		if a <= b {
			open = append(open, upper, lower)
		} else {
			open = append(open, lower, upper)
		}
	}
	if doubtful > 0 {
		return doubt, nil
	}
	return Enclosure{}, ErrNoRoot
}

// single narrows the root of a function that is monotone over x by the interval
// Newton method. none reports that the signs at the ends are equal, certain that
// they are opposite; neither, that an end is too close to the root to tell.
func (s *searcher) single(x interval.Interval) (root interval.Interval, certain, none bool) {
	lo, hi := s.at(x.Lo), s.at(x.Hi)
	if !isSound(lo) || !isSound(hi) {
		return x, false, false
	}
	switch {
	case lo.IsPoint() && lo.Lo == 0:
		return point(x.Lo), true, false
	case hi.IsPoint() && hi.Lo == 0:
		return point(x.Hi), true, false
	case lo.Lo > 0 && hi.Lo > 0, lo.Hi < 0 && hi.Hi < 0:
		return x, false, true
	case !(lo.Lo > 0 && hi.Hi < 0 || lo.Hi < 0 && hi.Lo > 0):
		return x, false, false
	}
	for range 100 {
		if x.Hi-x.Lo <= 2*max(spacing(x.Lo), spacing(x.Hi)) {
			break
		}
		m := x.Mid()
		f := s.at(m)
		s.args[len(s.args)-1] = x
		s.frame.over(s.args)
		d := s.frame.slopes()
		next, ok := interval.Intersect(x, minus(point(m), over(f, d)))
		if !ok || !isSound(f) {
			break
		}
		if next.Hi-next.Lo > 0.6*(x.Hi-x.Lo) {
			// bisect by the sign at the middle, if it is known
			switch {
			case f.Lo > 0 && hi.Lo > 0 || f.Hi < 0 && hi.Hi < 0:
				next = interval.Interval{Lo: x.Lo, Hi: m}
			case f.Lo > 0 || f.Hi < 0:
				next = interval.Interval{Lo: m, Hi: x.Hi}
			}
			if next.Hi-next.Lo > 0.6*(x.Hi-x.Lo) {
				return next, true, false
			}
		}
		x = next
	}
	return x, true, false
}

// An Extreme is an enclosure of a largest or smallest value, with the part of
// the range where it can be reached.
type Extreme struct {
	Enclosure
	XLow, XHigh float64 // the extreme lies between them, if Certain
	X           float64 // a place where the value comes within the enclosure
}

// FindExtreme encloses the largest (or smallest) value of f between a and b, by
// branch and bound. Where the function jumps it is the value that it comes
// arbitrarily close to.
//
// Failure: the error of Stop.
func FindExtreme(f *Function, params []interval.Interval, a, b float64, largest bool, o Options) (Extreme, error) {
	if f.unknown {
		return Extreme{Enclosure: Enclosure{Reason: NoIntervalForm}}, nil
	}
	s := newSearcher(f, params, o)
	defer s.frame.give()
	e, err := s.extreme(min(a, b), max(a, b), largest)
	e.Evaluations, e.Work = s.points, s.work
	return e, err
}

// A box is a part of the range with an upper bound of the (signed) function.
type box struct {
	x     interval.Interval
	bound float64
}

func (s *searcher) extreme(a, b float64, largest bool) (Extreme, error) {
	signed := func(v interval.Interval) interval.Interval {
		if largest || !isSound(v) {
			return v
		}
		return interval.Neg(v)
	}
	var boxes boxHeap
	reached, where := math.Inf(-1), a
	var sure interval.Interval // the value at where
	type seen struct{ x, top float64 }
	var dropped []seen // ends of monotone pieces, with a bound of the value there
	see := func(x float64) bool {
		v := signed(s.at(x))
		if !isSound(v) {
			return false
		}
		if v.Hi > reached {
			dropped = append(dropped, seen{x, v.Hi})
		}
		if v.Lo > reached {
			reached, where, sure = v.Lo, x, v
		}
		return true
	}
	if !see(a) || !see(b) {
		return Extreme{Enclosure: Enclosure{Reason: NotBounded, Where: a}}, nil
	}
	add := func(x interval.Interval) bool {
		v, slope, middle := s.look(x)
		v, slope, middle = signed(v), signed(slope), signed(middle)
		bound := math.Inf(1)
		if isSound(v) {
			bound = v.Hi
		}
		if isSound(middle) && middle.Lo > reached {
			reached, where, sure = middle.Lo, x.Mid(), middle
		}
		if isSound(slope) && slope.Lo >= 0 {
			if !see(x.Hi) {
				return false
			}
			if x.Hi < b { // the next box has that end too
				return true
			}
		} else if isSound(slope) && slope.Hi <= 0 {
			if !see(x.Lo) {
				return false
			}
			if x.Lo > a {
				return true
			}
		}
		if bound > reached {
			boxes.push(box{x, bound})
		}
		return true
	}
	if a < b && !add(interval.Interval{Lo: a, Hi: b}) {
		return Extreme{Enclosure: Enclosure{Reason: NotBounded, Where: a}}, nil
	}
	result := Extreme{}
	for len(boxes) > 0 {
		top := boxes[0]
		gap := top.bound - reached
		if !math.IsInf(top.bound, 1) && (top.bound <= reached || gap <= 2*ulp*math.Abs(top.bound) || gap <= sure.Hi-sure.Lo) {
			break
		}
		spent, err := s.stop()
		if err != nil {
			return Extreme{}, err
		}
		m := top.x.Mid()
		if math.IsInf(top.bound, 1) && top.x.Hi-top.x.Lo <= 1e-12*(b-a) {
			return Extreme{Enclosure: Enclosure{Reason: NotBounded, Where: m}}, nil
		}
		if spent || m <= top.x.Lo || m >= top.x.Hi {
			if math.IsInf(top.bound, 1) {
				return Extreme{Enclosure: Enclosure{Reason: NotBounded, Where: m}}, nil
			}
			result.Where = m
			result.Reason = NotSettled
			if spent {
				result.Reason = BudgetSpent
			}
			break
		}
		boxes.pop()
		// The pieces share their ends, so that dropping a monotone piece in favour
		// of its neighbour loses nothing.
		if !add(interval.Interval{Lo: top.x.Lo, Hi: m}) || !add(interval.Interval{Lo: m, Hi: top.x.Hi}) {
			return Extreme{Enclosure: Enclosure{Reason: NotBounded, Where: m}}, nil
		}
	}
	v := interval.Interval{Lo: reached, Hi: max(reached, sure.Hi)}
	result.XLow, result.XHigh, result.X = where, where, where
	for _, x := range boxes {
		v.Hi = max(v.Hi, x.bound)
		if x.bound >= reached {
			result.XLow, result.XHigh = min(result.XLow, x.x.Lo), max(result.XHigh, x.x.Hi)
		}
	}
	for _, d := range dropped {
		v.Hi = max(v.Hi, d.top)
		if d.top >= reached {
			result.XLow, result.XHigh = min(result.XLow, d.x), max(result.XHigh, d.x)
		}
	}
	if !largest {
		v = interval.Neg(v)
	}
	// A sum with 0 turns −0 into 0.
	result.Value, result.Low, result.High, result.Certain = v.Mid()+0, v.Lo+0, v.Hi+0, true
	return result, nil
}

// boxHeap has the box with the largest bound first.
type boxHeap []box

func (h *boxHeap) push(b box) {
	*h = append(*h, b)
	s := *h
	for i := len(s) - 1; i > 0; {
		up := (i - 1) / 2
		if s[i].bound <= s[up].bound {
			break
		}
		s[i], s[up] = s[up], s[i]
		i = up
	}
}

func (h *boxHeap) pop() {
	s := *h
	last := len(s) - 1
	s[0] = s[last]
	s = s[:last]
	for i := 0; ; {
		c := 2*i + 1
		if c >= last {
			break
		}
		if c+1 < last && s[c+1].bound > s[c].bound {
			c++
		}
		if s[c].bound <= s[i].bound {
			break
		}
		s[c], s[i] = s[i], s[c]
		i = c
	}
	*h = s
}
