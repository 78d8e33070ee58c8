package shaft

import (
	"fmt"
	"math"
)

// A YieldError reports that a value of yielding was asked for where there is none.
type YieldError struct {
	X      float64 // m
	Reason YieldReason
}

// A YieldReason is why a value of yielding does not exist.
type YieldReason int

const (
	NoYieldStress YieldReason = iota // the piece there has no yield stress
	NotOneRound                      // the piece there is not round, or of two materials
)

func (e *YieldError) Error() string {
	if e.Reason == NotOneRound {
		return fmt.Sprintf("the section at x = %.6g m is not a round one of one material, and yielding is worked out for these only", e.X)
	}
	return fmt.Sprintf("the piece at x = %.6g m has no yield stress", e.X)
}

// ErrYielded reports that segments, which are elastic, were asked for of a shaft
// that yields.
var ErrYielded = fmt.Errorf("a part of this shaft yields, and its segments are elastic: ask for the twist itself, or make the torque smaller")

// A RadiusError reports that a stress was asked for where there is no material.
type RadiusError struct {
	R, Inner, Outer float64 // m
}

func (e *RadiusError) Error() string {
	return fmt.Sprintf("there is no material at the radius %.6g m: the section reaches from %.6g m to %.6g m", e.R, e.Inner, e.Outer)
}

// PermanentTotal returns the twist of the far end relative to x = 0 that stays
// after all loads are taken off, rad; 0 where nothing yields.
//
// Unloading is elastic: it takes off T/(G·J) at every section. It never makes
// the material yield the other way, since the stress that it takes off is at
// most T_p/T_Y ≤ 4/3 of the yield stress, and 2 would be needed. The material is
// taken to yield at the same stress both ways.
func (s *Shaft) PermanentTotal() float64 {
	if s.plastic == nil {
		return 0
	}
	return s.plastic.total
}

// PermanentTwist returns the rotation of the section at x relative to that at
// x = 0 that stays after all loads are taken off, rad.
func (s *Shaft) PermanentTwist(x float64) (float64, error) {
	x, err := s.inside(x)
	if err != nil {
		return 0, err
	}
	return s.permanentTo(x)
}

// SpringBackTotal returns the twist that goes back when all loads are taken off,
// ∫T/(G·J) dx over the shaft, rad.
func (s *Shaft) SpringBackTotal() float64 { return s.twist }

// SpringBack returns the part of Twist(x) that goes back when all loads are taken
// off, rad.
func (s *Shaft) SpringBack(x float64) (float64, error) { return s.elasticTwist(x) }

// yieldingAt returns the section at x, just after it where it jumps, with its
// cell.
func (s *Shaft) yieldingAt(x float64) (ductile, *cell, error) {
	x, err := s.inside(x)
	if err != nil {
		return ductile{}, nil, err
	}
	_, after := s.sides(x)
	c := &s.cells[after]
	p := &s.pieces[c.piece]
	switch {
	case !p.canYield():
		return ductile{}, c, &YieldError{X: x, Reason: NotOneRound}
	case p.Yield == 0:
		return ductile{}, c, &YieldError{X: x, Reason: NoYieldStress}
	}
	d, err := s.ductileAt(c, x)
	return d, c, err
}

// YieldTorque returns the torque at which the surface of the section at x begins
// to yield, N·m:
//
//	T_Y = τ_Y·J/c
//
// Failure: *RangeError, or *YieldError.
func (s *Shaft) YieldTorque(x float64) (float64, error) {
	d, _, err := s.yieldingAt(x)
	return d.yieldTorque(), err
}

// PlasticTorque returns the torque under which all of the section at x yields,
// N·m, with c and a the radii of the outside and of the bore:
//
//	T_p = ⅔π·τ_Y·(c³ − a³)
//
// Failure: *RangeError, or *YieldError.
func (s *Shaft) PlasticTorque(x float64) (float64, error) {
	d, _, err := s.yieldingAt(x)
	return d.plasticTorque(), err
}

// ElasticCore returns the diameter within which the section at x is still elastic,
// m: the outside diameter where nothing yields.
//
// Failure: *RangeError, or *YieldError.
func (s *Shaft) ElasticCore(x float64) (float64, error) {
	d, c, err := s.yieldingAt(x)
	if err != nil {
		return 0, err
	}
	return d.core(c.torqueAt(min(max(x, c.a), c.b))), nil
}

// carriedIn returns the greatest stress that the section of a cell carries at x.
func (s *Shaft) carriedIn(c *cell, x float64) (float64, error) {
	stress, err := s.stressIn(c, x)
	if limit := s.pieces[c.piece].Yield; limit > 0 {
		stress = min(stress, limit)
	}
	return stress, err
}

// StressAt returns the size of the shear stress at the radius r of the section at
// x, Pa; where two materials meet, the greater. At a place where the section or
// the torque jumps it is the one just after.
//
// Failure: *RangeError, *ShapeError where the section is not round, *RadiusError.
func (s *Shaft) StressAt(x, r float64) (float64, error) {
	layers, err := s.Layers(x)
	if err != nil {
		return 0, err
	}
	r, err = radiusWithin(layers, r)
	if err != nil {
		return 0, err
	}
	most := 0.0
	for _, l := range layers {
		if r < l.Inner || r > l.Outer {
			continue
		}
		stress := math.Abs(l.AtOuter)
		if !l.Yielded {
			stress *= r / l.Outer
		}
		most = max(most, stress)
	}
	return most, nil
}

// radiusWithin returns r, moved onto the rim that it misses by rounding, or a
// *RadiusError.
func radiusWithin(layers []Layer, r float64) (float64, error) {
	inner, outer := layers[0].Inner, layers[len(layers)-1].Outer
	tol := float64(sameplace * outer)
	if !(r >= inner-tol && r <= outer+tol) {
		return 0, &RadiusError{r, inner, outer}
	}
	return min(max(r, inner), outer), nil
}

// ResidualStress returns the shear stress that stays at the radius r of the
// section at x after all loads are taken off, Pa: what the load made, less the
// elastic T·r/J that unloading takes off. It is positive the way in which the
// stress of the load went; over the whole section it makes no torque.
//
// Failure: as StressAt.
func (s *Shaft) ResidualStress(x, r float64) (float64, error) {
	stress, err := s.StressAt(x, r)
	if err != nil {
		return 0, err
	}
	d, c, err := s.yieldingAt(x)
	if err != nil {
		return 0, nil // nothing yields there
	}
	torque := math.Abs(c.torqueAt(min(max(x, c.a), c.b)))
	if torque <= d.yieldTorque() {
		return 0, nil
	}
	return stress - torque*min(max(r, d.bore/2), d.outer/2)/polarMoment(d.outer, d.bore), nil
}
