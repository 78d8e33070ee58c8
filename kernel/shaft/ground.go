package shaft

import (
	"errors"
	"fmt"
	"math"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/source"
)

// ErrNotHeld reports that a rotation or a stiffness relative to ground was asked
// for where no support fixes any shaft of the line.
var ErrNotHeld = errors.New("nothing holds this shaft, nor a shaft that gears join to it, so its rotation is not fixed")

// A HeldFastError reports that a section cannot turn, so that it has no finite
// stiffness.
type HeldFastError struct {
	X float64 // m
}

func (e *HeldFastError) Error() string {
	return fmt.Sprintf("the section at x = %.6g m is held fast and does not turn, so no torque per angle can be given", e.X)
}

// A prober solves the shaft, and those that gears join to it, under one torque
// alone. off is that of the Spec.
type prober func(t Torque, off func() (float64, error)) (*Shaft, source.List)

// probe is the prober of a shaft without gears.
func (spec Spec) probe(t Torque, off func() (float64, error)) (*Shaft, source.List) {
	alone := spec.unloaded().withTorque(t, exactly(t.Value))
	alone.Off = off
	return New(alone)
}

// Grounded reports whether a support of the shaft, or of one that gears join to
// it, fixes its rotation.
func (s *Shaft) Grounded() bool { return len(s.holds) > 0 || s.rim != nil }

// RotationAt returns Rotation of a shaft that is grounded; it fails with
// ErrNotHeld or a *RangeError.
func (s *Shaft) RotationAt(x float64) (float64, error) {
	if _, err := s.inside(x); err != nil {
		return 0, err
	}
	if !s.Grounded() {
		return 0, ErrNotHeld
	}
	return s.Rotation(x)
}

// StiffnessAt returns the torque on the section at x for each radian that it
// turns relative to ground, N·m/rad, with all other loads taken off. Supports
// and the shafts that gears join to this one give way as they do: seen through a
// gear a stiffness k counts k·n², where n is the angle of the gear there for each
// radian of the gear here (J. P. Den Hartog, Mechanical Vibrations, section 1.4
// on geared systems, from memory).
//
// It fails with ErrNotHeld, a *HeldFastError or a *RangeError.
func (s *Shaft) StiffnessAt(x float64) (float64, error) {
	turn, err := s.probed(x, nil)
	if err != nil {
		return 0, err
	}
	angle, err := turn.Rotation(x)
	if err != nil {
		return 0, err
	}
	k := 1 / angle
	if !(k > 0) || math.IsInf(k, 0) {
		return 0, &HeldFastError{X: x}
	}
	return k, nil
}

// probed returns the shaft under 1 N·m at x alone.
func (s *Shaft) probed(x float64, off func() (float64, error)) (*Shaft, error) {
	x, err := s.inside(x)
	if err != nil {
		return nil, err
	}
	if !s.Grounded() {
		return nil, ErrNotHeld
	}
	probed, list := s.probe(Torque{X: x, Value: 1}, off)
	return probed, list.Err()
}

// StiffnessAtOver encloses Shaft.StiffnessAt at x, a place known to within rounding.
func (s *Shaft) StiffnessAtOver(x interval.Interval) (interval.Interval, error) {
	at := x.Mid()
	probed, err := s.probed(at, s.offWith(x))
	if err != nil {
		return interval.Interval{}, err
	}
	c, err := probed.Certain()
	if err != nil {
		return interval.Interval{}, err
	}
	at, _ = s.inside(at)
	angle, err := c.rotation(at)
	if err != nil {
		return angle, err
	}
	o := &outward{}
	if angle.Lo == 0 && angle.Hi == 0 {
		return angle, &HeldFastError{X: at}
	}
	k := o.div(point(1), angle)
	return k, o.err
}

// offWith returns how far the numbers of the shaft may be from what is meant,
// with the place x among them.
func (s *Shaft) offWith(x interval.Interval) func() (float64, error) {
	return func() (float64, error) {
		off, err := s.off()
		half := max(x.Hi-x.Mid(), x.Mid()-x.Lo)
		if half > 0 && x.Mid() > 0 {
			off = max(off, float64(half/x.Mid()*(1+0x1p-50)))
		} else if half > float64(sameplace*s.length) {
			return off, ErrNotEnclosed
		}
		return off, err
	}
}
