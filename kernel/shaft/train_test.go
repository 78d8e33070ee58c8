package shaft

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// referenceTrain is the train of testdata/train.py.
func referenceTrain() ([]Spec, []Mesh) {
	return []Spec{
			{Pieces: []Piece{solid(0.044, 0.8, 79e9)}, Supports: []Support{{}}, Torques: []Torque{{X: 0.5712, Value: -202}}},
			{Pieces: []Piece{solid(0.030, 0.6, 79e9)}, Torques: []Torque{{X: 0.2, Value: 60}}},
			{Pieces: []Piece{solid(0.025, 0.5, 79e9)}, Supports: []Support{{X: 0.5, Elastic: true, Stiffness: 9000}}, Torques: []Torque{{X: 0.3, Value: 174.3}}},
			{Pieces: []Piece{solid(0.036, 0.9, 79e9)}, Supports: []Support{{X: 0.9}}},
		}, []Mesh{
			{A: 0, XA: 0.8, TeethA: 28, B: 1, XB: 0, TeethB: 18},
			{A: 1, XA: 0.35, TeethA: 40, B: 2, XB: 0.1, TeethB: 25},
			{A: 1, XA: 0.6, TeethA: 30, B: 3, XB: 0, TeethB: 45},
		}
}

func trainOf(t testing.TB, specs []Spec, meshes []Mesh) *Train {
	t.Helper()
	train, list := NewTrain(specs, meshes)
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	return train
}

// TestTrainReference: three held shafts around one that is not. The values are
// from testdata/train.py; the bounds hold them and are narrow.
func TestTrainReference(t *testing.T) {
	specs, meshes := referenceTrain()
	train := trainOf(t, specs, meshes)
	for i, want := range []struct{ twist, start float64 }{
		{-0.0007759725552333369942504, 0},
		{-0.00469534383045534659618, 0.001207068419251857546612},
		{0.001451647873167204674559, 0.007010038266354531594013},
		{-0.002325516940802326033046, 0.002325516940802326033046},
	} {
		s := train.Shafts[i]
		c := must(s.Certain())
		for _, v := range []struct {
			what      string
			got, want float64
			lo, hi    float64
		}{
			{"twist", s.TwistTotal(), want.twist, must(c.TwistTotal()).Lo, must(c.TwistTotal()).Hi},
			{"rotation", must(s.RotationAt(0)), want.start, must(c.rotation(0)).Lo, must(c.rotation(0)).Hi},
		} {
			if math.Abs(v.got-v.want) > 1e-15 {
				t.Errorf("shaft %d: %s %.17g, want %.17g", i, v.what, v.got, v.want)
			}
			if !(v.lo <= v.want && v.want <= v.hi) || v.hi-v.lo > 1e-13 {
				t.Errorf("shaft %d: %s within [%.17g, %.17g], want %.17g", i, v.what, v.lo, v.hi, v.want)
			}
		}
	}
	close64(t, "torque of the third on the second", train.Gears(1)[1].Value, -157.0317195908869977326)
	const stiff = 21552.84223829532164955
	close64(t, "stiffness at 0.2 m", must(train.Shafts[1].StiffnessAt(0.2)), stiff)
	if k := must(train.Shafts[1].StiffnessAtOver((&outward{}).given(0.2))); !k.Contains(stiff) || k.Hi-k.Lo > 1e-8*stiff {
		t.Errorf("stiffness within %v, want %v", k, stiff)
	}
}

// TestTrainSeries: a line held at its far end. Seen from the first shaft the twist
// of each shaft is divided by its turns for each turn of the first, and its
// stiffness counts by the square of these.
func TestTrainSeries(t *testing.T) {
	pieces := []Piece{solid(0.06, 1.6, 79e9), taper(0.054, 0.036, 0.8, 79e9), solid(0.042, 1.1, 79e9), tube(0.058, 0.044, 2.4, 79e9)}
	teeth := [][2]float64{{78, 30}, {40, 50}, {36, 36}}
	specs := make([]Spec, len(pieces))
	for i, p := range pieces {
		specs[i].Pieces = []Piece{p}
	}
	specs[0].Torques = []Torque{{Value: 1092}}
	specs[3].Supports = []Support{{X: 2.4}}
	var meshes []Mesh
	for i, z := range teeth {
		meshes = append(meshes, Mesh{A: i, B: i + 1, XA: pieces[i].Length, TeethA: z[0], TeethB: z[1]})
	}
	train := trainOf(t, specs, meshes)
	twist, flexibility, turns := 0.0, 0.0, 1.0
	for i, s := range train.Shafts {
		k := bar(t, 1, pieces[i]).Stiffness()
		close64(t, "internal torque", math.Abs(must(s.Torque(0))), 1092/math.Abs(turns))
		twist += 1092 / turns / k / turns
		flexibility += 1 / (k * turns * turns)
		if i < len(teeth) {
			turns *= -teeth[i][0] / teeth[i][1]
		}
	}
	close64(t, "rotation of the first", must(train.Shafts[0].RotationAt(0)), twist)
	close64(t, "stiffness of the line", must(train.Shafts[0].StiffnessAt(0)), 1/flexibility)
	// Three pairs change the sense three times, and a reaction is against the torque.
	close64(t, "reaction", must(train.Shafts[3].Reaction(2.4)), 1092/2.6/0.8)
}

// TestTrainProperty: in whatever tree, however held and loaded, the rims move
// together, the forces are equal, the work of the loads is the energy, and a unit
// torque at one place turns another as one there turns the first.
func TestTrainProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 5).Draw(t, "shafts")
		specs, lengths := make([]Spec, n), make([]float64, n)
		for i := range specs {
			specs[i].Pieces, lengths[i] = drawPieces(t)
			if i == 0 || rapid.Bool().Draw(t, "held") {
				specs[i].Supports = drawHolds(t, lengths[i])
			}
			for range rapid.IntRange(0, 2).Draw(t, "torques") {
				specs[i].Torques = append(specs[i].Torques, Torque{X: places(lengths[i]).Draw(t, "at"), Value: loads().Draw(t, "torque")})
			}
		}
		var meshes []Mesh
		for i := 1; i < n; i++ {
			above := rapid.IntRange(0, i-1).Draw(t, "above")
			meshes = append(meshes, Mesh{A: above, B: i, XA: places(lengths[above]).Draw(t, "gear A"), XB: places(lengths[i]).Draw(t, "gear B"),
				TeethA: float64(rapid.IntRange(12, 60).Draw(t, "teeth A")), TeethB: float64(rapid.IntRange(12, 60).Draw(t, "teeth B"))})
		}
		solve := func(specs []Spec) *Train {
			train, list := NewTrain(specs, meshes)
			if list.HasErrors() && list.FirstError().Code == CodeTeeth {
				t.Skip("held right at the gears")
			}
			if err := list.Err(); err != nil {
				t.Fatal(err)
			}
			return train
		}
		train := solve(specs)
		// A length of train can make of 1 N·m this torque at most.
		gain, compliance, load := 1.0, 0.0, 0.0
		for _, m := range meshes {
			gain *= max(m.TeethA/m.TeethB, m.TeethB/m.TeethA)
		}
		for i, s := range train.Shafts {
			compliance += largestCompliance(s)
			load += largestLoad(specs[i])
		}
		scale := gain * gain * compliance
		work, stored := 0.0, 0.0
		for i, s := range train.Shafts {
			for _, l := range specs[i].Torques {
				work += l.Value * must(s.Rotation(l.X)) / 2
			}
			stored += s.Energy()
			for _, h := range specs[i].Supports {
				if h.Elastic {
					r := must(s.Reaction(h.X))
					stored += r * r / h.Stiffness / 2
				}
			}
		}
		near(t, "work of the loads", work, stored, load*load*scale, 1e-9)
		next := make([]int, n)
		for _, m := range meshes {
			a, b := train.Shafts[m.A], train.Shafts[m.B]
			near(t, "rims", m.TeethA*must(a.Rotation(m.XA)), -m.TeethB*must(b.Rotation(m.XB)), 60*load*scale, 1e-9)
			onA, onB := train.Gears(m.A)[next[m.A]].Value, train.Gears(m.B)[next[m.B]].Value
			next[m.A]++
			next[m.B]++
			near(t, "forces", onA/m.TeethA, onB/m.TeethB, load*gain, 1e-12)
		}
		i, j := rapid.IntRange(0, n-1).Draw(t, "i"), rapid.IntRange(0, n-1).Draw(t, "j")
		x, y := places(lengths[i]).Draw(t, "x"), places(lengths[j]).Draw(t, "y")
		influence := func(on int, load float64, of int, at float64) float64 {
			alone := make([]Spec, n)
			for k := range specs {
				alone[k] = specs[k].unloaded()
			}
			alone[on].Torques = []Torque{{X: load, Value: 1}}
			return must(solve(alone).Shafts[of].Rotation(at))
		}
		near(t, "influence", influence(i, x, j, y), influence(j, y, i, x), scale, 1e-9)
	})
}

func TestTrainErrors(t *testing.T) {
	held := Spec{Pieces: []Piece{solid(0.03, 0.9, 79e9)}, Supports: []Support{{}}}
	free := Spec{Pieces: []Piece{solid(0.03, 0.9, 79e9)}}
	join := func(a, b int) Mesh { return Mesh{A: a, B: b, TeethA: 20, TeethB: 30} }
	for _, c := range []struct {
		name   string
		specs  []Spec
		meshes []Mesh
		want   string
	}{
		{"a ring", []Spec{held, free, free}, []Mesh{join(0, 1), join(1, 2), join(2, 0)}, "without a ring"},
		{"left out", []Spec{held, free, free}, []Mesh{join(0, 1), join(1, 0)}, "without a ring"},
		{"too many", make([]Spec, MaxTrain+1), make([]Mesh, MaxTrain), "gears join 21 shafts here, and at most 20 are solved together"},
		// Two shafts held at their gears mesh at one place of a third: what they
		// share of the torque there is open.
		{"shared at one place", []Spec{{Pieces: free.Pieces, Supports: []Support{{X: 0.9}}}, free, held, held},
			[]Mesh{join(0, 1), join(1, 2), join(1, 3)}, "held fast right at their gears"},
	} {
		t.Run(c.name, func(t *testing.T) {
			train, list := NewTrain(c.specs, c.meshes)
			if train != nil || !strings.Contains(list.Error(), c.want) {
				t.Errorf("%v, %q", train, list.Error())
			}
		})
	}
}

// TestGround: what is not held has no rotation, and what is held fast no stiffness.
func TestGround(t *testing.T) {
	piece := solid(0.03, 0.9, 79e9)
	loose := trainOf(t, []Spec{{Pieces: []Piece{piece}, Torques: []Torque{{Value: 20}}}, {Pieces: []Piece{piece}, Torques: []Torque{{X: 0.9, Value: 30}}}},
		[]Mesh{{A: 0, B: 1, XA: 0.9, TeethA: 20, TeethB: 30}}).Shafts[0]
	if _, err := loose.RotationAt(0); !errors.Is(err, ErrNotHeld) {
		t.Errorf("rotation: %v", err)
	}
	if _, err := loose.StiffnessAt(0); !errors.Is(err, ErrNotHeld) {
		t.Errorf("stiffness: %v", err)
	}
	if _, err := must(loose.Certain()).Rotation(point(0)); !errors.Is(err, ErrNotHeld) {
		t.Errorf("bounds of the rotation: %v", err)
	}
	fixed := build(t, Spec{Pieces: []Piece{piece}, Supports: []Support{{}}})
	var fast *HeldFastError
	if _, err := fixed.StiffnessAt(0); !errors.As(err, &fast) {
		t.Errorf("stiffness at the hold: %v", err)
	}
	if _, err := fixed.StiffnessAtOver(point(0)); !errors.As(err, &fast) {
		t.Errorf("bounds of it: %v", err)
	}
	close64(t, "stiffness of a bar", must(fixed.StiffnessAt(0.9)), bar(t, 1, piece).Stiffness())
	// Held at both ends, a section feels both parts side by side.
	both := build(t, Spec{Pieces: []Piece{piece}, Supports: []Support{{}, {X: 0.9}}})
	close64(t, "stiffness between two holds", must(both.StiffnessAt(0.3)), bar(t, 1, piece).Stiffness()*(3+1.5))
	tol, list := NewTolerant(Spec{Pieces: []Piece{piece}, Supports: []Support{{}}}, []Tolerance{{Of: ShearModulus, Low: 78e9, High: 80e9}})
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	got, k := must(tol.StiffnessAt(point(0.9))), must(fixed.StiffnessAt(0.9))
	if math.Abs(got.Lo/(k*78/79)-1) > 1e-12 || math.Abs(got.Hi/(k*80/79)-1) > 1e-12 {
		t.Errorf("stiffness of the tolerant bar %v, want %v and %v", got, k*78/79, k*80/79)
	}
}
