package shaft

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/source"
)

// A pair is a train of two shafts.
type pair struct {
	A, B             *Shaft
	TorqueA, TorqueB float64 // of the mesh on each shaft
}

func newPair(a, b Spec, m Mesh) (*pair, source.List) {
	m.A, m.B = 0, 1
	train, list := NewTrain([]Spec{a, b}, []Mesh{m})
	if train == nil {
		return nil, list
	}
	return &pair{train.Shafts[0], train.Shafts[1], train.Gears(0)[0].Value, train.Gears(1)[0].Value}, list
}

func paired(t *testing.T, a, b Spec, m Mesh) *pair {
	t.Helper()
	p, list := newPair(a, b, m)
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	return p
}

// TestGearsInSeries: a free input shaft drives one that is held. The far end of
// the input turns by its own twist and by the output's twist taken up the
// ratio; seen from there the output is (z_A/z_B)² times as stiff. From memory,
// as in Beer & Johnston, Sample Problem 3.4.
func TestGearsInSeries(t *testing.T) {
	in, out := solid(0.02, 0.6, 79e9), solid(0.03, 0.9, 79e9)
	mesh := Mesh{XA: 0.6, XB: 0, TeethA: 20, TeethB: 50}
	p := paired(t,
		Spec{Pieces: []Piece{in}, Torques: []Torque{{X: 0, Value: 60}}},
		Spec{Pieces: []Piece{out}, Supports: []Support{{X: 0.9}}}, mesh)
	kIn, kOut := bar(t, 1, in).Stiffness(), bar(t, 1, out).Stiffness()
	close64(t, "torque on A", p.TorqueA, -60)
	close64(t, "torque on B", p.TorqueB, -150)
	close64(t, "rotation of the output gear", must(p.B.Rotation(0)), -150/kOut)
	close64(t, "rotation of the input gear", must(p.A.Rotation(0.6)), 150/kOut*2.5)
	close64(t, "rotation of the input", must(p.A.Rotation(0)), 60/kIn+150/kOut*2.5)
	close64(t, "reaction", must(p.B.Reaction(0.9)), 150)
	// The same the other way round.
	mesh.XA, mesh.XB, mesh.TeethA, mesh.TeethB = mesh.XB, mesh.XA, mesh.TeethB, mesh.TeethA
	q := paired(t,
		Spec{Pieces: []Piece{out}, Supports: []Support{{X: 0.9}}},
		Spec{Pieces: []Piece{in}, Torques: []Torque{{X: 0, Value: 60}}}, mesh)
	close64(t, "rotation of the input, exchanged", must(q.B.Rotation(0)), must(p.A.Rotation(0)))
}

// TestGearsBalance: two free shafts whose torques balance over the gears.
func TestGearsBalance(t *testing.T) {
	a := Spec{Pieces: []Piece{solid(0.02, 0.6, 79e9)}, Torques: []Torque{{X: 0, Value: 60}}}
	b := Spec{Pieces: []Piece{solid(0.03, 0.9, 79e9)}, Torques: []Torque{{X: 0.9, Value: 150}}}
	mesh := Mesh{XA: 0.6, XB: 0, TeethA: 20, TeethB: 50}
	p := paired(t, a, b, mesh)
	close64(t, "torque on B", p.TorqueB, -150)
	b.Torques[0].Value = 140
	_, list := newPair(a, b, mesh)
	if list.FirstError() == nil || list.FirstError().Code != CodeBalance || !strings.Contains(list.Error(), "-10 N·m is left over") {
		t.Errorf("%v", list)
	}
}

// TestGearsMeshProperty: however both shafts are held and loaded, the rims move
// together, the forces are equal, and the work of the loads is the energy.
func TestGearsMeshProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, la := drawSpec(t)
		b, lb := drawSpec(t)
		mesh := Mesh{
			XA: places(la).Draw(t, "gear A"), XB: places(lb).Draw(t, "gear B"),
			TeethA: float64(rapid.IntRange(12, 90).Draw(t, "teeth A")), TeethB: float64(rapid.IntRange(12, 90).Draw(t, "teeth B")),
		}
		p, list := newPair(a, b, mesh)
		if list.HasErrors() && list.FirstError().Code == CodeTeeth {
			t.Skip("both held right at their gears")
		}
		if err := list.Err(); err != nil {
			t.Fatal(err)
		}
		scale := (largestLoad(a)*largestCompliance(p.A) + largestLoad(b)*largestCompliance(p.B)) * 90
		near(t, "rims", mesh.TeethA*must(p.A.Rotation(mesh.XA)), -mesh.TeethB*must(p.B.Rotation(mesh.XB)), scale, 1e-10)
		near(t, "forces", p.TorqueA/mesh.TeethA, p.TorqueB/mesh.TeethB, math.Abs(p.TorqueA), 1e-14)
	})
}

func TestGearErrors(t *testing.T) {
	held := Spec{Pieces: []Piece{solid(0.03, 0.9, 79e9)}, Supports: []Support{{}}}
	free := Spec{Pieces: []Piece{solid(0.03, 0.9, 79e9)}}
	for _, c := range []struct {
		name string
		a, b Spec
		mesh Mesh
		want string
	}{
		{"no teeth", held, free, Mesh{TeethA: 20}, "a gear with 0 teeth does not mesh: give both gears a number of teeth above zero"},
		{"off shaft A", held, held, Mesh{XA: 2, XB: 0.1, TeethA: 20, TeethB: 30}, "a gear of this pair sits at x = 2 m, but the shaft runs from 0 to 0.9 m: keep between 0 and 0.9 m"},
		{"off shaft B", held, free, Mesh{XA: 0.1, XB: 2, TeethA: 20, TeethB: 30}, "a gear of this pair sits at x = 2 m, but the shaft runs from 0 to 0.9 m: keep between 0 and 0.9 m"},
		{"held at both gears", held, held, Mesh{TeethA: 20, TeethB: 30}, "both shafts are held fast right at their gears, so the gears carry nothing that can be worked out: move or remove one of the holds"},
		{"bad shaft", Spec{}, free, Mesh{TeethA: 20, TeethB: 30}, "this shaft has no pieces: add one, for example “solid 36 mm for 200 mm”"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, list := newPair(c.a, c.b, c.mesh)
			if p != nil || list.Error() != c.want {
				t.Errorf("%v, %q", p, list.Error())
			}
		})
	}
}
