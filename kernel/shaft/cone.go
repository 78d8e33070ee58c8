package shaft

import (
	"fmt"
	"math"

	"shaftbook/kernel/elementary"
)

// A solid cone in torsion is one of the few tapered shafts whose exact elastic
// solution is known. With α the half-angle, R the distance from the apex and
//
//	K = 2/3 − cos α + cos³α/3 = (1 − cos α)²·(2 + cos α)/3
//
// the shear stress at the surface is T·sin α/(2π·K·R³) and every sphere about the
// apex turns as a rigid shell by T/(6π·G·K·R³), up to a constant. A. Föppl,
// Sitzungsber. Bayer. Akad. Wiss. 35 (1905) 249 (from memory); Timoshenko &
// Goodier, Theory of Elasticity, 3rd ed., Art. 119, Eqs d to g (numbers from
// memory); the closed forms below follow by half-angle identities.

// An AngleError reports that no cone has a half-angle.
type AngleError struct{ HalfAngle float64 } // rad

func (e *AngleError) Error() string {
	return fmt.Sprintf("a cone of half-angle %.4g° is not possible: it lies between 0° and 90°", e.HalfAngle*180/math.Pi)
}

func checkAngle(halfAngle float64) error {
	if !(halfAngle >= 0 && halfAngle < math.Pi/2) {
		return &AngleError{HalfAngle: halfAngle}
	}
	return nil
}

// ConeHalfAngle returns the half-angle, rad, of a linear taper between two
// diameters a length apart, all m: atan(|d₁ − d₀|/(2·length)).
func ConeHalfAngle(d0, d1, length float64) float64 {
	return elementary.Atan2(math.Abs(d1-d0), 2*length)
}

// ConeStressRatio returns the exact shear stress at the surface of a cone in
// torsion divided by that of slice theory, 16T/(πd³), at the same place:
//
//	sin⁴α/(4K) = 3·cos⁴(α/2)/(2 + cos α)
//
// It is 1 at α = 0 and falls: slices err on the safe side. halfAngle is in rad
// from 0 to below π/2; outside it fails with an *AngleError.
func ConeStressRatio(halfAngle float64) (float64, error) {
	if err := checkAngle(halfAngle); err != nil {
		return 0, err
	}
	c := elementary.Cos(halfAngle / 2)
	return 3 * c * c * c * c / (2 + elementary.Cos(halfAngle)), nil
}

// ConeTwistRatio returns the exact twist of a cone in torsion divided by that
// of slice theory. The exact one is between the spheres about the apex through
// the two rims, the other between the planes through the same rims:
//
//	sin⁴α/(4K·cos α) = 3·cos⁴(α/2)/((2 + cos α)·cos α)
//
// It is 1 at α = 0 and grows: slices are too stiff. The ratio does not depend
// on the two diameters. halfAngle is in rad from 0 to below π/2; outside it
// fails with an *AngleError.
func ConeTwistRatio(halfAngle float64) (float64, error) {
	r, err := ConeStressRatio(halfAngle)
	if err != nil {
		return 0, err
	}
	return r / elementary.Cos(halfAngle), nil
}

// ConeTwist returns the exact twist, rad, of a solid cone with end diameters d0
// and d1 a length apart (m), of shear modulus g (Pa), under the torque t (N·m)
// put on at its ends as the exact solution has it: slice theory times
// ConeTwistRatio.
//
// It fails with a *SizeError if a size is not above zero.
func ConeTwist(t, g, d0, d1, length float64) (float64, error) {
	names := []string{"shear modulus", "diameter", "diameter", "length"}
	if err := positive(names, g, d0, d1, length); err != nil {
		return 0, err
	}
	ratio, err := ConeTwistRatio(ConeHalfAngle(d0, d1, length))
	if err != nil {
		return 0, err
	}
	return ratio * t * length / (g * polarMoment(d0, 0)) * taperMoments(1, (d1-d0)/d0)[0], nil
}
