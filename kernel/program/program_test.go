package program

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"shaftbook/kernel/source"
)

// loops are expressions whose values must not depend on how they are run.
var loops = []string{
	segmentSum,
	"sum of 1/i for i from 1 to 100000",
	"sum of sin(i)·sqrt(i) for i from −5 + 5 to 9999",
	"sum of (−1)^i/(2·i + 1) for i from 0 to 70001",
	"product of (1 + 1/i^2) for i from 1 to 100003",
	"product of i/150 for i from 1 to 400",
	"sum of (if i = 3 then 0 else 1/(i − 3)) for i from 1 to 10000",
	"sum of (if i < 50 then sqrt(50 − i) else ln(i)) for i from 1 to 5000",
	"sum of sum of 1/(i + j) for j from 1 to i for i from 1 to 300",
	"sum of (integral of x^i for x from 0 to 1) for i from 1 to 40",
	"sum of max(i, 17)·min(i, 99) + floor(i/7) for i from 1 to 12345",
	"sum of i^0.3·2^(−i/1000) for i from 1 to 10001",
	"sum of d(i·0.01) for i from 1 to 20000",
}

// TestSameBitsEitherWay evaluates loops with blocks of 1, 3 and 1024 lanes, on
// one, two and three goroutines: the results agree bit for bit.
func TestSameBitsEitherWay(t *testing.T) {
	s := taper(t)
	s["n"] = Scalar(100_000)
	for _, text := range loops {
		t.Run(text, func(t *testing.T) {
			want := value(t, text, s)
			for _, block := range []int{1, 3, 1024} {
				for _, cores := range []int{1, 2, 3} {
					run := newRun()
					run.block, run.cores = block, cores
					got, list := Evaluate(run, parse(t, text), s)
					if err := list.Err(); err != nil {
						t.Fatal(err)
					}
					if got.Number != want {
						t.Errorf("block %d, cores %d: %v, want %v", block, cores, got.Number, want)
					}
				}
			}
		})
	}
}

// TestBlockAgreesWithWalker evaluates expressions at points in every way there
// is; all agree to the last bit.
func TestBlockAgreesWithWalker(t *testing.T) {
	s := define(t, taper(t), "f(u)", "u^3 − 2·u", "g(u, v)", "f(u)/(1 + f(v)^2)")
	for _, text := range []string{
		"x", "2", "x^2", "x^4", "x^5", "x^−3", "x^0", "x^0.5", "x^1.5", "2^x", "x^x", "x/8", "8/x", "x/3", "1/(x^2 + 1)",
		"√x", "|x − 1|", "−x^2", "sin(x)", "cos(x)", "tan(x)", "asin(x/10)", "acos(x/10)", "atan(x)", "atan2(x, 2)", "exp(x)", "ln(x)", "log10(x)",
		"floor(x)", "ceil(x)", "round(x)", "min(x, 2, 3)", "max(x, 2)", "if x < 1 then x else 2·x", "if x < 1 and x > 0.5 or not x < 2 then 1 else 0",
		"if 0.5 < x ≤ 2 then 1/x else x", "d(x)", "T·L/(G·J(x))", "f(x)", "g(x, 2)", "g(x, x)", "3 − 2·x", "2·x − 3", "x·2 + 3", "7/(3·x)", "(x·x)·(x·x)",
		"sum of x·i for i from 1 to 5", "sum of sum of x·i·j for j from 1 to i for i from 1 to 4", "integral of x·u for u from 0 to x",
		"root of u^2 − x for u from 0 to 10", "largest of x·u·(1 − u) for u from 0 to 1", "smallest of (u − x)^2 for u from 0 to 1",
		"derivative of u^3 for u at x", "derivative of f(u)·u for u at x",
	} {
		t.Run(text, func(t *testing.T) { agreeEverywhere(t, text, s) })
	}
}

func agreeEverywhere(t *testing.T, text string, s names) {
	e := parse(t, text)
	p, list := Compile(e, []string{"x"}, s)
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	xs := []float64{0.25, 0.5, 1, 1.5, 2, 2.5, math.Pi, 7, 9.75, 0.1, 0.3}
	block := make([]float64, len(xs))
	if err := p.Block(newRun(), block, xs); err != nil {
		t.Fatal(err)
	}
	for i, x := range xs {
		w := newWalker(newRun(), s)
		w.bind("x", x)
		want, ok := w.number(e)
		if !ok {
			t.Fatal(w.problem)
		}
		if block[i] != want.x {
			t.Errorf("x = %v: block %v, walker %v", x, block[i], want.x)
		}
		at, err := p.At(newRun(), x)
		if err != nil || at != want.x {
			t.Errorf("x = %v: single %v (%v), walker %v", x, at, err, want.x)
		}
	}
}

func TestBlockTakesTheFirstLaneThatFails(t *testing.T) {
	p, _ := Compile(parse(t, "1/(x − 3)"), []string{"x"}, names{})
	dst := make([]float64, 3)
	err := p.Block(newRun(), dst, []float64{2, 3, 4})
	list, ok := err.(source.List)
	if !ok || list[0].Code != CodeDivisionByZero {
		t.Fatalf("error %v, want a division by zero", err)
	}
}

func TestBlockPanicsOnLengths(t *testing.T) {
	p, _ := Compile(parse(t, "x"), []string{"x"}, names{})
	defer func() {
		if recover() == nil {
			t.Error("slices of different lengths are accepted")
		}
	}()
	_ = p.Block(newRun(), make([]float64, 2), make([]float64, 3))
}

// TestNothingAllocatedATerm counts allocations of a whole sum: a handful, with
// no part that grows with the number of terms.
func TestNothingAllocatedATerm(t *testing.T) {
	if underRace {
		t.Skip("with the race detector pools drop a part of what they are given")
	}
	p := segmentProgram(t)
	run := newRun()
	run.cores = 1
	allocations := func(n float64) float64 {
		return testing.AllocsPerRun(20, func() {
			if _, err := p.At(run, n); err != nil {
				t.Fatal(err)
			}
		})
	}
	if few, many := allocations(100), allocations(50_000); many > few+1 || few > 1 {
		t.Errorf("%v allocations for 100 terms, %v for 50 000", few, many)
	}
}

// TestCancelledIsStopped cancels long evaluations. How soon each stopped after
// the request is logged, not judged: a busy machine has its own pace.
func TestCancelledIsStopped(t *testing.T) {
	for _, text := range []string{
		"sum of sin(i) for i from 1 to 10^9",
		"sum of (if i > 0 then 1/(i − i + 1) else 1/(i − i)) for i from 1 to 10^9",
		"sum of (sum of sin(i·j) for j from 1 to 100) for i from 1 to 10^7",
		"integral of (sum of sin(x·j) for j from 1 to 10^6) for x from 0 to 10^4",
	} {
		ctx, cancel := context.WithCancel(context.Background())
		run := NewRun(ctx, Limits{Terms: 1 << 60, Work: 1 << 60})
		var cancelled time.Time
		time.AfterFunc(30*time.Millisecond, func() { cancelled = time.Now(); cancel() })
		_, list := Evaluate(run, parse(t, text), names{})
		t.Logf("%s: stopped %v after the request", text, time.Since(cancelled))
		if d := list.FirstError(); d == nil || d.Code != CodeStopped {
			t.Errorf("%s: %v, want it stopped", text, list)
		}
	}
}

func TestLimits(t *testing.T) {
	for _, c := range []struct {
		name, text string
		limits     Limits
		code       source.Code
	}{
		{"terms of one sum", "sum of i for i from 1 to 1001", Limits{Terms: 1000}, CodeTermLimit},
		{"terms of nested sums", "sum of (sum of i·j for j from 1 to 100) for i from 1 to 100", Limits{Terms: 1000}, CodeTermLimit},
		{"terms of an integral", "integral of (integral of sin(x·y) for y from 0 to 100) for x from 0 to 100", Limits{Terms: 1000}, CodeTermLimit},
		{"work of one sum", "sum of sin(i) for i from 1 to 10^6", Limits{Work: 1_000_000}, CodeWorkLimit},
		{"work of nested sums", "sum of (sum of sin(i·j) for j from 1 to 1000) for i from 1 to 10^7", Limits{Terms: 1 << 50, Work: 10_000_000}, CodeWorkLimit},
		{"work of a sum of brackets", "sum of (i ± 1) for i from 1 to 10^6", Limits{Work: 1_000_000}, CodeWorkLimit},
		{"work of an integral", "integral of (sum of sin(x·j) for j from 1 to 10^4) for x from 0 to 10^4", Limits{Work: 1_000_000}, CodeWorkLimit},
		{"memory", "sum of i for i from 1 to 10^8", Limits{Terms: 1 << 50, Memory: 1000}, CodeMemoryLimit},
	} {
		t.Run(c.name, func(t *testing.T) {
			run := NewRun(context.Background(), c.limits)
			run.cores = 2
			_, list := Evaluate(run, parse(t, c.text), names{})
			d := list.FirstError()
			if d == nil || d.Code != c.code || d.Repair == "" || !d.Span.IsValid() {
				t.Errorf("%v, want %s with a place and a way out", list, c.code)
			}
		})
	}
}

// TestFunctionsOfFunctions: definitions that double at every level end with an
// answer or a limit, soon.
func TestFunctionsOfFunctions(t *testing.T) {
	s := define(t, names{}, "f0(x)", "x^2")
	for i := 1; i <= 40; i++ {
		define(t, s, fmt.Sprintf("f%d(x)", i), fmt.Sprintf("f%d(x + 1) + f%d(x·2)", i-1, i-1))
	}
	for _, text := range []string{
		"f40(1)", "sum of f40(x) for x from 1 to 2", "derivative of f40(x) for x at 1", "integral of f40(x) for x from 0 to 1",
		"largest of f40(x) for x from 0 to 1",
	} {
		run := NewRun(context.Background(), Limits{Terms: 100_000})
		_, list := Evaluate(run, parse(t, text), s)
		if d := list.FirstError(); d == nil || !isLimitCode(d.Code) {
			t.Errorf("%s: %v, want a limit", text, list)
		}
		EvaluateBracket(run, parse(t, text), nil, s)
	}
	if got := value(t, "derivative of f9(x) for x at 1", s); math.Abs(got-numericSlope(t, s)) > 1e-6*got {
		t.Errorf("slope %v", got)
	}
}

func numericSlope(t *testing.T, s names) float64 {
	return (value(t, "f9(1.001)", s) - value(t, "f9(0.999)", s)) / 0.002
}

func TestProgressAfterAQuarterOfASecond(t *testing.T) {
	run := NewRun(context.Background(), Limits{Terms: 1 << 50, Work: 1 << 50})
	run.start = run.start.Add(-time.Second) // as if it had run for a second
	var fractions []float64
	run.Progress = func(f float64, what string) {
		fractions = append(fractions, f)
		if what != "sum" {
			t.Errorf("progress of %q", what)
		}
	}
	if _, list := Evaluate(run, parse(t, "sum of i for i from 1 to 10^8"), names{}); list.HasErrors() {
		t.Fatal(list)
	}
	if len(fractions) == 0 || fractions[0] < 0 || fractions[0] > 1 {
		t.Errorf("progress %v", fractions)
	}
	quick := newRun()
	quick.start = quick.start.Add(time.Hour) // however busy the machine is
	quick.Progress = func(float64, string) { t.Error("progress of a calculation that takes no time") }
	Evaluate(quick, parse(t, "sum of i for i from 1 to 100"), names{})
}

// TestFormsSharedWithDerivative evaluates derivatives that hold a form of the
// function that they differentiate, beside that function itself: the form sees
// the names of the one in the one place and of the other in the other.
func TestFormsSharedWithDerivative(t *testing.T) {
	s := define(t, names{"a": Scalar(3)},
		"f(u, y)", "(product of a·j for j from 1 to 2)·u",
		"g(u)", "(sum of a·j for j from 1 to 2)·u^2",
	)
	for text, want := range map[string]float64{
		"derivative of f(x, 1)·(if x > 1 then x else 1) for x at 2":             72,
		"derivative of g(x)·(if x > 1 then 1 else x) for x at 2 + 0·g(2)":       36,
		"g(2) + (derivative of g(x)·(if x > 1 then 1 else x) for x at 2)":       72,
		"(derivative of f(x, 1)·(if x > 1 then x else 1) for x at 2) + f(1, 2)": 90,
	} {
		if got := value(t, text, s); got != want {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
}
