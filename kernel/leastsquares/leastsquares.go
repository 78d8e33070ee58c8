// Package leastsquares finds the straight line through readings, with how uncertain
// its slope and its intercept are.
//
// Sums, the line and the sum of the squared residuals are worked out in fractions, and
// so exactly: a large offset of the readings loses no digits beyond those that it cost
// when they became float64, and a line that meets all of these is known to do so. Each result is rounded to a float64 once, a standard
// error twice.
//
// A standard error is no bound. It says how far results of this kind scatter if the
// errors of y are independent of one another and of one size, and x is exact.
package leastsquares

import (
	"errors"
	"fmt"
	"math"
	"math/big"
)

// What is wrong with readings. Test with errors.Is.
var (
	// ErrSameX: all x are the same, or, for a line through the origin, all are 0.
	ErrSameX = errors.New("no line is determined by readings at one place")
	// ErrRange: a result is too large for a float64.
	ErrRange = errors.New("a result is too large for a number")
)

// A FewError reports that there are fewer readings than are needed.
type FewError struct{ Have, Need int }

func (e *FewError) Error() string {
	return fmt.Sprintf("there are %d readings, and %d are needed", e.Have, e.Need)
}

// A Line is the straight line y = Intercept + Slope·x with the least sum of squared
// residuals, in the units of the readings. See Through.
type Line struct {
	Slope, Intercept           float64
	SlopeError, InterceptError float64 // standard errors; the second is 0 of a line through the origin
	Scatter                    float64 // √(Σr²/Freedom), the standard deviation of the residuals r
	Freedom                    int     // degrees of freedom: readings used less what was fitted to them

	// Residuals are y less the line, of every reading, also of those left out.
	Residuals []float64
	// Studentised are the residuals from the line through the other readings that are
	// used, each divided by its standard error; so a bad reading cannot hide by pulling
	// the line and the scatter towards itself. NaN where the others leave no scatter
	// to compare with, see Apart.
	Studentised []float64
	// Apart reports which readings lie off a line that the others meet exactly.
	Apart []bool
	// Limit is what Studentised passes in size, in one set of readings of 20, by chance
	// alone if the errors are normally distributed; 0 where nothing can be said.
	Limit float64
}

// Through returns the line of least squares through the readings (xs[i], ys[i]) that are
// not left out, through the origin if asked. There must be at least one more reading
// than the line has numbers: 3, or 2 through the origin.
//
// With Sxx = Σ(x − x̄)² and s² = Σr²/(n − 2) the slope is Σ(x − x̄)(y − ȳ)/Sxx, its
// standard error s/√Sxx and that of the intercept s·√(1/n + x̄²/Sxx); through the
// origin Σxy/Σx² and s/√Σx² with s² = Σr²/(n − 1). N. R. Draper and H. Smith, Applied
// Regression Analysis, 3rd ed., Wiley 1998, chapter 1 (from memory). Residuals deleted
// and studentised: R. D. Cook and S. Weisberg, Residuals and Influence in Regression,
// Chapman & Hall 1982, section 2.2 (from memory).
func Through(xs, ys []float64, origin bool, without []bool) (*Line, error) {
	s := sumsOf(xs, ys, origin, without)
	if s.n < s.fitted+1 {
		return nil, &FewError{s.n, s.fitted + 1}
	}
	if s.xx.Sign() == 0 {
		return nil, ErrSameX
	}
	l := &Line{Freedom: s.n - s.fitted}
	s.slope = quotient(s.xy, s.xx)
	s.intercept = minus(s.y, times(s.slope, s.x))
	squares := s.squares()
	variance := quotient(squares, whole(l.Freedom))
	l.Slope, l.Intercept = float(s.slope), float(s.intercept)
	l.Scatter = root(variance)
	l.SlopeError = root(quotient(variance, s.xx))
	if !origin {
		l.InterceptError = root(times(variance, s.leverage(new(big.Rat))))
	}
	for i := range xs {
		s.judge(l, exact(xs[i]), exact(ys[i]), squares, without != nil && without[i])
	}
	if l.Freedom > 1 {
		l.Limit = StudentT(rareShare/float64(s.n), l.Freedom-1)
	}
	for _, v := range []float64{l.Slope, l.Intercept, l.Scatter, l.SlopeError, l.InterceptError} {
		if math.IsInf(v, 0) {
			return nil, ErrRange
		}
	}
	return l, nil
}

// rareShare is the share of sets of readings in which chance alone is to pass Limit.
// Divided by the number of readings it is the share for each (Bonferroni's bound).
const rareShare = 0.05

// sums holds the sums over the readings that are used: about their means, or about the
// origin.
type sums struct {
	n, fitted  int
	x, y       *big.Rat // the means; 0 for a line through the origin
	xx, xy, yy *big.Rat

	slope, intercept *big.Rat // of the line
	scale, slack     *big.Rat // the largest |y| of all readings, and what of it counts as rounding of the readings
}

func sumsOf(xs, ys []float64, origin bool, without []bool) *sums {
	s := &sums{fitted: 2, x: new(big.Rat), y: new(big.Rat), xx: new(big.Rat), xy: new(big.Rat), yy: new(big.Rat), scale: new(big.Rat)}
	used := func(f func(x, y *big.Rat)) {
		for i := range xs {
			if without == nil || !without[i] {
				f(exact(xs[i]), exact(ys[i]))
			}
		}
	}
	used(func(x, y *big.Rat) {
		s.n++
		s.x.Add(s.x, x)
		s.y.Add(s.y, y)
	})
	for _, y := range ys {
		if size := exact(math.Abs(y)); size.Cmp(s.scale) > 0 {
			s.scale = size
		}
	}
	s.slack = times(s.scale, exact(0x1p-40))
	switch {
	case origin:
		s.fitted, s.x, s.y = 1, new(big.Rat), new(big.Rat)
	case s.n > 0:
		s.x, s.y = quotient(s.x, whole(s.n)), quotient(s.y, whole(s.n))
	}
	used(func(x, y *big.Rat) {
		dx, dy := minus(x, s.x), minus(y, s.y)
		s.xx.Add(s.xx, times(dx, dx))
		s.xy.Add(s.xy, times(dx, dy))
		s.yy.Add(s.yy, times(dy, dy))
	})
	return s
}

// squares returns the sum of the squared residuals.
func (s *sums) squares() *big.Rat { return minus(s.yy, quotient(times(s.xy, s.xy), s.xx)) }

// leverage returns the variance of the line at x, in units of that of one reading.
func (s *sums) leverage(x *big.Rat) *big.Rat {
	dx := minus(x, s.x)
	h := quotient(times(dx, dx), s.xx)
	if s.fitted == 2 {
		h.Add(h, quotient(whole(1), whole(s.n)))
	}
	return h
}

// judge adds to the line what is known of one reading.
func (s *sums) judge(l *Line, x, y, squares *big.Rat, left bool) {
	r := minus(minus(y, s.intercept), times(s.slope, x))
	l.Residuals = append(l.Residuals, float(r))
	h, one := s.leverage(x), whole(1)
	// From the line through the others its distance d has the variance v·s² of theirs.
	var d, v, others *big.Rat
	freedom := l.Freedom
	if left {
		d, v, others = r, new(big.Rat).Add(one, h), squares
	} else if rest := minus(one, h); rest.Sign() > 0 {
		d = quotient(r, rest)
		v = quotient(one, rest)
		others = minus(squares, quotient(times(r, r), rest))
		freedom--
	}
	t, apart := math.NaN(), false
	if d != nil && freedom > 0 {
		variance := quotient(others, whole(freedom))
		if variance.Cmp(times(s.slack, s.slack)) > 0 {
			t = root(quotient(times(d, d), times(v, variance)))
			t = math.Copysign(t, float(d))
		} else {
			apart = new(big.Rat).Abs(d).Cmp(s.slack) > 0
		}
	}
	l.Studentised, l.Apart = append(l.Studentised, t), append(l.Apart, apart)
}

// StandsOut reports whether reading i, from 0, is further from the line through the
// others than chance explains.
func (l *Line) StandsOut(i int) bool {
	return l.Apart[i] || l.Limit > 0 && math.Abs(l.Studentised[i]) > l.Limit
}

func exact(x float64) *big.Rat        { return new(big.Rat).SetFloat64(x) }
func whole(n int) *big.Rat            { return new(big.Rat).SetInt64(int64(n)) }
func minus(a, b *big.Rat) *big.Rat    { return new(big.Rat).Sub(a, b) }
func times(a, b *big.Rat) *big.Rat    { return new(big.Rat).Mul(a, b) }
func quotient(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }
func float(r *big.Rat) float64        { f, _ := r.Float64(); return f }

// root returns √r of a fraction that is not negative.
func root(r *big.Rat) float64 {
	f, _ := new(big.Float).Sqrt(new(big.Float).SetPrec(rootBits).SetRat(r)).Float64()
	return f
}

const rootBits = 128
