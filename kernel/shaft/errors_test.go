package shaft

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// written returns a Spec whose items are lines of a text, and the place
// of a line.
type written struct {
	text *source.Text
}

func (w written) line(n int) source.Span {
	start := 0
	for range n - 1 {
		start += strings.IndexByte(w.text.Content[start:], '\n') + 1
	}
	end := strings.IndexByte(w.text.Content[start:]+"\n", '\n') + start
	return source.Span{Text: w.text, Start: start, End: end}
}

// badShafts are shafts with something wrong, with the text an author might
// have written for them.
var badShafts = []struct {
	name, text string
	spec       func(w written) Spec
}{
	{"no pieces", "hold at 0 mm", func(w written) Spec {
		return Spec{Supports: []Support{{At: w.line(1)}}}
	}},
	{"no modulus", "solid 36 mm for 200 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.2, Outer: Uniform(0.036), At: w.line(1)}}}
	}},
	{"negative modulus", "solid 36 mm for 200 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.2, G: -79e9, Outer: Uniform(0.036), At: w.line(1)}}}
	}},
	{"no length", "solid 36 mm for 0 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{G: 79e9, Outer: Uniform(0.036), At: w.line(1)}}}
	}},
	{"length not finite", "solid 36 mm for 1 m/0", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: math.Inf(1), G: 79e9, Outer: Uniform(0.036), At: w.line(1)}}}
	}},
	{"point", "solid 36 mm to 0 mm for 200 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.2, G: 79e9, Outer: Profile{Start: 0.036}, At: w.line(1)}}}
	}},
	{"bore too wide", "hollow 30 mm to 40 mm bore 20 mm to 40 mm for 200 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.2, G: 79e9, Outer: Profile{Start: 0.03, End: 0.04}, Bore: &Profile{Start: 0.02, End: 0.04}, At: w.line(1)}}}
	}},
	{"bore negative", "hollow 30 mm bore -2 mm for 200 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.2, G: 79e9, Outer: Uniform(0.03), Bore: &Profile{Start: -0.002, End: -0.002}, At: w.line(1)}}}
	}},
	{"core too thick", "solid 30 mm for 200 mm\ncore 32 mm G 26 GPa", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.2, G: 79e9, Outer: Uniform(0.03), At: w.line(1), Core: &Core{Diameter: 0.032, G: 26e9, At: w.line(2)}}}}
	}},
	{"core in a tube", "hollow 30 mm bore 10 mm for 200 mm\ncore 5 mm G 26 GPa", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.2, G: 79e9, Outer: Uniform(0.03), Bore: &Profile{Start: 0.01, End: 0.01}, At: w.line(1), Core: &Core{Diameter: 0.005, G: 26e9, At: w.line(2)}}}}
	}},
	{"core thicker than a wave", "profile 30 mm + 10 mm·sin(π·x/(0.5 m)) for 1 m\ncore 25 mm G 26 GPa", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 1, G: 79e9, Outer: waveProfile(0.03, 0.01, 0.5), At: w.line(1), Core: &Core{Diameter: 0.025, G: 26e9, At: w.line(2)}}}}
	}},
	{"profile below zero", "profile 10 mm + 20 mm·sin(π·x/(0.5 m)) for 1 m", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 1, G: 79e9, Outer: waveProfile(0.01, 0.02, 0.5), At: w.line(1)}}}
	}},
	{"profile from zero", "profile 20 mm·sin(π·x/(0.5 m)) for 0.2 m", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.2, G: 79e9, Outer: waveProfile(0, 0.02, 0.5), At: w.line(1)}}}
	}},
	{"profile touches zero inside", "profile |x − 0.3 m| for 1 m", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 1, G: 79e9, At: w.line(1), Outer: Profile{Func: func(dst, x []float64) error {
			for i, v := range x {
				dst[i] = math.Abs(v - 0.3)
			}
			return nil
		}}}}}
	}},
	{"profile not a number", "profile 20 mm·√(0.5 − x/(1 m)) for 1 m", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 1, G: 79e9, At: w.line(1), Outer: Profile{Func: func(dst, x []float64) error {
			for i, v := range x {
				dst[i] = 0.02 * math.Sqrt(0.5-v)
			}
			return nil
		}}}}}
	}},
	{"profile fails", "profile d(x) for 1 m", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 1, G: 79e9, At: w.line(1), Outer: Profile{Func: func(dst, x []float64) error {
			var list source.List
			list.Addf(w.line(1), "elsewhere", "d is not defined here")
			return list
		}}}}}
	}},
	{"bore of a wave too wide", "profile 30 mm + 10 mm·sin(π·x/(0.5 m)) bore 25 mm for 1 m", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 1, G: 79e9, Outer: waveProfile(0.03, 0.01, 0.5), Bore: &Profile{Start: 0.025, End: 0.025}, At: w.line(1)}}}
	}},
	{"one station", "measured 0 mm: 36 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.3, G: 79e9, Stations: []Station{{Diameter: 0.036}}, At: w.line(1)}}}
	}},
	{"stations out of order", "measured 0 mm: 36 mm, 200 mm: 37 mm, 100 mm: 38 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{G: 79e9, Stations: []Station{{0, 0.036, noSpan}, {0.2, 0.037, noSpan}, {0.1, 0.038, noSpan}}, At: w.line(1)}}}
	}},
	{"stations begin late", "measured 50 mm: 36 mm, 200 mm: 37 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{G: 79e9, Stations: []Station{{0.05, 0.036, noSpan}, {0.2, 0.037, noSpan}}, At: w.line(1)}}}
	}},
	{"station of nothing", "measured 0 mm: 36 mm, 200 mm: 0 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{G: 79e9, Stations: []Station{{0, 0.036, noSpan}, {0.2, 0, noSpan}}, At: w.line(1)}}}
	}},
	{"section without size", "square 0 mm for 200 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 0.2, G: 79e9, Section: &Section{Kind: "square"}, At: w.line(1)}}}
	}},
	{"torque off the end", "solid 36 mm for 200 mm\nhold at 0 mm\ntorque 420 N·m at 1300 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Supports: []Support{{At: w.line(2)}}, Torques: []Torque{{1.3, 420, w.line(3)}}}
	}},
	{"spread off the end", "solid 36 mm for 200 mm\nhold at 0 mm\ntorque 150 N·m/m from 100 mm to 1000 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Supports: []Support{{At: w.line(2)}}, DistributedTorques: []DistributedTorque{{0.1, 1, 150, 150, w.line(3)}}}
	}},
	{"spread backwards", "solid 36 mm for 200 mm\nhold at 0 mm\ntorque 150 N·m/m from 100 mm to 50 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Supports: []Support{{At: w.line(2)}}, DistributedTorques: []DistributedTorque{{0.1, 0.05, 150, 150, w.line(3)}}}
	}},
	{"hold off the end", "solid 36 mm for 200 mm\nhold at -10 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Supports: []Support{{X: -0.01, At: w.line(2)}}}
	}},
	{"held twice", "solid 36 mm for 200 mm\nhold at 0 mm\nhold at 0 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Supports: []Support{{At: w.line(2)}, {At: w.line(3)}}}
	}},
	{"hold of no stiffness", "solid 36 mm for 200 mm\nhold at 0 mm stiffness 0 N·m", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Supports: []Support{{Elastic: true, At: w.line(2)}}}
	}},
	{"one torque, no hold", "solid 36 mm for 200 mm\ntorque 420 N·m at 200 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Torques: []Torque{{0.2, 420, w.line(2)}}}
	}},
	{"no balance", "solid 36 mm for 200 mm\ntorque -400 N·m at 0 mm\ntorque 420 N·m at 200 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Torques: []Torque{{0, -400, w.line(2)}, {0.2, 420, w.line(3)}}, At: w.line(1).To(w.line(3))}
	}},
	{"torque not finite", "solid 36 mm for 200 mm\nhold at 0 mm\ntorque 1 N·m/0 at 0 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Supports: []Support{{At: w.line(2)}}, Torques: []Torque{{0, math.NaN(), w.line(3)}}}
	}},
	{"limit of nothing", "solid 36 mm for 200 mm\nhold at 0 mm\nallow stress 0 MPa", func(w written) Spec {
		return Spec{Pieces: []Piece{solidAt(w)}, Supports: []Support{{At: w.line(2)}}, Limits: []Limit{{Stress, 0, w.line(3)}}}
	}},
	{"negative yield stress", "yields at -150 MPa\nsolid 36 mm for 200 mm", func(w written) Spec {
		p := yieldingAt(w)
		p.Yield = -150e6
		return Spec{Pieces: []Piece{p}}
	}},
	{"all of the section yields", "yields at 150 MPa\nsolid 36 mm for 200 mm\nhold at 0 mm\ntorque 1900 N·m at 200 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{yieldingAt(w)}, Supports: []Support{{At: w.line(3)}}, Torques: []Torque{{0.2, 1900, w.line(4)}}}
	}},
	{"all of a tapered end yields, two torques", "yields at 150 MPa\nsolid 36 mm to 50 mm for 200 mm\nhold at 0 mm\ntorque 1900 N·m at 200 mm\ntorque 10 N·m at 100 mm", func(w written) Spec {
		p := yieldingAt(w)
		p.Outer.End = 0.05
		return Spec{Pieces: []Piece{p}, Supports: []Support{{At: w.line(3)}}, Torques: []Torque{{0.2, 1900, w.line(4)}, {0.1, 10, w.line(5)}}}
	}},
	{"yields between two supports", "yields at 150 MPa\nsolid 36 mm for 200 mm\nhold at 0 mm\nhold at 200 mm\ntorque 2900 N·m at 100 mm", func(w written) Spec {
		return Spec{Pieces: []Piece{yieldingAt(w)}, Supports: []Support{{At: w.line(3)}, {X: 0.2, At: w.line(4)}}, Torques: []Torque{{0.1, 2900, w.line(5)}}}
	}},
	{"a square yields", "yields at 150 MPa\nsquare 36 mm for 200 mm\nhold at 0 mm\ntorque 1900 N·m at 200 mm", func(w written) Spec {
		p := yieldingAt(w)
		p.Section, _ = Square(0.036)
		return Spec{Pieces: []Piece{p}, Supports: []Support{{At: w.line(3)}}, Torques: []Torque{{0.2, 1900, w.line(4)}}}
	}},
	{"too large for numbers", "solid 1e-150 m for 1 m\nhold at 0 mm\ntorque 1 N·m at 1 m", func(w written) Spec {
		return Spec{Pieces: []Piece{{Length: 1, G: 1, Outer: Uniform(1e-150), At: w.line(1)}}, Supports: []Support{{At: w.line(2)}}, Torques: []Torque{{1, 1, w.line(3)}}, At: w.line(1)}
	}},
}

func solidAt(w written) Piece {
	return Piece{Length: 0.2, G: 79e9, Outer: Uniform(0.036), At: w.line(1)}
}

// yieldingAt is solidAt on the second line, with a yield stress on the first.
func yieldingAt(w written) Piece {
	return Piece{Length: 0.2, G: 79e9, Yield: 150e6, Outer: Uniform(0.036), At: w.line(2), YieldAt: w.line(1)}
}

func TestErrors(t *testing.T) {
	var b strings.Builder
	for _, c := range badShafts {
		w := written{source.NewText("S", c.text)}
		s, list := New(c.spec(w))
		if s != nil || !list.HasErrors() {
			t.Errorf("%s: no error", c.name)
			continue
		}
		fmt.Fprintf(&b, "== %s\n", c.name)
		for _, d := range list {
			fmt.Fprintf(&b, "[%s] %s", d.Code, d.Render())
			if !d.Span.IsValid() && c.name != "no pieces" {
				t.Errorf("%s: %q has no place", c.name, d.Message)
			}
		}
	}
	const golden = "testdata/errors.golden"
	if *update {
		if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.String(); got != string(want) {
		t.Errorf("messages differ from %s; run with -update and look at the difference:\n%s", golden, got)
	}
}

func TestShowInTheReadersUnits(t *testing.T) {
	spec := Spec{
		Pieces: []Piece{solid(0.036, 0.2, 79e9)}, Supports: []Support{{}}, Torques: []Torque{{X: 1.3, Value: 420}},
		Show: func(v float64, q Quantity) string { return fmt.Sprintf("%.4g mm", v*1000) },
	}
	_, list := New(spec)
	if got, want := list.Error(), "this torque acts at x = 1300 mm, but the shaft runs from 0 to 200 mm: keep between 0 and 200 mm"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestTooManyPieces(t *testing.T) {
	pieces := make([]Piece, MaxPieces+1)
	for i := range pieces {
		pieces[i] = solid(0.03, 0.01, 79e9)
	}
	if _, list := New(Spec{Pieces: pieces}); !list.HasErrors() || list.FirstError().Code != CodeEmpty {
		t.Errorf("%v", list)
	}
	if _, list := New(Spec{Pieces: pieces[1:]}); list.HasErrors() {
		t.Errorf("%v", list)
	}
}
