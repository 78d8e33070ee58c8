package shaft

// The methods named …To write the value at each x to dst, which has the length
// of x, and stop at the first error. They serve curves and tables.

// TwistTo writes Twist of each x.
func (s *Shaft) TwistTo(dst, x []float64) error { return each(dst, x, s.Twist) }

// RotationTo writes Rotation of each x.
func (s *Shaft) RotationTo(dst, x []float64) error { return each(dst, x, s.Rotation) }

// TwistRateTo writes TwistRate of each x.
func (s *Shaft) TwistRateTo(dst, x []float64) error { return each(dst, x, s.TwistRate) }

// TorqueTo writes Torque of each x.
func (s *Shaft) TorqueTo(dst, x []float64) error { return each(dst, x, s.Torque) }

// StressTo writes Stress of each x.
func (s *Shaft) StressTo(dst, x []float64) error { return each(dst, x, s.Stress) }

// JTo writes J of each x.
func (s *Shaft) JTo(dst, x []float64) error { return each(dst, x, s.J) }

// DiameterTo writes Diameter of each x.
func (s *Shaft) DiameterTo(dst, x []float64) error { return each(dst, x, s.Diameter) }

// BoreTo writes Bore of each x.
func (s *Shaft) BoreTo(dst, x []float64) error { return each(dst, x, s.Bore) }

// DepthTo writes Depth of each x.
func (s *Shaft) DepthTo(dst, x []float64) error { return each(dst, x, s.Depth) }

func each(dst, x []float64, f func(float64) (float64, error)) error {
	for i, v := range x {
		y, err := f(v)
		if err != nil {
			return err
		}
		dst[i] = y
	}
	return nil
}
