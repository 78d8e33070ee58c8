package program

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"math/big"
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/interval"
)

// A verdict of the battery.
type outcome string

const (
	isCertain  outcome = "certain"
	isEstimate outcome = "estimate"
	isRefused  outcome = "refused"
	isWrong    outcome = "wrong"
)

// narrowEnough is the relative width up to which an enclosure counts as certain
// here: it is good for nine digits. An integral that is 0 has no relative width,
// and 1e-12 is asked instead.
const certainWidth = 1e-9

// judge evaluates an expression in both ways and compares it with the exact
// value, given to 40 digits.
func judge(t *testing.T, text string, exact *big.Float) (o outcome, detail string) {
	t.Helper()
	e, scope := parse(t, text), names{}
	run := NewRun(context.Background(), Limits{})
	v, list := Evaluate(run, e, scope)
	if list.HasErrors() {
		return isRefused, list.FirstError().Message
	}
	near, _ := exact.Float64()
	b, list := EvaluateBracket(NewRun(context.Background(), Limits{}), e, nil, scope)
	if !list.HasErrors() {
		if !encloses(b, exact) {
			return isWrong, "the enclosure " + b.String() + " misses"
		}
		if slack := 8 * 0x1p-52 * math.Abs(near); v.Number < b.Lo-slack-v.ErrorEstimate || v.Number > b.Hi+slack+v.ErrorEstimate {
			return isWrong, "the value lies outside of its enclosure"
		}
		if b.Hi-b.Lo <= max(certainWidth*math.Abs(near), 1e-12) {
			return isCertain, ""
		}
	}
	off, _ := new(big.Float).SetPrec(200).Sub(exact, big.NewFloat(v.Number)).Float64()
	// The names and numbers of the text are rounded to float64.
	if math.Abs(off) > v.ErrorEstimate+16*0x1p-52*math.Abs(near) {
		return isWrong, "the estimate is off by more than it says"
	}
	reasons := ""
	for _, d := range run.Doubts() {
		reasons += d.Reason.String() + "; "
	}
	if reasons == "" {
		reasons = "wide: " + b.String()
	}
	return isEstimate, reasons
}

func encloses(b interval.Interval, exact *big.Float) bool {
	return big.NewFloat(b.Lo).Cmp(exact) <= 0 && big.NewFloat(b.Hi).Cmp(exact) >= 0
}

// counts of one battery.
type tally map[outcome]int

func (c tally) total() int {
	n := 0
	for _, k := range c {
		n += k
	}
	return n
}

func battery(t *testing.T, file string) [][]string {
	t.Helper()
	f, err := os.Open(file)
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
	return rows[1:]
}

func exactly(t *testing.T, text string) *big.Float {
	t.Helper()
	x, _, err := big.ParseFloat(text, 10, 200, big.ToNearestEven)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// The values of the battery come from mpmath at 60 digits; testdata/battery
// holds the script. It counts what is certain, an estimate, refused and wrong.
func TestIntegralBattery(t *testing.T) {
	counts := tally{}
	families := map[string]tally{}
	for _, row := range battery(t, "testdata/battery/integrals.csv") {
		name, text := row[0], "integral of "+row[1]+" for x from "+row[2]+" to "+row[3]
		o, detail := judge(t, text, exactly(t, row[4]))
		counts[o]++
		family := strings.TrimRight(name, "-0123456789")
		if families[family] == nil {
			families[family] = tally{}
		}
		families[family][o]++
		switch o {
		case isWrong:
			t.Errorf("%s: %s: %s", name, text, detail)
		case isEstimate, isRefused:
			t.Logf("%s %s: %s: %s", o, name, text, detail)
		}
	}
	for family, c := range families {
		t.Logf("%-18s %v", family, c)
	}
	n := counts.total()
	t.Logf("%d integrals: %d certain, %d estimates, %d refused, %d wrong", n, counts[isCertain], counts[isEstimate], counts[isRefused], counts[isWrong])
	if n < 300 || counts[isCertain] < n*9/10 || counts[isRefused] > n*3/100 {
		t.Error("of at least 300, nine tenths must be certain, and no more than 3 in 100 refused")
	}
}

// The values come from mpmath; a root without a value does not exist, and saying
// so is certain.
func TestSearchBattery(t *testing.T) {
	counts := tally{}
	for _, row := range battery(t, "testdata/battery/searches.csv") {
		text := row[0] + " of " + row[1] + " for x from " + row[2] + " to " + row[3]
		var o outcome
		var detail string
		if row[4] == "" {
			o = isCertain
			if v, list := Evaluate(newRun(), parse(t, text), names{}); !list.HasErrors() {
				o, detail = isWrong, fmt.Sprintf("found %g, where there is none", v.Number)
			}
		} else {
			o, detail = judge(t, text, exactly(t, row[4]))
		}
		counts[o]++
		switch o {
		case isWrong:
			t.Errorf("%s: %s", text, detail)
		case isEstimate, isRefused:
			t.Logf("%s: %s: %s", o, text, detail)
		}
	}
	n := counts.total()
	t.Logf("%d roots and extremes: %d certain, %d estimates, %d refused, %d wrong", n, counts[isCertain], counts[isEstimate], counts[isRefused], counts[isWrong])
	if n < 50 || counts[isCertain] < n*9/10 {
		t.Error("of at least 50, nine tenths must be certain")
	}
}
