package working_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/big"
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// TestGrooves: slots, smooth grooves and soft necks, which a rule of fixed points
// walks past or drowns. Reference: slice theory at 40 digits, see grooves.py.
// Every value must be right to 1e-12 of the largest twist (the stress to 1e-6),
// its bounds must hold the reference, and it must be certain.
func TestGrooves(t *testing.T) {
	f, err := os.Open("../shaft/testdata/grooves.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) != 43 {
		t.Fatal(len(rows), err)
	}
	for _, row := range rows {
		t.Run(row[0], func(t *testing.T) { checkGroove(t, row) })
	}
}

func checkGroove(t *testing.T, row []string) {
	cell := working.Cell{ID: "S", Kind: working.Shaft, Name: "S",
		Text: source.NewText(row[0], strings.ReplaceAll(row[1], " ; ", "\n"))}
	lines := fmt.Sprintf("S.twist\nS.twist(%s m)\nS.stress_max\nlargest of |S.twist(x)| for x from 0 m to S.length\nexpect S.twist within S.bracket(100)\nexpect S.twist within S.bracket(1)", row[4])
	w := newWorking(t, calcCell("a", lines), cell)
	results := w.Results("a")
	for _, r := range append(results, w.Results("S")...) {
		if d := r.Diagnostics.FirstError(); d != nil {
			t.Fatal(d.Render())
		}
	}
	scale := results[3].Value.Number
	for i, column := range []int{2, 3, 5} {
		r := results[i]
		want := exact(t, row[column])
		near, _ := want.Float64()
		allowed := 1e-12 * scale
		if column == 5 {
			allowed = 1e-6 * near
		}
		if off := math.Abs(r.Value.Number - near); off > allowed {
			t.Errorf("%s is %v, want %v", r.Plain(), r.Value.Number, near)
		}
		c, ok := r.Certainty()
		if !ok || !c.Certain {
			t.Errorf("%s is not certain: %s", r.Plain(), c.Reason)
		}
		if ok && c.High > 0 && !encloses(c.Low, c.High, want) {
			slack := new(big.Rat).SetFloat64(1e-24 * math.Abs(near)) // the reference has 25 digits
			if !encloses(c.Low, c.High, new(big.Rat).Add(want, slack)) && !encloses(c.Low, c.High, new(big.Rat).Sub(want, slack)) {
				t.Errorf("%s is from %v to %v, which does not hold %v", r.Plain(), c.Low, c.High, near)
			}
		}
	}
	for _, r := range results[4:] {
		if !r.Verdict.Holds {
			t.Errorf("%s: %s", r.Plain(), r.Verdict.Margin)
		}
	}
}
