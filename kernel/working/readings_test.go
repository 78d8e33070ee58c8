package working_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/figure/plot"
	"shaftbook/kernel/leastsquares"
	"shaftbook/kernel/working"
)

const torsionTest = `e = 1 deg
readings test of T in N·m, θ in deg:
  0: 0.02, 10: 0.31, 20: 0.62, 30: (0.9 deg + e), 40: 1.22,
  50: 1.49, 60: 1.81 deg
vary k from 0 to 7 by 1 starting at 4
line all through test
line fit through test without k
line zero through test and origin without 4
`

func readingsOf(t *testing.T, statements string) []working.Result {
	t.Helper()
	w := newWorking(t, calcCell("a", torsionTest), calcCell("b", statements))
	for _, r := range w.Results("a") {
		if r.Failed() {
			t.Fatal(r.Diagnostics)
		}
	}
	return w.Results("b")
}

// The values of the first rows are those of package leastsquares, which has been
// compared with published ones, in the units of the readings.
func TestReadings(t *testing.T) {
	tests := []struct{ name, statement, want string }{
		{"slope in the units of the readings", "fit.slope to 6 figures", "≈ 0.0297500 deg/(N·m)"},
		{"standard error", "fit.slope_error to 3 figures", "≈ 0.000213 deg/(N·m)"},
		{"intercept", "fit.intercept to 3 figures", "≈ 0.0192 deg"},
		{"scatter", "fit.scatter to 3 figures", "≈ 0.0113 deg"},
		{"t of 6 readings", "fit.t to 4 figures", "2.776"},
		{"count is certain", "fit.count", "6"},
		{"line at a place", "fit.at(30 N·m) to 4 figures", "≈ 0.9117 deg"},
		{"residual of one left out", "fit.residual(4) to 3 figures", "≈ 0.988 deg"},
		{"origin", "zero.intercept", "0 deg"},
		{"a reading is what was written", "test.y(7)", "1.81 deg"},
		{"what was set", "test.x(7)", "60 N·m"},
		{"an expression", "test.y(4)", "1.9 deg"},
		{"a bracket about a reading", "(test.y(7) ± 0.01 deg) − test.y(1)", "between 1.779 deg and 1.801 deg"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := readingsOf(t, "prefer deg\n"+tt.statement)[1]
			if r.Failed() || r.Shown() != tt.want {
				t.Errorf("got %s %v, want %s", r.Shown(), r.Diagnostics, tt.want)
			}
		})
	}
}

func TestResidualTable(t *testing.T) {
	w := newWorking(t, calcCell("a", torsionTest))
	all := strings.Split(textOf(w.Results("a")[3].Table), "\n")
	if !strings.HasPrefix(all[3], "4 30 1.9 ≈ ") || !strings.HasSuffix(all[3], " stands out") {
		t.Errorf("the planted reading is %q", all[3])
	}
	for i, line := range all {
		if i != 3 && !strings.HasSuffix(line, " "+working.Absent) {
			t.Errorf("a good reading is %q", line)
		}
	}
	fit := strings.Split(textOf(w.Results("a")[4].Table), "\n")
	if !strings.HasSuffix(fit[3], "left out; stands out") {
		t.Errorf("left out, the planted reading is %q", fit[3])
	}
	if err := w.Vary("k", 0); err != nil {
		t.Fatal(err)
	}
	evaluate(t, w)
	if got := textOf(w.Results("a")[4].Table); got != strings.Join(all, "\n") {
		t.Errorf("with none left out the table is\n%s", got)
	}
}

func TestReadingsRefused(t *testing.T) {
	tests := []struct{ name, statement, want string }{
		{"another dimension", "readings q of T in N·m, θ in deg: 1: 2, 3 mm: 4", "a reading of T is a torque, not a length (3 mm)"},
		{"an angle without its unit in a column of torques", "readings q of T in N·m, θ in deg: 1: 2, (1 + 2): 4", "a reading of T is a torque, not a pure number"},
		{"a bracket", "readings q of T in N·m, θ in deg: 1: (2 ± 1)", "a reading must be one value, not a bracket"},
		{"two readings", "readings q of x, y: 1: 2, 3: 4\nline l through q", "a line needs at least 3 readings for its standard error, and there are 2"},
		{"left with one", "readings q of x, y: 1: 2, 3: 4\nline l through q and origin without 1", "a line through the origin needs at least 2 readings for its standard error, and there is 1"},
		{"one place", "readings q of x, y: 2: 2, 2: 4, 2: 5\nline l through q", "all readings are at one x, so they do not say how the line is inclined"},
		{"all at the origin", "readings q of x, y: 0: 2, 0: 4, 0: 5\nline l through q and origin", "all readings are at x = 0"},
		{"no such reading", "line l through test without 8", "the number of a reading is a whole number from 1 to 7, not 8"},
		{"half a reading", "line l through test without 1/2", "the number of a reading is a whole number from 1 to 7, not 0.5"},
		{"no such reading of a field", "test.y(0)", "the number of a reading is a whole number from 1 to 7, not 0"},
		{"no readings", "line l through tset", "there are no readings tset in this lesson"},
		{"through a value", "line l through e", "e is a pure number, and a line goes through readings"},
		{"through a line", "line l through fit", "fit is a line through readings, and a line goes through readings"},
		{"not a number", "test + 1", "test is a set of readings, not a number"},
		{"a line is not a number", "2·fit", "fit is a line through readings, not a number"},
		{"not a function", "fit(3)", "fit is a line through readings, not a function"},
		{"no such value", "fit.slop", "a line through readings has no value called slop"},
		{"an argument too many", "fit.slope(3)", "fit.slope takes no argument"},
		{"an argument too few", "fit.at", "fit.at takes 1 argument, and here it has 0"},
		{"at another dimension", "fit.at(3 mm)", "fit.at is asked for at a torque, not at a length (3 mm)"},
		{"no intercept", "zero.intercept_error", "zero goes through the origin, so its intercept is 0 and has no standard error"},
		{"a standard error is no bracket", "fit.slope ± fit.slope_error", "a standard error says how they scatter and is no bracket"},
		{"residuals of readings", "plot residuals of test", "test is a set of readings, and residuals are those of a line"},
		{"plot of a value", "plot e", "e is a pure number, and it does not say over which range it is plotted"},
		{"plot of nothing", "plot nought", "nought is not defined"},
		{"defined twice", "readings e of x, y: 1: 2", "e is defined a second time"},
		{"on a slider", "trials of fit.slope for k", "the line fit depends on k, and cannot be worked out for several values of it at once"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			results := readingsOf(t, tt.statement)
			r := results[len(results)-1]
			if d := r.Diagnostics.FirstError(); d == nil || !strings.Contains(d.Message, tt.want) {
				t.Errorf("got %v, want %q", r.Diagnostics, tt.want)
			} else if d.Repair == "" && r.Kind != working.KindValue {
				t.Errorf("no way out of %q", d.Message)
			}
		})
	}
}

func TestPlotLine(t *testing.T) {
	results := readingsOf(t, "plot test\nplot all\nplot fit\nplot residuals of fit")
	wants := []struct {
		curves  int
		finding string
	}{{1, ""}, {2, "Reading 4 stands out."}, {3, "The slope is about 0.02975 deg/(N·m), with a standard error of 0.00021 deg/(N·m)."}, {1, "scatter about 0"}}
	for i, want := range wants {
		r := results[i]
		if r.Failed() || r.Figure == nil {
			t.Fatal(i, r.Diagnostics)
		}
		p := r.Figure.(*plot.Plot)
		if len(p.Curves) != want.curves || !strings.Contains(p.Finding, want.finding) {
			t.Errorf("%d: %d curves, %q", i, len(p.Curves), p.Finding)
		}
	}
}

// A cell with the readings of Norris, of the NIST Statistical Reference Datasets, shows
// the certified values; see package leastsquares for the source.
func TestReadingsReference(t *testing.T) {
	content, err := os.ReadFile("../leastsquares/testdata/norris.csv")
	if err != nil {
		t.Fatal(err)
	}
	var pairs []string
	for line := range strings.Lines(string(content)) {
		if x, y, ok := strings.Cut(strings.TrimSpace(line), ","); ok && line[0] != '#' && line[0] != 'x' {
			pairs = append(pairs, x+": "+y)
		}
	}
	w := newWorking(t, calcCell("a", "readings norris of x, y:\n"+strings.Join(pairs, ",\n")+"\nline fit through norris\nfit.slope to 15 figures\nfit.slope_error to 13 figures\nfit.intercept to 14 figures\nfit.scatter to 13 figures"))
	for i, want := range []string{"1.00211681802045", "0.0004297968481999", "−0.26232307377403", "0.8847963961444"} {
		if got := w.Results("a")[i+2].Text; got != want {
			t.Errorf("%d: %s, want %s", i, got, want)
		}
	}
	if math.Abs(leastsquares.StudentT(0.05, 34)-2.0322) > 1e-4 { // e-Handbook 1.3.6.7.2: 2.032
		t.Error("t of 34 degrees of freedom")
	}
}
