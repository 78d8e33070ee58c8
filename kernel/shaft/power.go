package shaft

import (
	"fmt"
	"math"
)

// A PowerError reports that a power and a speed do not give a torque.
type PowerError struct {
	Power, Speed float64 // W, rad/s
}

func (e *PowerError) Error() string {
	if e.Speed == 0 {
		return "at rest no power is carried, so the torque cannot be worked out from it"
	}
	return fmt.Sprintf("%g W at %g rad/s do not give a torque", e.Power, e.Speed)
}

// PowerTorque returns the torque, N·m, that carries a power (W) at an angular
// speed (rad/s; 1 rpm is 2π/60 rad/s, 1 Hz is 2π rad/s):
//
//	T = P/ω
//
// Gere, Mechanics of Materials, Eq. 3-41. It fails with a *PowerError if the
// speed is zero or the torque is not finite.
func PowerTorque(power, speed float64) (float64, error) {
	t := power / speed
	if speed == 0 || math.IsNaN(t) || math.IsInf(t, 0) {
		return 0, &PowerError{Power: power, Speed: speed}
	}
	return t, nil
}
