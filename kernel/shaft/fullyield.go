package shaft

import (
	"fmt"
	"math"

	"shaftbook/kernel/certify"
	"shaftbook/kernel/interval"
)

// A plasticError reports a torque under which all of a section yields, so that
// there is no equilibrium beyond it; doubtful if rounding hides whether the torque
// is that large.
type plasticError struct {
	x, torque, limit float64
	doubtful         bool
}

func (e *plasticError) Error() string {
	return fmt.Sprintf("all of the section at x = %.6g m yields under %.6g N·m", e.x, e.limit)
}

const (
	// fullSamples places of a zone are looked at, and more beside the one with the
	// largest share of the fully plastic torque if it is beyond mayBeFull.
	fullSamples = 32
	mayBeFull   = 0.9
	// nearlyFull is the share of the fully plastic torque from which on bounds decide
	// whether the section carries the torque.
	nearlyFull = 1 - 1e-6
)

// carries reports, as a *plasticError, where all of a section in the zone yields,
// or may do so as far as the bounds of its numbers tell.
func (s *Shaft) carries(z *zone) error {
	c := &s.cells[z.cell]
	share := func(x float64) (float64, error) {
		d, err := s.ductileAt(c, x)
		return math.Abs(c.torqueAt(x)) / d.plasticTorque(), err
	}
	step := float64((z.to - z.from) / fullSamples)
	worst, at := 0.0, z.from
	samples := fullSamples
	if z.even {
		samples = 0
	}
	for k := range samples + 1 {
		x := min(z.from+float64(float64(k)*step), z.to)
		v, err := share(x)
		if err != nil {
			return err
		}
		if v > worst {
			worst, at = v, x
		}
	}
	// The largest share may lie between two of these places.
	for lo, hi := max(at-step, z.from), min(at+step, z.to); !z.even && worst > mayBeFull && step > float64(1e-9*(z.to-z.from)); {
		step = float64((hi - lo) / 4)
		for k := 1; k < 4; k++ {
			x := lo + float64(float64(k)*step)
			v, err := share(x)
			if err != nil {
				return err
			}
			if v > worst {
				worst, at = v, x
			}
		}
		lo, hi = max(at-step, z.from), min(at+step, z.to)
	}
	if worst < nearlyFull {
		return nil
	}
	d, err := s.ductileAt(c, at)
	if err != nil {
		return err
	}
	e := &plasticError{x: at, torque: c.torqueAt(at), limit: d.plasticTorque()}
	torque, full, err := s.fullAt(z.cell, at)
	switch {
	case err != nil:
		e.doubtful = worst < 2-nearlyFull
	case torque.Hi < full.Lo:
		return nil
	default:
		e.doubtful = torque.Lo < full.Hi
	}
	return e
}

// fullAt encloses the size of the torque and the fully plastic torque at x of a cell.
func (s *Shaft) fullAt(cell int, x float64) (torque, full interval.Interval, err error) {
	c, err := s.enclose()
	if err != nil {
		return torque, full, err
	}
	_, i := c.stretchAt(s.cells[cell].a + float64(s.cells[cell].length()/2))
	b := certify.NewBuilder()
	d, _, err := c.ductileOver(b, i, point(x))
	if err != nil {
		return torque, full, err
	}
	if full, err = c.constant(b, d.plasticTorque()); err != nil {
		return torque, full, err
	}
	torque, err = c.sound(interval.Abs(c.torqueIn(i, point(x))))
	return torque, full, err
}
