package working_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// taper is the working of a tapered quill: uniform bounds, segments, integral.
const taper = `T = 420 N·m
G = 79 GPa
L = 0.8 m
d_0 = 36 mm
d_1 = 54 mm
d(x) = d_0 + (d_1 − d_0)·x/L
J(x) = π/32·d(x)^4
θ_soft = T·L/(G·J(0 m)) in deg
θ_stiff = T·L/(G·J(L)) in deg
vary n from 1 to 200 by 1 starting at 8
θ_n = sum of T·(L/n)/(G·J((i − 1/2)·L/n)) for i from 1 to n in deg
θ = integral of T/(G·J(x)) for x from 0 m to L in deg
expect θ between θ_stiff and θ_soft
expect θ_n < θ
`

func calcCell(id, text string) working.Cell {
	return working.Cell{ID: id, Kind: working.Calc, Text: source.NewText(id, text)}
}

func newWorking(t *testing.T, cells ...working.Cell) *working.Working {
	t.Helper()
	w := working.New(working.Limits{})
	w.SetCells(cells)
	evaluate(t, w)
	return w
}

// evaluate returns the names of the statements that were looked at.
func evaluate(t *testing.T, w *working.Working) []string {
	t.Helper()
	var seen []string
	err := w.Evaluate(context.Background(), func(r working.Result) { seen = append(seen, r.Name) })
	if err != nil {
		t.Fatal(err)
	}
	return seen
}

func find(t *testing.T, w *working.Working, cell, name string) working.Result {
	t.Helper()
	for _, r := range w.Results(cell) {
		if r.Name == name {
			return r
		}
	}
	t.Fatalf("no result named %s in %s", name, cell)
	return working.Result{}
}

// The closed form of the linear solid taper: Gere & Goodno, Mechanics of
// Materials, torsion of nonuniform bars, twist = TL/(G·J_A)·(β²+β+1)/(3β³).
func TestTaperAgainstClosedForm(t *testing.T) {
	w := newWorking(t, calcCell("a", taper))
	for _, r := range w.Results("a") {
		if r.Failed() {
			t.Fatalf("line %d: %v", r.Span.Position().Line, r.Diagnostics.Err())
		}
	}
	beta := 54.0 / 36
	want := 420 * 0.8 / (79e9 * math.Pi / 32 * math.Pow(0.036, 4)) * (beta*beta + beta + 1) / (3 * beta * beta * beta)
	theta := find(t, w, "a", "θ")
	if got := theta.Value.Number; math.Abs(got-want) > 1e-12*want {
		t.Errorf("θ = %.17g, want %.17g", got, want)
	}
	if !strings.HasSuffix(theta.Text, " deg") {
		t.Errorf("θ is shown as %q, want degrees", theta.Text)
	}
	n := find(t, w, "a", "θ_n").Value.Number
	if n >= want || n < want*0.99 {
		t.Errorf("8 segments give %g; 1/d⁴ is convex, so mid-length diameters give a little less than %g", n, want)
	}
	for _, r := range w.Results("a") {
		if r.Verdict != nil && !r.Verdict.Holds {
			t.Errorf("line %d does not hold: %s", r.Span.Position().Line, r.Verdict.Margin)
		}
	}
}

func TestStatementsStandInAnyOrder(t *testing.T) {
	w := newWorking(t, calcCell("a", "θ = T·L/(G·J)\nJ = π/32·d^4"), calcCell("b", "d = 36 mm\nT = 420 N·m\nL = 0.8 m\nG = 79 GPa"))
	if r := find(t, w, "a", "θ"); r.Failed() {
		t.Error(r.Diagnostics.Err())
	}
}

func TestEditReevaluatesOnlyWhatDependsOnIt(t *testing.T) {
	w := newWorking(t, calcCell("a", "a = 1 m\nb = 2·a\nc = 3 m\nd = c + 1 m"), calcCell("e", "f = b + d\ng = c"))
	edit := func(id, text string) []string {
		t.Helper()
		if err := w.Edit(id, text); err != nil {
			t.Fatal(err)
		}
		return evaluate(t, w)
	}
	seen := edit("a", "a = 5 m\nb = 2·a\nc = 3 m\nd = c + 1 m")
	// All of the edited cell is sent again; of the other cell only f depends.
	if slices.Contains(seen, "g") || !slices.Contains(seen, "f") {
		t.Errorf("looked at %v", seen)
	}
	if got := find(t, w, "e", "f").Value.Number; got != 14 {
		t.Errorf("f = %g, want 14", got)
	}
	seen = edit("e", "# a comment\n\nf = b + d\ng = c")
	if got := find(t, w, "e", "g").Span.Position().Line; got != 4 {
		t.Errorf("g has moved to line %d, want 4", got)
	}
	if slices.Contains(seen, "a") {
		t.Errorf("a comment made %v be looked at again", seen)
	}
}

func TestVaryBeforeTheUnitIsKnown(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(w *working.Working) error
	}{
		{"in a working that was never evaluated", func(w *working.Working) error { return w.Vary("D", 40) }},
		{"right after an edit of the statement", func(w *working.Working) error {
			return errors.Join(w.Evaluate(context.Background(), nil), w.Edit("a", "vary D from 20 mm to 70 mm"), w.Vary("D", 40))
		}},
		{"with the cells set anew before an evaluation", func(w *working.Working) error {
			err := w.Vary("D", 40)
			w.SetCells([]working.Cell{calcCell("a", "vary D from 20 mm to 60 mm")})
			return err
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := working.New(working.Limits{})
			w.SetCells([]working.Cell{calcCell("a", "vary D from 20 mm to 60 mm")})
			if err := errors.Join(c.do(w), w.Evaluate(context.Background(), nil)); err != nil {
				t.Fatal(err)
			}
			if got := w.Results("a")[0].Slider.Value; got != 40 {
				t.Errorf("the slider stands at %v mm, want 40", got)
			}
		})
	}
}

func TestVary(t *testing.T) {
	w := newWorking(t, calcCell("a", taper), calcCell("b", "vary D from 30 mm to 60 mm by 1 mm starting at 36 mm\nA = π/4·D^2"))
	slider := find(t, w, "b", "D").Slider
	if slider.Min != 30 || slider.Max != 60 || slider.Step != 1 || slider.Value != 36 || slider.Unit != "mm" || slider.Whole {
		t.Errorf("slider %+v", *slider)
	}
	if n := find(t, w, "a", "n").Slider; !n.Whole || n.Value != 8 {
		t.Errorf("slider %+v", *n)
	}
	if err := w.Vary("D", 40); err != nil {
		t.Fatal(err)
	}
	if seen := evaluate(t, w); !slices.Equal(seen, []string{"D", "A"}) {
		t.Errorf("moving the slider looked at %v, want D and A", seen)
	}
	if got, want := find(t, w, "b", "A").Value.Number, math.Pi/4*0.04*0.04; math.Abs(got-want) > 1e-15 {
		t.Errorf("A = %g, want %g", got, want)
	}
	if err := w.Vary("q", 1); err == nil {
		t.Error("varying a name that is not there is no error")
	}
	w.Unvary()
	evaluate(t, w)
	if got := find(t, w, "b", "D").Slider.Value; got != 36 {
		t.Errorf("after restoring D = %g, want 36", got)
	}
}

var longCycle = func() string {
	var lines []string
	for i := range 21 {
		lines = append(lines, fmt.Sprintf("a_%d = a_%d", i, (i+1)%21))
	}
	return strings.Join(lines, "\n")
}()

// TestTableOfHugeValues holds the numbers of a table whose doubles are too
// large, and whose halves too small, for a float64.
func TestTableOfHugeValues(t *testing.T) {
	w := newWorking(t, calcCell("a", "table 1.5e308·x, 5e-324·x for x from 0 to 1 by 1"))
	got := w.Results("a")[0].Table.Numbers[1]
	if got[0] != 1.5e308 || got[1] != 5e-324 {
		t.Errorf("%v", got)
	}
}

// TestSlowProfile gives a shaft a diameter that costs a million terms a place
// and takes thousands of places: the statement ends at its own limit of work,
// not after one limit for each call of the diameter.
func TestSlowProfile(t *testing.T) {
	const cell = "G = 79 GPa\nprofile 40 mm + (1 mm)·(sum of sin(k·x/(1 mm)) for k from 1 to 1000000) for 1 m\nhold at 0 mm\ntorque 4 N·m at 1 m"
	w := working.New(working.Limits{Work: 50_000_000})
	w.SetCells([]working.Cell{{ID: "s", Kind: working.Shaft, Name: "S", Text: source.NewText("s", cell)}})
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	first := w.Results("s")[0].Diagnostics.FirstError()
	if first == nil || !strings.Contains(first.Error(), "more than 50\u202f000\u202f000 operations") {
		t.Errorf("%v", first)
	}
}

func TestErrors(t *testing.T) {
	tests := []struct {
		name, text string
		line       int    // of the statement that must fail
		want       string // in its first error
	}{
		{"a second definition points at the first", "a = 1\na = 2", 2, "a "},
		{"a cycle names its path", "a = b\nb = a", 1, "a → b → a"},
		{"a definition that needs itself", "a = a + 1", 1, "a → a"},
		{"adding a length to a torque", "T = 420 N·m\nd = 36 mm\nx = T + d", 3, "T = 420 N·m"},
		{"a missing unit", "d = 36 mm + 5", 1, "5 mm"},
		{"what needs a statement in error waits", "a = 36 mm + 1 s\nb = 2·a", 2, "a "},
		{"a near miss is offered", "tau_max = 3 MPa\ny = 2·tau_mx", 2, "τ_max"},
		{"log asks which", "y = log(10)", 1, "ln(…)"},
		{"division by zero", "a = 0\nb = 1/a", 2, "zero"},
		{"square root of a negative number", "a = sqrt(0 − 4)", 1, "negative"},
		{"a wrong unit for display", "d = 36 mm in deg", 1, "deg"},
		{"a function's dimensions are checked at its use, and what is wrong in its body is said there", "J(d) = π/32·d^4\ns(x) = J(x) + 1 m\ny = s(2 m)", 2, "1 m"},
		{"what is wrong inside functions is said once", "f(x) = x + 1 m\ng(x) = f(x)\nh(x) = g(x)\nh(2)", 4, "1 m"},
		{"the path of a long cycle is cut short", longCycle, 1, "a_0 → a_1 → a_2 → a_3 → a_4 → … 14 more … → a_19 → a_20 → a_0"},
		{"a value past what its unit can show", "a = 1e306 m in nm", 1, "nm"},
		{"an unknown name", "y = 2·q", 1, "q "},
		{"sin of a length", "y = sin(3 mm)", 1, "sin"},
		{"a power not known beforehand", "vary n from 1 to 5\ny = (2 m)^n", 2, ""},
		{"a table without its rows", "d = 3 m\ntable x for x from 0 m to d", 2, "rows"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			w := newWorking(t, calcCell("a", test.text))
			for _, r := range w.Results("a") {
				if r.Span.Position().Line != test.line {
					continue
				}
				first := r.Diagnostics.FirstError()
				if first == nil {
					t.Fatalf("line %d has no error; it came to %q", test.line, r.Text)
				}
				if !strings.Contains(first.Error(), test.want) {
					t.Errorf("error %q does not say %q", first.Error(), test.want)
				}
				return
			}
			t.Fatalf("no statement on line %d", test.line)
		})
	}
}

func TestErrorsGoAwayWhenMended(t *testing.T) {
	w := newWorking(t, calcCell("a", "b = 2·a"))
	if r := find(t, w, "a", "b"); !r.Failed() {
		t.Fatal("b should fail: a is not defined")
	}
	steps := []struct {
		text string
		want float64
	}{
		{"b = 2·a\na = 3", 6},
		{"a = 4\nb = 2·a", 8},
		{"a = c\nc = 5\nb = 2·a", 10},
	}
	for _, s := range steps {
		if err := w.Edit("a", s.text); err != nil {
			t.Fatal(err)
		}
		evaluate(t, w)
		r := find(t, w, "a", "b")
		if r.Failed() || r.Value.Number != s.want {
			t.Errorf("%q: b = %v, %v", s.text, r.Value, r.Diagnostics.Err())
		}
	}
}

func TestBrackets(t *testing.T) {
	w := newWorking(t, calcCell("a", "d = 36 mm ± 0.1 mm\nA = π/4·d^2\nexpect A within between 1000 mm² and 1030 mm²\nlow(d)\nhigh(d)"))
	a := find(t, w, "a", "A")
	if a.Failed() {
		t.Fatal(a.Diagnostics.Err())
	}
	lo, hi := math.Pi/4*0.0359*0.0359, math.Pi/4*0.0361*0.0361
	if !(a.Value.Low <= lo && a.Value.High >= hi && a.Value.Low > lo*(1-1e-12) && a.Value.High < hi*(1+1e-12)) {
		t.Errorf("A within [%g, %g], want [%g, %g] and hardly more", a.Value.Low, a.Value.High, lo, hi)
	}
}

func TestShaftCell(t *testing.T) {
	shaft := working.Cell{ID: "s", Kind: working.Shaft, Name: "S", Text: source.NewText("s", `G = 79 GPa
solid d_a for 200 mm
solid d_a to 54 mm for 800 mm
hold at 0 mm
torque 420 N·m at 1000 mm`)}
	w := newWorking(t, calcCell("a", "d_a = 36 mm\nS.twist in deg\nS.twist(200 mm)\nS.stress_max in MPa\nS.reaction(0 m)\nexpect S.twist within S.bracket(50)\ndraw S\ndraw S in 4 segments\ndraw S twisted 20 times"), shaft)
	for _, r := range append(w.Results("a"), w.Results("s")...) {
		if r.Failed() {
			t.Fatalf("%s: %v", r.Span.Content(), r.Diagnostics.Err())
		}
	}
	beta := 1.5
	j := math.Pi / 32 * math.Pow(0.036, 4)
	want := 420*0.2/(79e9*j) + 420*0.8/(79e9*j)*(beta*beta+beta+1)/(3*beta*beta*beta)
	if got := w.Results("a")[1].Value.Number; math.Abs(got-want) > 1e-12*want {
		t.Errorf("twist %.15g, want %.15g", got, want)
	}
}

func TestCancelledEvaluationGoesOn(t *testing.T) {
	w := working.New(working.Limits{})
	w.SetCells([]working.Cell{calcCell("a", taper)})
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := w.Evaluate(ctx, nil); err == nil {
		t.Fatal("a cancelled evaluation reports nothing")
	}
	evaluate(t, w)
	if r := find(t, w, "a", "θ"); r.Failed() || r.Value == nil {
		t.Error("what was not reached is not evaluated next time")
	}
}

func TestWholeWorkingHasALimit(t *testing.T) {
	slow := "a = sum of (sum of (sin(i·j)^2 + 2)^1.5 for j from 1 to 1000) for i from 1 to 100000\n"
	text := ""
	for i := range 15 {
		text += strings.Replace(slow, "a", fmt.Sprintf("a_%d", i), 1)
	}
	w := working.New(working.Limits{Work: 2_000_000, Terms: 1e12})
	w.SetCells([]working.Cell{calcCell("a", text+"b = 1")})
	evaluate(t, w)
	if r := find(t, w, "a", "b"); !r.Failed() || r.Diagnostics.FirstError().Code != working.CodeLate {
		t.Errorf("after 15 slow statements b came to %q", r.Text)
	}
	if err := w.Edit("a", "b = 1"); err != nil {
		t.Fatal(err)
	}
	evaluate(t, w)
	if r := find(t, w, "a", "b"); r.Failed() {
		t.Error("b is not evaluated although there is time again")
	}
}

// A count that is worked out is the whole number that it is but for rounding.
func TestWorkedOutCount(t *testing.T) {
	w := newWorking(t, working.Cell{ID: "a", Kind: working.Calc, Text: source.NewText("a", "L = 0.7 m\nk = L/(0.1 m)\nx = S.bracket(k)\ny = S.segments(0.1·30)\nz = S.bracket(2.5)")},
		working.Cell{ID: "s", Kind: working.Shaft, Name: "S", Text: source.NewText("s", "G = 79 GPa\nsolid 36 mm to 54 mm for L\nhold at 0 m\ntorque 400 N·m at L")})
	for i, wantFailed := range []bool{false, false, false, false, true} {
		if r := w.Results("a")[i]; r.Failed() != wantFailed {
			t.Errorf("%s failed: %v, %v", r.Name, r.Failed(), r.Diagnostics)
		}
	}
}
