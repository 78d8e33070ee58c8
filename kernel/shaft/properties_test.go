package shaft

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawPiece draws one sound piece, 20 mm to 120 mm thick.
func drawPiece(t *rapid.T) Piece {
	diameter := rapid.Float64Range(0.02, 0.12)
	g := rapid.Float64Range(20e9, 90e9)
	d0, d1 := diameter.Draw(t, "d0"), diameter.Draw(t, "d1")
	p := Piece{Length: rapid.Float64Range(0.05, 1.5).Draw(t, "length"), G: g.Draw(t, "G")}
	p.Outer = Profile{Start: d0, End: d1}
	switch rapid.SampledFrom([]string{"solid", "taper", "nearly", "tube", "core", "wave", "measured", "square", "open wall"}).Draw(t, "kind") {
	case "solid":
		p.Outer.End = d0
	case "nearly":
		p.Outer.End = d0 * (1 + rapid.SampledFrom([]float64{1e-6, -1e-9, 1e-12, 1e-15}).Draw(t, "growth"))
	case "tube":
		share := rapid.Float64Range(0, 0.95)
		p.Bore = &Profile{Start: share.Draw(t, "bore share") * d0, End: share.Draw(t, "bore share") * d1}
	case "core":
		p.Core = &Core{Diameter: rapid.Float64Range(0.1, 0.9).Draw(t, "core share") * min(d0, d1), G: g.Draw(t, "core G")}
	case "wave":
		swing, wave := rapid.Float64Range(-0.4, 0.4).Draw(t, "swing")*d0, rapid.Float64Range(0.3, 2).Draw(t, "wave")
		p.Outer = waveProfile(d0, swing, wave)
	case "measured":
		for i := range rapid.IntRange(2, 6).Draw(t, "stations") {
			p.Stations = append(p.Stations, Station{X: float64(i), Diameter: diameter.Draw(t, "measured")})
		}
		n := float64(len(p.Stations) - 1)
		for i := range p.Stations {
			p.Stations[i].X = p.Length * float64(i) / n
		}
	case "square":
		s, err := Square(d0)
		if err != nil {
			t.Fatal(err)
		}
		p.Section = s
	case "open wall":
		long := rapid.Float64Range(10, 80)
		s, err := OpenWall(Wall{d0 * long.Draw(t, "part"), d0 / 10}, Wall{d1 * long.Draw(t, "other part"), d1 / 10})
		if err != nil {
			t.Fatal(err)
		}
		p.Section = s
	}
	return p
}

// drawPieces draws one to four pieces and returns their length.
func drawPieces(t *rapid.T) ([]Piece, float64) {
	pieces := rapid.SliceOfN(rapid.Custom(drawPiece), 1, 4).Draw(t, "pieces")
	length := 0.0
	for _, p := range pieces {
		length += p.Length
	}
	return pieces, length
}

// places draws a place on a grid, which makes loads and holds meet now and then
// and never almost meet.
func places(length float64) *rapid.Generator[float64] {
	return rapid.Map(rapid.IntRange(0, 40), func(k int) float64 { return length * float64(k) / 40 })
}

func drawHolds(t *rapid.T, length float64) []Support {
	var holds []Support
	for _, x := range rapid.SliceOfNDistinct(places(length), 1, 4, rapid.ID).Draw(t, "holds") {
		h := Support{X: x}
		if rapid.Bool().Draw(t, "elastic") {
			h.Elastic, h.Stiffness = true, math.Exp(rapid.Float64Range(5, 18).Draw(t, "log stiffness"))
		}
		holds = append(holds, h)
	}
	return holds
}

// loads draws a load in N·m, or in N·m/m. One below 1e-60 is none: the square
// of one near 1e-155 is subnormal, and work has then lost the figures that it is
// held to.
func loads() *rapid.Generator[float64] {
	return rapid.Map(rapid.Float64Range(-900, 900), func(v float64) float64 {
		if math.Abs(v) < 1e-60 {
			return 0
		}
		return v
	})
}

// drawSpec draws a held and loaded shaft.
func drawSpec(t *rapid.T) (Spec, float64) {
	pieces, length := drawPieces(t)
	spec := Spec{Pieces: pieces, Supports: drawHolds(t, length)}
	load := loads()
	place := places(length)
	for range rapid.IntRange(1, 3).Draw(t, "torques") {
		spec.Torques = append(spec.Torques, Torque{X: place.Draw(t, "at"), Value: load.Draw(t, "torque")})
	}
	for range rapid.IntRange(0, 2).Draw(t, "spreads") {
		from, to := place.Draw(t, "from"), place.Draw(t, "to")
		if from, to = min(from, to), max(from, to); from == to {
			from, to = 0, length
		}
		spec.DistributedTorques = append(spec.DistributedTorques, DistributedTorque{From: from, To: to, Start: load.Draw(t, "start"), End: load.Draw(t, "end")})
	}
	return spec, length
}

func sound(t *rapid.T, spec Spec) *Shaft {
	s, list := New(spec)
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t *rapid.T, what string, got, want, scale, tol float64) {
	t.Helper()
	if d := math.Abs(got - want); !(d <= tol*scale) {
		t.Fatalf("%s: %.17g, want %.17g, off by %.2g of %g", what, got, want, d/scale, scale)
	}
}

// largestCompliance is more than 1 N·m can turn any section.
func largestCompliance(s *Shaft) float64 {
	sum := 1 / s.Stiffness()
	for _, h := range s.holds {
		if h.Elastic {
			sum += 1 / h.Stiffness
		}
	}
	return sum
}

// TestClapeyron: the work of the loads, ½·Σ T·φ, is the energy stored in the
// shaft and in its elastic holds. B. P. É. Clapeyron; Timoshenko & Goodier,
// Theory of Elasticity, Art. 99 (from memory).
func TestClapeyron(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, _ := drawSpec(t)
		s := sound(t, spec)
		work := 0.0
		for _, l := range spec.Torques {
			work += l.Value * must(s.Rotation(l.X)) / 2
		}
		for _, l := range spec.DistributedTorques {
			// ∫ w·φ dx between the breaks, by the rule used on so many panels of
			// each stretch that a steep bore costs no figure
			const panels = 16
			edges := s.Breaks()
			for i := 0; i+1 < len(edges); i++ {
				if edges[i] < l.From-1e-9 || edges[i+1] > l.To+1e-9 {
					continue
				}
				for k := range panels {
					h := (edges[i+1] - edges[i]) / panels
					var x [15]float64
					kronrodNodes(&x, edges[i]+float64(k)*h, edges[i]+float64(k+1)*h)
					for m, v := range x {
						w := l.Start + (l.End-l.Start)*(v-l.From)/(l.To-l.From)
						work += kronrodW[m] * h / 2 * w * must(s.Rotation(v)) / 2
					}
				}
			}
		}
		stored := s.Energy()
		for _, h := range spec.Supports {
			if h.Elastic {
				r := must(s.Reaction(h.X))
				stored += r * r / h.Stiffness / 2
			}
		}
		size := largestLoad(spec)
		near(t, "work of the loads", work, stored, size*size*largestCompliance(s), 1e-12)
	})
}

// TestReciprocity: the rotation at b under a unit torque at a is that at a under
// one at b. J. C. Maxwell 1864, E. Betti 1872.
func TestReciprocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pieces, length := drawPieces(t)
		spec := Spec{Pieces: pieces, Supports: drawHolds(t, length)}
		a, b := places(length).Draw(t, "a"), places(length).Draw(t, "b")
		influence := func(load, at float64) float64 {
			spec.Torques = []Torque{{X: load, Value: 1}}
			return must(sound(t, spec).Rotation(at))
		}
		scale := largestCompliance(sound(t, spec))
		near(t, "influence of a on b", influence(a, b), influence(b, a), scale, 1e-12)
	})
}

// TestEquilibrium: loads and reactions balance, the internal torque jumps by
// what acts at a section, and a rigidly held section does not turn.
func TestEquilibrium(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, _ := drawSpec(t)
		s := sound(t, spec)
		sum, size := floats{}.loads(spec), largestLoad(spec)
		for i, x := range s.SupportPlaces() {
			r := must(s.Reaction(x))
			sum += r
			phi := must(s.Rotation(x))
			want := 0.0
			if h := s.holds[i]; h.Elastic {
				want = -r / h.Stiffness
			}
			near(t, "rotation of a hold", phi, want, size*largestCompliance(s), 1e-12)
		}
		near(t, "loads and reactions", sum, 0, size, 1e-12)
		for _, l := range spec.Torques {
			before, after, err := s.TorqueSides(l.X)
			if err != nil {
				t.Fatal(err)
			}
			acting := 0.0
			for _, other := range spec.Torques {
				if math.Abs(other.X-l.X) < 1e-9*s.Length() {
					acting += other.Value
				}
			}
			if r, err := s.Reaction(l.X); err == nil {
				acting += r
			}
			near(t, "jump of the torque", before-after, acting, size, 1e-11)
		}
	})
}

// TestSuperposition: the twist is linear in the loads.
func TestSuperposition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, length := drawSpec(t)
		x := rapid.Float64Range(0, length).Draw(t, "x")
		s := sound(t, spec)
		whole, parts := must(s.Rotation(x)), 0.0
		alone := Spec{Pieces: spec.Pieces, Supports: spec.Supports}
		for _, l := range spec.Torques {
			alone.Torques = []Torque{l}
			parts += must(sound(t, alone).Rotation(x))
		}
		alone.Torques = nil
		for _, l := range spec.DistributedTorques {
			alone.DistributedTorques = []DistributedTorque{l}
			parts += must(sound(t, alone).Rotation(x))
		}
		near(t, "rotation", whole, parts, largestLoad(spec)*largestCompliance(s), 1e-12)
	})
}

// TestStressMaxIsGreatest: no section has more than the greatest stress, and
// one has it.
func TestStressMaxIsGreatest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, length := drawSpec(t)
		s := sound(t, spec)
		greatest, at := s.StressMax()
		near(t, "stress there", must(s.Stress(at)), greatest, greatest, 1e-9)
		for i := range 500 {
			if v := must(s.Stress(length * float64(i) / 499)); v > greatest*(1+1e-12) {
				t.Fatalf("%g Pa at %g of the length, %g Pa said to be greatest", v, float64(i)/499, greatest)
			}
		}
	})
}

// TestTaperMoments compares the closed forms with the quadrature rule, which
// does not include them.
func TestTaperMoments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		eps := rapid.OneOf(rapid.Float64Range(-0.3, 0.4), rapid.Float64Range(-1e-8, 1e-8)).Draw(t, "growth")
		s := rapid.Float64Range(0.01, 1).Draw(t, "s")
		var x, f [15]float64
		kronrodNodes(&x, 0, s)
		for i, v := range x {
			f[i] = math.Pow(1+eps*v, -4)
		}
		want := kronrodMoments(&f)
		got := taperMoments(s, eps)
		for k, scale := range []float64{s, s * s, s * s * s} {
			near(t, "moment", got[k], want[k]*scale, math.Abs(got[k]), 1e-13)
		}
	})
}
