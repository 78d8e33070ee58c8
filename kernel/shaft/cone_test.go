package shaft

import (
	"errors"
	"math"
	"testing"
)

// TestConeFromItsStressFunction checks the closed forms against the solution
// they come from, φ = c·(u − u³/3) with u = z/R (Timoshenko & Goodier, Theory of
// Elasticity, 3rd ed., Art. 119, from memory): the stress τ_θz = φ_r/r² adds up
// to the torque on a plane section, and the twist between two spheres is that
// of τ_rθ = −φ_z/r² followed along the axis of the rotation c/(3GR³).
func TestConeFromItsStressFunction(t *testing.T) {
	for _, degrees := range []float64{0.5, 7, 25, 60} {
		alpha := degrees * deg
		k := 2.0/3 - math.Cos(alpha) + math.Pow(math.Cos(alpha), 3)/3
		c := -1 / (2 * math.Pi * k) // torque 1 N·m
		z := 1.3
		rim := z * math.Tan(alpha)
		var r [15]float64
		kronrodNodes(&r, 0, rim)
		torque := 0.0
		for i, v := range r {
			dist := math.Hypot(v, z)
			tau := -c * v * z / math.Pow(dist, 5)
			torque += kronrodW[i] * rim / 2 * 2 * math.Pi * v * v * tau
		}
		// K itself loses digits at small angles; the package's form does not.
		tol := 1e-15 / k
		if math.Abs(torque-1) > tol+1e-9 {
			t.Errorf("%g°: the stresses carry %.15g N·m", degrees, torque)
		}
		dist := math.Hypot(rim, z)
		exact := -c * rim / math.Pow(dist, 4) // |τ| at the surface
		if got := must(ConeStressRatio(alpha)) * 2 / (math.Pi * rim * rim * rim); math.Abs(got/exact-1) > tol+1e-12 {
			t.Errorf("%g°: stress at the surface %g, want %g", degrees, got, exact)
		}
		far := 2 * dist
		twist := -c / 3 * (1/math.Pow(dist, 3) - 1/math.Pow(far, 3))
		got := must(ConeTwist(1, 1, 2*rim, 4*rim, z))
		if math.Abs(got/twist-1) > tol+1e-12 {
			t.Errorf("%g°: twist %g, want %g", degrees, got, twist)
		}
	}
}

func TestConeLimits(t *testing.T) {
	close64(t, "stress ratio at 0", must(ConeStressRatio(0)), 1)
	close64(t, "twist ratio at 0", must(ConeTwistRatio(0)), 1)
	close64(t, "half-angle", ConeHalfAngle(0.02, 0.04, 0.01), 45*deg)
	close64(t, "uniform", must(ConeTwist(300, 79e9, 0.03, 0.03, 1)), bar(t, 300, solid(0.03, 1, 79e9)).TwistTotal())
	for _, alpha := range []float64{-0.1, math.Pi / 2, math.NaN()} {
		var e *AngleError
		if _, err := ConeTwistRatio(alpha); !errors.As(err, &e) {
			t.Errorf("%g: %v", alpha, err)
		}
	}
	var e *SizeError
	if _, err := ConeTwist(1, 1, 0, 1, 1); !errors.As(err, &e) || e.Error() != "a diameter of 0 is not possible: it must be a number above zero" {
		t.Errorf("%v", err)
	}
}

func TestSectionErrors(t *testing.T) {
	var e *SizeError
	for name, f := range map[string]func() (*Section, error){
		"square":    func() (*Section, error) { return Square(0) },
		"rectangle": func() (*Section, error) { return Rectangle(1, -1) },
		"ellipse":   func() (*Section, error) { return Ellipse(math.NaN(), 1) },
		"triangle":  func() (*Section, error) { return EquilateralTriangle(math.Inf(1)) },
		"no area":   func() (*Section, error) { return ThinTube(0, Wall{1, 1}) },
		"no wall":   func() (*Section, error) { return ThinTube(1) },
		"no thick":  func() (*Section, error) { return ThinTube(1, Wall{9, 0}) },
		"no strip":  func() (*Section, error) { return OpenWall() },
		"no length": func() (*Section, error) { return OpenWall(Wall{0.5, 0.01}, Wall{0, 0.01}) },
		"thin air":  func() (*Section, error) { return OpenWall(Wall{0.5, math.NaN()}) },
		"too short": func() (*Section, error) { return ThinTube(1, Wall{3.5, 0.01}) },
	} {
		if s, err := f(); s != nil || !errors.As(err, &e) {
			t.Errorf("%s: %v, %v", name, s, err)
		}
	}
}

// TestSectionLimits: an ellipse with equal axes is a circle; a thin round tube
// by Bredt is the ring to the square of its thinness; an equilateral triangle of
// height h has J = h⁴/(15√3) and W = 2h³/(15√3) (Timoshenko & Goodier, Art. 106,
// from memory).
func TestSectionLimits(t *testing.T) {
	circle := must(Ellipse(0.04, 0.04))
	close64(t, "J of a circle", circle.J, polarMoment(0.04, 0))
	close64(t, "W of a circle", circle.W, polarMoment(0.04, 0)/0.02)
	wall, mean := 1e-5, 0.04
	thin := must(ThinTube(math.Pi/4*mean*mean, Wall{math.Pi * mean, wall}))
	if ring := polarMoment(mean+wall, mean-wall); math.Abs(thin.J/ring-1) > 1e-7 {
		t.Errorf("thin tube %g, ring %g", thin.J, ring)
	}
	h := 0.05
	triangle := must(EquilateralTriangle(2 * h / math.Sqrt(3)))
	close64(t, "J of a triangle", triangle.J, h*h*h*h/(15*math.Sqrt(3)))
	close64(t, "W of a triangle", triangle.W, 2*h*h*h/(15*math.Sqrt(3)))
	// Rectangle is the same either way round, and depth is what was given.
	a, b := must(Rectangle(0.06, 0.04)), must(Rectangle(0.04, 0.06))
	close64(t, "J turned", a.J, b.J)
	close64(t, "depth", b.Depth, 0.06)
	// A very long rectangle: J = a·b³/3·(1 − 0.630248·b/a), W = J/b.
	long := must(Rectangle(1000, 1))
	close64(t, "long rectangle", long.J, 1000.0/3-64/math.Pow(math.Pi, 5)*oddZeta5)
	close64(t, "its rim", long.J/long.W, 1)
}

// TestOpenWallLimits: s·t³/3 is above the exact torsion constant of a flat strip by the
// share 0.630·t/s that its ends take off (Timoshenko & Goodier, Theory of Elasticity, 3rd
// ed., Art. 109, from memory: k₁ = 0.312 where s = 10·t), and so is the section modulus;
// parts of one thickness are one long part; and the thickest of several bears the
// greatest stress.
func TestOpenWallLimits(t *testing.T) {
	for _, c := range []struct{ long, k, tol float64 }{{10, 0.312, 5e-4}, {100, 0.3312, 5e-5}, {1e4, 0.33331, 5e-6}} {
		open, exact := must(OpenWall(Wall{c.long, 1})), must(Rectangle(c.long, 1))
		if math.Abs(exact.J/c.long-c.k) > c.tol {
			t.Errorf("a strip %g times as long as thick: k = %g", c.long, exact.J/c.long)
		}
		for name, got := range map[string]float64{"J": exact.J / open.J, "W": exact.W / open.W} {
			if want := 1 - 0.630248/c.long; math.Abs(got-want) > 2e-6 {
				t.Errorf("%s of a strip %g times as long as thick: %g, want %g", name, c.long, got, want)
			}
		}
	}
	whole, parts := must(OpenWall(Wall{0.22, 0.004})), must(OpenWall(Wall{0.05, 0.004}, Wall{0.12, 0.004}, Wall{0.05, 0.004}))
	close64(t, "J of parts", parts.J, whole.J)
	close64(t, "W of parts", parts.W, whole.W)
	uneven := must(OpenWall(Wall{0.05, 0.006}, Wall{0.12, 0.004}))
	close64(t, "W of uneven parts", uneven.W, uneven.J/0.006)
	if (Wall{0.1, 0.01}).IsStubby() || !(Wall{0.099, 0.01}).IsStubby() {
		t.Error("a part is stubby below ten times its thickness")
	}
}

func TestPowerTorque(t *testing.T) {
	close64(t, "12 kW at 1450 rpm", must(PowerTorque(12e3, 1450*rpm)), 12e3*60/(2*math.Pi*1450))
	close64(t, "backwards", must(PowerTorque(12e3, -1450*rpm)), -12e3*60/(2*math.Pi*1450))
	for _, c := range []struct {
		power, speed float64
		want         string
	}{
		{12e3, 0, "at rest no power is carried, so the torque cannot be worked out from it"},
		{math.NaN(), 1, "NaN W at 1 rad/s do not give a torque"},
		{1e300, 1e-300, "1e+300 W at 1e-300 rad/s do not give a torque"},
	} {
		var e *PowerError
		if v, err := PowerTorque(c.power, c.speed); !errors.As(err, &e) || v != 0 || err.Error() != c.want {
			t.Errorf("%g, %v", v, err)
		}
	}
}
