package working_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// Every shaft of the table, written as a shaft cell, through the whole way
// from text to value. The provenance of the table is at its top: slice
// theory at 50 digits.
func TestShaftCellsAgainstOracle(t *testing.T) {
	f, err := os.Open("../shaft/testdata/shafts.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 151 {
		t.Fatalf("%d rows, want 150 and a header", len(rows))
	}
	for _, row := range rows[1:] {
		t.Run(row[0], func(t *testing.T) { checkOracle(t, row) })
	}
}

func checkOracle(t *testing.T, row []string) {
	cell := working.Cell{ID: "S", Kind: working.Shaft, Name: "S",
		Text: source.NewText(row[0], strings.ReplaceAll(row[1], " ; ", "\n"))}
	lines := "S.twist\nS.twist(S.length/2)\nlargest of |S.twist(x)| for x from 0 m to S.length\nS.length\n"
	for i, line := range strings.Split(cell.Text.Content, "\n") {
		if strings.HasPrefix(line, "hold at ") && (i > 0) {
			lines += "S.reaction(" + strings.TrimPrefix(line, "hold at ") + ")\n"
		}
	}
	w := newWorking(t, calcCell("a", lines+"expect S.twist within S.bracket(16)"), cell)
	results := w.Results("a")
	for _, r := range append(results, w.Results("S")...) {
		if d := r.Diagnostics.FirstError(); d != nil {
			t.Fatal(d.Render())
		}
	}
	want := func(column int) float64 {
		x, err := strconv.ParseFloat(row[column], 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	scale := math.Max(results[2].Value.Number, 1e-300)
	near := func(what string, got, want, scale float64) {
		if math.Abs(got-want) > 1e-12*scale {
			t.Errorf("%s is %.17g, want %.17g (off by %.1e of the scale)", what, got, want, math.Abs(got-want)/scale)
		}
	}
	near("the twist of the far end", results[0].Value.Number, want(3), scale)
	near("the twist of mid-length", results[1].Value.Number, want(4), scale)
	near("the length", results[3].Value.Number, want(2), want(2))
	reactions := results[4 : len(results)-1]
	load := 0.0
	for i := range reactions {
		load = math.Max(load, math.Abs(want(5+i)))
	}
	for i, r := range reactions {
		near("the reaction", r.Value.Number, want(5+i), load)
	}
	if v := results[len(results)-1].Verdict; !v.Holds {
		t.Errorf("the twist is not in the bracket: %s", v.Margin)
	}
}
