package derive

import (
	"errors"

	"shaftbook/kernel/bigfloat"
)

// needsValue takes a verdict back that says something of a line without any value: of
// such a line everything would be true.
func (j *judge) needsValue(v *Verdict, a *statement) {
	if v.Kind != Follows && (v.Kind != Fails || !v.Exact || v.Above != "" || v.Slip == Dimensions) {
		return
	}
	if a.valued {
		return
	}
	err := j.valueless(a)
	a.valued = err == nil
	if err != nil {
		*v = Verdict{Span: v.Span, Line: v.Line, Step: v.Step, OwnLeft: v.OwnLeft, Kind: Open,
			Why: "no value of the line above was found for data that the givens allow: " + describe(err)}
	}
}

// valueless returns why a line has no value at any of the points tried, nil if it has one,
// or may have one.
func (j *judge) valueless(a *statement) error {
	p := newProver(j.scope)
	if p.defined(a.full) == nil {
		return nil
	}
	var last error
	for _, try := range []struct {
		how   manner
		count int
	}{{random, Points + 2}, {readable, minorPoints}, {atEdge, minorPoints}, {wide, Points}} {
		for i := range try.count {
			s := j.points().site(try.how, i)
			if s == nil {
				break
			}
			_, err := j.remembered(s, a)
			// An integral that costs too much may have a pole; a limit just costs much.
			costly := errors.Is(err, errBudget) && !hasLimit(a.full)
			if err == nil || !hasNoValue(err) && !costly {
				return nil
			}
			last = err
		}
	}
	return last
}

// hasNoValue reports whether an error means that there is no value, or none that could
// be found although nothing proves that there is one.
func hasNoValue(err error) bool {
	for _, known := range []error{bigfloat.ErrDomain, bigfloat.ErrDivide, bigfloat.ErrConverge, errKink, errFactorial} {
		if errors.Is(err, known) {
			return true
		}
	}
	return false
}
