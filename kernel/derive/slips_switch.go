package derive

import (
	"shaftbook/kernel/bigfloat"
)

// explainsSwitches reports whether a slip in a line that is put together from
// pieces, or made by steps, explains the claim on both sides of its switches too: with
// all the measured points on one side, many a change shows nowhere.
func (j *judge) explainsSwitches(a, b *statement, s mistaken) bool {
	switch s.slip {
	case WrongAngle, WrongUnits, WrongSpeed, DecimalPlace:
		if isZero(b.full) {
			return false // no factor makes 0
		}
	}
	full, err := j.scope.full(s.expr)
	if err != nil {
		return false
	}
	if isZero(b.full) && isPiecewise(full) {
		return false // many a change moves all beyond a switch
	}
	other := b
	if s.undone {
		other = a
	}
	if !isPiecewise(full) && !isPiecewise(other.full) || isCostly(full) || isCostly(other.full) {
		return true
	}
	slip := &statement{full: full}
	sites := j.switchSites(slip, other)
	for i := range Points {
		if site := j.points().site(wide, i); site != nil {
			sites = append(sites, site)
		}
	}
	for _, site := range sites {
		v, err1, err2 := j.evaluateBoth(site.point, slip, other)
		if err1 == nil && err2 == nil && bigfloat.Compare(v.above, v.claim, 14, 0) == bigfloat.Apart {
			return false
		}
	}
	return true
}
