package shaft

import (
	"math"
	"testing"
)

// yieldRows are the published cases of torsion beyond the yield stress.
func yieldRows(t *testing.T, m map[string]float64) {
	held := func(torque float64, p Piece) *Shaft { return bar(t, torque, p) }
	// Y01: Kukta & Kirane, Lecture 12
	y01 := held(35e3, yielding(solid(0.1, 1, 200e9), 150e6))
	m["Y01a"], m["Y01b"] = must(y01.YieldTorque(0))/1000, must(y01.PlasticTorque(0))/1000
	// Y02: Beer & Johnston, Prob 3.116: the torque that twists it through 6°
	low, high := 0.0, 0.99999*must(held(1, yielding(solid(32*mm, 0.6, 77e9), 145e6)).PlasticTorque(0))
	for range 60 {
		mid := (low + high) / 2
		if held(mid, yielding(solid(32*mm, 0.6, 77e9), 145e6)).TwistTotal() < 6*deg {
			low = mid
		} else {
			high = mid
		}
	}
	y02 := held(low, yielding(solid(32*mm, 0.6, 77e9), 145e6))
	m["Y02a"], m["Y02b"] = -must(y02.ResidualStress(0, 16*mm))/1e6, y02.SpringBackTotal()*1000
	m["Y02c"] = must(y02.ResidualStress(0, must(y02.ElasticCore(0))/2)) / 1e6
	// Y03: Beer & Johnston, Examples 3.08 and 3.09
	y03 := held(4600, yielding(solid(50*mm, 1.2, 77e9), 150e6))
	m["Y03a"], m["Y03b"] = must(y03.YieldTorque(0))/1000, must(y03.ElasticCore(0))/2/mm
	m["Y03c"], m["Y03d"] = y03.TwistTotal()/deg, y03.SpringBackTotal()/deg
	m["Y03e"] = must(y03.ResidualStress(0, 25*mm)) / 1e6
	// Y04: Beer & Johnston, Sample Problems 3.7 and 3.8
	y04 := yielding(tube(2.25*inch, 1.5*inch, 5*foot, 11.2e6*psi), 21*ksi)
	first, full := must(held(1, y04).YieldTorque(0)), must(held(1, y04).PlasticTorque(0))
	last := held(full*(1-1e-10), y04) // at the plastic torque itself the twist has no one value
	m["Y04a"], m["Y04b"] = first/(1000*lbin), held(first, y04).TwistTotal()/deg
	m["Y04c"], m["Y04d"], m["Y04e"] = full/(1000*lbin), last.TwistTotal()/deg, last.PermanentTotal()/deg
}

func yieldFormulas(t *testing.T, m map[string]formula) {
	s := bar(t, 4600, yielding(solid(50*mm, 1.2, 77e9), 150e6))
	first, u := must(s.YieldTorque(0)), must(s.ElasticCore(0))/(50*mm)
	m["Y05a"] = formula{4600, first * 4 / 3 * (1 - u*u*u/4), 1e-13}
	m["Y05b"] = formula{must(s.PlasticTorque(0)) / first, 4.0 / 3, 1e-13}
	r, wall := 0.03, 1e-6
	thin := bar(t, 0, yielding(tube(2*r+wall, 2*r-wall, 1, 79e9), 100e6))
	m["Y06"] = formula{must(thin.PlasticTorque(0)), 2 * math.Pi * r * r * wall * 100e6, 1e-4}
	if ratio := must(thin.PlasticTorque(0)) / must(thin.YieldTorque(0)); ratio > 1+1e-4 {
		t.Errorf("a thin tube carries %g times its yield torque", ratio)
	}
}
