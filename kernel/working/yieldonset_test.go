package working_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

func shaftCell(name, text string) working.Cell {
	return working.Cell{ID: "s-" + name, Kind: working.Shaft, Name: name, Text: source.NewText("shaft "+name, text)}
}

// Shafts of which a part yields from the last millimetre to almost all of the section:
// each has a value, certain at the four digits shown, within bounds that hold what
// mpmath has (testdata/yieldonset.py).
func TestYieldOnset(t *testing.T) {
	pieces := map[string]string{
		"taper":       "solid 36 mm to 54 mm for 800 mm",
		"distributed": "solid 36 mm for 800 mm",
		"measured":    "measured 0 mm: 36.1 mm, 150 mm: 37.9 mm, 300 mm: 40.2 mm, 800 mm: 45 mm",
		"profile":     "profile 45 mm - 9 mm·sin(π·x/(0.8 m)) for 800 mm",
		"hollow":      "hollow 54 mm to 36 mm bore 30 mm for 800 mm",
	}
	file, err := os.Open("testdata/yieldonset.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if rows = rows[1:]; len(rows) != 200 {
		t.Fatalf("%d rows, want 200", len(rows))
	}
	for kind, piece := range pieces {
		t.Run(kind, func(t *testing.T) {
			var cells []working.Cell
			var wants [][]string
			for _, row := range rows {
				if row[0] != kind {
					continue
				}
				load := "torque " + row[1] + " N·m at 800 mm"
				if kind == "distributed" {
					load = "distributed torque " + row[1] + " N·m/m from 0 mm to 800 mm"
				}
				name := fmt.Sprintf("S%d", len(wants))
				cells = append(cells, shaftCell(name, "G = 79 GPa\nyields at 150 MPa\n"+piece+"\nfixed at 0 mm\n"+load),
					calcCell(name, name+".twist\n"+name+".permanent_twist\n"+name+".permanent_twist(300 mm)"))
				wants = append(wants, row)
			}
			w := newWorking(t, cells...)
			for i, row := range wants {
				name := fmt.Sprintf("S%d", i)
				for _, r := range append(w.Results("s-"+name), w.Results(name)...) {
					if d := r.Diagnostics.FirstError(); d != nil {
						t.Fatalf("under %s: %s", row[1], d.Render())
					}
				}
				scale, _ := strconv.ParseFloat(row[2], 64)
				for k, r := range w.Results(name) {
					want, err := strconv.ParseFloat(row[2+k], 64)
					if err != nil {
						t.Fatal(err)
					}
					if off := math.Abs(r.Value.Number - want); !(off <= 1e-12*math.Abs(want)+1e-17*scale) {
						t.Errorf("under %s: %s = %g, want %g", row[1], r.Text, r.Value.Number, want)
					}
					c, _ := r.Certainty()
					if !c.Certain && math.Abs(want) > 1e-12*scale || !encloses(c.Low, c.High, exact(t, row[2+k])) {
						t.Errorf("under %s: from %g to %g, certain %t (%s), want %s", row[1], c.Low, c.High, c.Certain, c.Reason, row[2+k])
					}
				}
			}
		})
	}
}

// A torque that cannot be told from the fully plastic one is refused; a little below it
// the twist is an estimate, and is marked wherever the shaft or a drawing of it shows it.
func TestNearlyAllYields(t *testing.T) {
	text := func(load string) string {
		return "G = 80 GPa\nyields at 100 MPa\nsolid 20 mm for 1 m\nfixed at 0 m\n" + load
	}
	full := "torque 100 MPa·π·(20 mm)^3/12"
	for share, want := range map[string]string{
		"":             "cannot be told apart",
		"·(1 − 1e-15)": "cannot be told apart",
		"·(1 + 1e-15)": "cannot be told apart",
		"·(1 + 1e-12)": "it cannot carry more",
	} {
		w := newWorking(t, shaftCell("C", text(full+share+" at 1 m")))
		if d := w.Results("s-C")[0].Diagnostics.FirstError(); d == nil || d.Code != shaft.CodePlastic || !strings.Contains(d.Message, want) {
			t.Errorf("%s: %v, want %q", share, d, want)
		}
	}
	w := newWorking(t, shaftCell("C", text(full+"·(1 − 1e-13) at 1 m")), calcCell("a", "C.twist\ndraw C\ndraw C twisted 2 times"))
	if got := w.Results("s-C")[0].Text; strings.Count(got, working.Mark) != 2 || !strings.HasPrefix(got, "length 1 m, twist "+working.Mark) {
		t.Errorf("the shaft says %q, with less than two marks", got)
	}
	results := w.Results("a")
	if c, _ := results[0].Certainty(); c.Certain {
		t.Errorf("%s is certain", results[0].Text)
	}
	for _, want := range []string{"turns by " + working.Mark, "diagram of twist: least " + working.Mark} {
		if said := results[1].Figure.Description(); !strings.Contains(said, want) {
			t.Errorf("%q lacks %q", said, want)
		}
	}
	svg, err := results[2].Figure.SVG(figure.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(svg), working.Mark) {
		t.Error("no mark in the drawing of the twist")
	}
}

// What comes from readings is an estimate wherever a shaft shows it, and nothing else is.
func TestEstimatesOnShafts(t *testing.T) {
	w := newWorking(t, calcCell("r", "readings r of x, y: 1: 2.1, 2: 3.9, 3: 6.2, 4: 7.9\nline f through r\nM = f.slope·(70 N·m)"),
		shaftCell("C", "G = 80 GPa\nsolid 20 mm for 1 m\nfixed at 0 m\ntorque M at 1 m\ntorque 30 N·m at 500 mm"), calcCell("a", "C.length\ndraw C"),
		shaftCell("D", "G = 80 GPa\nsolid 20 mm for f.slope·(1 m)\nfixed at 0 m\ntorque 30 N·m at 500 mm"), calcCell("b", "D.length"))
	if got := w.Results("s-C")[0].Text; !strings.HasPrefix(got, "length 1 m, twist "+working.Mark) {
		t.Errorf("the shaft says %q", got)
	}
	if c, _ := w.Results("a")[0].Certainty(); !c.Certain {
		t.Errorf("the length is no estimate: %s", c.Reason)
	}
	said := w.Results("a")[1].Figure.Description()
	for _, want := range []string{"Torque " + working.Mark, "Torque 30 N·m", "turns by " + working.Mark, "shear stress is " + working.Mark, "greatest " + working.Mark} {
		if !strings.Contains(said, want) {
			t.Errorf("%q lacks %q", said, want)
		}
	}
	length, _ := w.Results("b")[0].Certainty()
	if got := w.Results("s-D")[0].Text; !strings.HasPrefix(got, "length "+working.Mark) || length.Certain {
		t.Errorf("the shaft says %q", got)
	}
}
