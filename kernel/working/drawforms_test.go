package working

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/figuretest"
	"shaftbook/kernel/source"
)

// drawnBy evaluates one statement about the shaft S.
func drawnBy(t *testing.T, shaftText, statement string) Result {
	t.Helper()
	w := New(Limits{})
	w.SetCells([]Cell{
		{ID: "shaft", Kind: Shaft, Name: "S", Text: source.NewText("", shaftText)},
		{ID: "draw", Text: source.NewText("", statement+"\nprefer mm, MPa, deg, N·m")},
	})
	if err := w.Evaluate(context.Background(), func(Result) {}); err != nil {
		t.Fatal(err)
	}
	for _, r := range w.Results("shaft") {
		if d := r.Diagnostics.FirstError(); d != nil {
			t.Fatal(d.Render())
		}
	}
	return w.Results("draw")[0]
}

const (
	taperShaft   = "G = 79 GPa\nsolid 36 mm to 54 mm for 800 mm\nfixed at 0 mm\ntorque 420 N·m at 800 mm"
	evenShaft    = "G = 79 GPa\nsolid 36 mm for 800 mm\nhold at 0 mm\ntorque 420 N·m at 800 mm"
	pipeShaft    = "G = 79 GPa\nhollow 100 mm bore 80 mm for 1 m\nhold at 0 mm\ntorque −40 N·m at 1 m"
	coredShaft   = "G = 11400000 lbf/in^2\nsolid 2 in for 4 ft\ncore 1 in G 5200000 lbf/in^2\nhold at 0 mm\ntorque 250 lbf·ft at 4 ft"
	doubleShaft  = "G = 79 GPa\nsolid 50 mm for 400 mm\nsolid 36 mm to 54 mm for 600 mm\nfixed at 0 mm\nfixed at 1 m\ntorque 420 N·m at 400 mm\ndistributed torque 150 N·m/m to 0 N·m/m from 200 mm to 900 mm"
	yieldShaft   = "G = 79 GPa\nyields at 150 MPa\nsolid 36 mm for 800 mm\nfixed at 0 mm\ntorque 1650 N·m at 800 mm"
	measuredText = "G = 79 GPa\nmeasured 0 mm: 36.1 mm, 150 mm: 37.9 mm, 300 mm: 40.2 mm\nhold at 0 mm\ntorque 420 N·m at 300 mm"
)

// coneShaft is a tube of 60 mm to 44 mm with a bore of its own.
func coneShaft(bore string) string {
	return "G = 79 GPa\nhollow 60 mm to 44 mm bore " + bore + " for 0.6 m\nfixed at 0 m\ntorque 300 N·m at 0.6 m"
}

func TestDrawForms(t *testing.T) {
	cases := []struct {
		name, shaft, statement string
		says                   []string // of the caption or the description
	}{
		// 16·T/(π·d³) = 45.85 MPa.
		{"solid", evenShaft, "draw section of S at 400 mm", []string{"Cross-section of S at x = 400 mm.", "in a straight line to 45.85 MPa at the surface"}},
		// R. C. Hibbeler, Mechanics of Materials (from memory): 0.276 and 0.345 MPa; below it
		// 451, 989 and 1977 psi.
		{"pipe", pipeShaft, "draw section of S at 0.5 m", []string{"0.2760 MPa at the bore", "to 0.3451 MPa at the surface"}},
		{"core", coredShaft, "draw section of S at 2 ft", []string{"jumps from 3.109 MPa to 6.816 MPa", "the greatest is 13.63 MPa at the surface"}},
		// T = 4/3·T_Y·(1 − (ρ/c)³/4): 1650 N·m leaves a core of 26.47 mm.
		{"yielding", yieldShaft, "draw section of S at 0 mm", []string{"150 MPa at the rim of the elastic core, ⌀26.47 mm", "after unloading 17.54 MPa remains at that rim and −30.11 MPa at the surface"}},
		{"square", strings.Replace(evenShaft, "solid 36", "square 40", 1), "draw section of S at 0 mm", []string{"31.53 MPa, in the middle of each side"}},
		{"rectangle", strings.Replace(evenShaft, "solid 36 mm", "rectangle 60 mm by 40 mm", 1), "draw section of S at 0 mm", []string{"in the middle of each longer side"}},
		{"tube", strings.Replace(evenShaft, "solid 36 mm", "tube area 17850 mm² around 514 mm wall 8 mm", 1), "draw section of S at 0 mm", []string{"along the wall", "1.471 MPa"}},
		// 3·T/(s·t²) = 3·420 N·m/(0.514 m·(8 mm)²)
		{"open wall", strings.Replace(evenShaft, "solid 36 mm", "open wall 8 mm along 514 mm", 1), "draw section of S at 0 mm", []string{"one way on one face of the wall and back on the other, 38.30 MPa, and is 0 on the median line"}},
		{"channel", strings.Replace(evenShaft, "solid 36 mm", "open wall 6 mm along 80 mm and wall 4 mm along 60 mm and wall 6 mm along 80 mm", 1), "draw section of S at 0 mm", []string{"one way on one face"}},
		{"at rest", "G = 79 GPa\nsolid 36 mm for 800 mm", "draw section of S at 0 mm", []string{"No torque acts on this section"}},
		{"cut", taperShaft, "draw cut of S at 300 mm", []string{"On the face of the left part acts +420 N·m, on that of the right part −420 N·m", "the torques on each part add up to 0", "Left part: −420 N·m + 420 N·m = 0", "Right part: 420 N·m − 420 N·m = 0"}},
		{"cut at a torque", doubleShaft, "draw cut of S at 400 mm", []string{"the cut is just beyond it"}},
		{"cut of a distributed torque", doubleShaft, "draw cut of S at 550 mm", []string{"Right part: ", "= 0."}},
		{"turned", evenShaft, "draw S before and after", []string{"becomes a helix"}},
		{"turned taper", taperShaft, "draw S before and after twisted 40 times", []string{"becomes a curve"}},
		{"turned between supports", doubleShaft, "draw S before and after", []string{"becomes a curve"}},
		{"untwisted", "G = 79 GPa\nsolid 36 mm for 800 mm", "draw S before and after", []string{"Nothing twists this shaft"}},
		{"companions", taperShaft, "draw S between uniform companions", []string{"nearer to the thick one: 0.34 of the way from thick to thin"}},
		{"companions of a measured shaft", measuredText, "draw S between uniform companions", []string{"of the way from thick to thin"}},
		// 0.3817 and 0.2813 by 200 000 middles of J ∝ D⁴ − b⁴, worked out apart from this code.
		{"companions of a hollow taper", coneShaft("44 mm to 26 mm"), "draw S between uniform companions", []string{"nearer to the stiff one: 0.38 of the way"}},
		{"companions of a cone that is stiffest inside", coneShaft("54 mm to 0 mm"), "draw S between uniform companions", []string{"nearer to the stiff one: 0.28 of the way from stiff to soft"}},
		{"companions of a uniform shaft", evenShaft, "draw S between uniform companions", []string{"all three twist alike"}},
		{"companions between supports", doubleShaft, "draw S between uniform companions", nil},
		{"alone", taperShaft, "draw S alone", []string{"The far end turns by 0.6933 deg"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := drawnBy(t, c.shaft, c.statement)
			if r.Figure == nil {
				t.Fatalf("no figure: %v", r.Diagnostics)
			}
			said := r.Figure.Caption() + "\n" + r.Figure.Description()
			for _, want := range c.says {
				if !strings.Contains(said, want) {
					t.Errorf("it says %q, without %q", said, want)
				}
			}
			for _, p := range []figure.Picture{r.Figure, figure.Bare(r.Figure)} {
				for _, o := range figuretest.Places {
					wrong, err := figuretest.Labels(p, o)
					if err != nil {
						t.Fatal(err)
					}
					for _, w := range wrong {
						t.Error(w)
					}
					svg, err := p.SVG(o)
					if err != nil {
						t.Fatal(err)
					}
					if o.Part != figure.DiagramPart && !o.Paper {
						figuretest.CheckStructure(t, svg)
					}
				}
			}
			if len(r.Figure.Data().Headers) == 0 || r.Figure.Description() == "" {
				t.Error("nothing for readers who cannot see it")
			}
		})
	}
}

// TestDrawAlone: the three diagrams are left out.
func TestDrawAlone(t *testing.T) {
	with, without := drawnBy(t, taperShaft, "draw S"), drawnBy(t, taperShaft, "draw S alone")
	if n := len(with.Figure.Data().Further); n != 3 {
		t.Errorf("draw S has %d diagrams", n)
	}
	if n := len(without.Figure.Data().Further); n != 0 {
		t.Errorf("draw S alone has %d diagrams", n)
	}
}

func TestDrawFormsRefused(t *testing.T) {
	profile := "G = 79 GPa\nprofile 40 mm + 6 mm·sin(π·x/(0.5 m)) for 0.5 m\nhold at 0 mm\ntorque 42 N·m at 0.5 m"
	square := strings.Replace(evenShaft, "solid 36", "square 40", 1)
	cases := []struct{ name, shaft, statement, at, says string }{
		{"a section off the shaft", evenShaft, "draw section of S at 900 mm", "900 mm", "off the shaft"},
		{"a cut off the shaft", evenShaft, "draw cut of S at −1 mm", "−1 mm", "off the shaft"},
		{"a cut at an end", evenShaft, "draw cut of S at 800 mm", "800 mm", "leaves nothing on one side"},
		{"a place that is no length", evenShaft, "draw section of S at 3 s", "3 s", ""},
		{"a square before and after", square, "draw S before and after", "draw S before and after", "for round shafts"},
		{"a square between companions", square, "draw S between uniform companions", "draw S between uniform companions", "for round shafts"},
		{"a profile between companions", profile, "draw S between uniform companions", "draw S between uniform companions", "not known in advance"},
		{"no times", evenShaft, "draw S before and after twisted 0 times", "0", "above zero"},
		{"not a shaft", evenShaft, "draw section of Q at 3 mm", "Q", ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := drawnBy(t, c.shaft, c.statement)
			d := r.Diagnostics.FirstError()
			if d == nil {
				t.Fatal("no error")
			}
			if d.Span.Content() != c.at || !strings.Contains(d.Message, c.says) {
				t.Errorf("%s", d.Render())
			}
		})
	}
}
