package program

import (
	"errors"
	"flag"
	"os"
	"strings"
	"testing"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/source"
)

var update = flag.Bool("update", false, "rewrite the files under testdata")

// testShaft is a stand-in for a shaft: its twist grows with x and is defined
// from 0 to 1.
type testShaft struct{}

var errOutside = errors.New("the shaft ends at 1 m")

func (*testShaft) Field(name string, args []float64) (float64, error) {
	if name != "twist" {
		return 0, errors.New("no such field")
	}
	if len(args) == 0 {
		return 1, nil
	}
	if !(args[0] >= 0 && args[0] <= 1) {
		return 0, errOutside
	}
	return args[0], nil
}

func (s *testShaft) FieldBlock(dst []float64, name string, args [][]float64) error {
	for i := range dst {
		lane := make([]float64, len(args))
		for j := range args {
			lane[j] = args[j][i]
		}
		v, err := s.Field(name, lane)
		if err != nil {
			return err
		}
		dst[i] = v
	}
	return nil
}

func (s *testShaft) FieldBracket(name string, args []interval.Interval) (interval.Interval, error) {
	if name == "bracket" {
		return interval.New(0.9, 1.1)
	}
	if len(args) == 1 {
		return args[0], nil
	}
	return interval.Point(1)
}

func (*testShaft) Cost(string, []float64) int64 { return 100 }

func (*testShaft) IsBracket(name string) bool { return name == "bracket" }

// faultCases are expressions without a value, each with the code of its error.
var faultCases = []struct {
	text string
	code source.Code
}{
	{"1/0", CodeDivisionByZero},
	{"T/(d_0 − d_0)", CodeDivisionByZero},
	{"0^(−1)", CodeDivisionByZero},
	{"sqrt(3 − 5)", CodeDomain},
	{"√(d_0 − d_1)", CodeDomain},
	{"ln(0)", CodeDomain},
	{"ln(d_0 − d_1)", CodeDomain},
	{"asin(2·n)", CodeDomain},
	{"tan(π/2)", CodeDomain},
	{"sin(10^20)", CodeDomain},
	{"(−8)^(1/3)", CodeDomain},
	{"atan2(0, n − n)", CodeDomain},
	{"1e200·1e200", CodeOverflow},
	{"exp(1000)", CodeOverflow},
	{"1/(1e−200·1e−200)", CodeDivisionByZero},
	{"J(0 m)/J(−d_0/k)", CodeDivisionByZero},
	{"slack(3)", CodeDivisionByZero},
	{"twice(3)", CodeDivisionByZero},
	{"sum of 1/(i − 7) for i from 1 to 100000", CodeDivisionByZero},
	{"sum of (sum of 1/(i − j) for j from 5 to 9) for i from 1 to 10", CodeDivisionByZero},
	{"sum of slack(i) for i from 1 to 10", CodeDivisionByZero},
	{"sum of 10^(100·i) for i from 1 to 4", CodeOverflow},
	{"product of 10^i for i from 1 to 100", CodeOverflow},
	{"sum of i for i from 1 to 2.5", CodeBounds},
	{"sum of i for i from −10^13 to 1", CodeBounds},
	{"sum of i for i from 1 to 10^12", CodeTermLimit},
	{"integral of 1/x for x from 0 to 1", CodeIntegral},
	{"integral of 1/x^2 for x from −1 to 1", CodeIntegral},
	{"integral of sqrt(x − 1) for x from 0 to 2", CodeDomain},
	{"root of x^2 + 1 for x from 0 to 1", CodeRoot},
	{"root of 1/(x − 0.5) for x from 0 to 1", CodeRoot},
	{"largest of 1/x^2 for x from −1 to 1.01", CodeExtreme},
	{"derivative of |x| for x at 0", CodeDerivative},
	{"derivative of floor(x) for x at 1", CodeDerivative},
	{"derivative of max(x, 2) for x at 2", CodeDerivative},
	{"derivative of (if x < 2 then 1 else 3) for x at 2", CodeDerivative},
	{"derivative of √x for x at 0", CodeDerivative},
	{"S.twist(2 m)", CodeField},
	{"sum of S.twist(i·0.3) for i from 1 to 5", CodeField},
	{"1/(q − 1.5)", CodeDivisionByZero},
	{"sqrt(q − 2)", CodeDomain},
	{"sum of i for i from 1 to q", CodeBracketUse},
	{"root of x − q for x from 0 to 3", CodeBracketUse},
	{"between 2 and 1", CodeBracketUse},
	{"q < 1.5", CodeUndecided},
	{"unheard + 1", CodeUnknown},
}

// TestFaultsInWords compares every message with testdata/faults.txt, so that a
// change of wording is seen.
func TestFaultsInWords(t *testing.T) {
	s := define(t, taper(t), "q", "between 1 and 2", "slack(u)", "1/(u − 3)", "twice(u)", "slack(u) + slack(2·u)")
	s["S"] = &testShaft{}
	var b strings.Builder
	for _, c := range faultCases {
		_, list := Evaluate(newRun(), parse(t, c.text), s)
		d := list.FirstError()
		if d == nil {
			t.Errorf("%s: no error", c.text)
			continue
		}
		if d.Code != c.code {
			t.Errorf("%s: code %s, want %s", c.text, d.Code, c.code)
		}
		b.WriteString(d.Render() + "\n")
	}
	const file = "testdata/faults.txt"
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("messages differ from %s; run with -update and look at the change:\n%s", file, b.String())
	}
}

// TestUntakenBranchIsSilent: an if evaluates one branch only, whatever a block
// does inside.
func TestUntakenBranchIsSilent(t *testing.T) {
	s := names{}
	for _, c := range []struct {
		text string
		want float64
	}{
		{"if 1 < 2 then 3 else 1/0", 3},
		{"sum of (if i = 3 then 0 else 1/(i − 3)) for i from 1 to 5", -1 - 0.5 + 1 + 0.5},
		{"sum of (if i < 3 then 1 else atan(1/(i − 3))·0) for i from 1 to 2", 2},
		{"sum of (if i > 5 then sum of 1/(j − 4) for j from 1 to i else 1) for i from 1 to 3", 3},
		{"if 2 < 1 and 1/0 > 0 then 1 else 2", 2},
	} {
		if got := value(t, c.text, s); got != c.want {
			t.Errorf("%s = %v, want %v", c.text, got, c.want)
		}
	}
}

// TestLostDigits: differences of nearly equal numbers draw a note, exact ones
// do not.
// TestLostDigits: a difference gets a note if fewer than three of its digits are
// right. The share of the exact value by which each is off was worked out by
// hand from the spacing of float64.
func TestLostDigits(t *testing.T) {
	s := define(t, names{}, "d", "36 mm", "e", "36 mm·(1 + 10^−12)", "one", "1", "f(u)", "u + 1 − u")
	for text, noted := range map[string]bool{
		"1e16 + 1 − 1e16":               true,  // 0, not 1
		"10^16·one + 1 − 10^16":         true,  // the same through a name
		"f(10^16)":                      true,  // and in a function
		"1e16 + 4 − 1e16":               false, // exact
		"0.1 + 0.2 − 0.3":               true,  // 5.6e-17, not 0
		"(1 + 1e-13/3) − 1":             true,  // off by 8e-4
		"(1 + 1e-12/3) − 1":             false, // off by 9e-5
		"(1e13 + 0.3) − 1e13":           true,  // off by 2.6e-3
		"(1e12 + 0.3) − 1e12":           false, // off by 7e-5
		"1000000.036 − 1000000":         false, // off by 6e-10
		"sin(one)^2 + cos(one)^2 − 1":   false, // 0 to 57 digits
		"((1e12 + 0.3) − 1e12) − 0.3":   true,  // 2e-5, not 0
		"((1e12 + 0.3) − 1e12) − 0.29":  true,  // off by 2e-3, though hardly any digit cancels here
		"1/d^3 − 1/e^3":                 false, // five digits
		"(1/d^3 − 1/d^3)":               false, // exactly 0
		"36 mm − 0.036 m":               false, // exactly 0
		"d − d":                         false,
		"1000000000001 − 1000000000000": false,
		"d − 2·e":                       false,
		"10^15·one + 1 − 10^15":         false,
		"sum of (i/3 − (i/3 + 10^−13)) for i from 1 to 3": false, // the terms are many
	} {
		run := newRun()
		if _, list := Evaluate(run, parse(t, text), s); list.HasErrors() {
			t.Fatal(list)
		}
		if got := len(run.Notes) == 1 && run.Notes[0].Code == CodeCancellation; got != noted {
			t.Errorf("%s: noted %v, want %v: %v", text, got, noted, run.Notes)
		}
	}
}

// What is too small for a float64 counts as 0, and never without a word.
func TestTooSmallIsRemarked(t *testing.T) {
	for _, test := range []struct {
		text string
		note bool
	}{
		{"1e-200·1e-200", true}, {"1e-300/1e300", true}, {"(1e-200)^2", true}, {"exp(−800)", true},
		{"0·1e-200", false}, {"0/3", false}, {"0^2", false}, {"1e-200·1e-100", false},
	} {
		run := newRun()
		v, list := Evaluate(run, parse(t, test.text), names{})
		if list.HasErrors() {
			t.Fatal(list.Err())
		}
		noted := len(run.Notes) == 1 && run.Notes[0].Code == CodeTooSmall
		if noted != test.note || test.note && v.Number != 0 {
			t.Errorf("%s is %v with the notes %v", test.text, v.Number, run.Notes)
		}
	}
}
