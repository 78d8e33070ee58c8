package working_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/working"
)

const triedTaper = `T = 420 N·m
G = 79 GPa
L = 0.8 m
d(x) = 36 mm + 18 mm·x/L
J(x) = π/32·d(x)^4
vary n from 1 to 64 by 1 starting at 4
h = L/n
mid_n = sum of T·h/(G·J((i − 1/2)·h)) for i from 1 to n in deg
thick = sum of T·h/(G·J(i·h)) for i from 1 to n in deg
thin = sum of T·h/(G·J((i − 1)·h)) for i from 1 to n in deg
ends = (thick + thin)/2 in deg
`

// trialsOf evaluates the taper with one more statement, and returns that statement's
// result.
func trialsOf(t *testing.T, statement string) (*working.Working, working.Result) {
	t.Helper()
	w := newWorking(t, calcCell("a", triedTaper), calcCell("b", statement))
	return w, w.Results("b")[0]
}

func textOf(table *working.Table) string {
	var lines []string
	for _, row := range table.Marked() {
		lines = append(lines, strings.Join(row, " "))
	}
	return strings.Join(lines, "\n")
}

func TestTrials(t *testing.T) {
	tests := []struct{ name, statement, want string }{
		{"nothing tried", "trials of mid_n for n", "4 0.6867 –"},
		{"tried twice counts once", "trials of mid_n for n at 4, 4, 2", "2 0.6680 –\n4 0.6867 0.0187"},
		{"the present value is no step of the others", "trials of mid_n for n at 2, 8", "2 0.6680 –\n4 0.6867 0.0187\n8 0.6916 0.0236"},
		{"a bracket between two sums", "trials of mid_n between thick and thin for n at 4", "4 0.6867 – 0.5583 0.8548 0.296"},
		{"a guess stands beside what was tried", "trials of mid_n for n at 2, 4 guessed 0.7 deg at 4, 0.8 deg at 4, 0.9 deg at 8", "2 0.6680 – – –\n4 0.6867 0.0187 0.7 0.013"},
		{"several choices", "trials of thick in deg to 3 figures, mid_n, thin for n at 4", "4 0.558 0.6867 0.8548"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, r := trialsOf(t, tt.statement)
			if r.Failed() {
				t.Fatal(r.Diagnostics)
			}
			if got := textOf(r.Table); got != tt.want {
				t.Errorf("got\n%s\nwant\n%s", got, tt.want)
			}
		})
	}
}

func TestTrialsRefused(t *testing.T) {
	tests := []struct{ name, statement, want string }{
		{"no slider", "trials of mid_n for G", "G is not driven by a slider, so it cannot be tried at other values"},
		{"a value of another kind", "trials of mid_n for n at 3 mm", "the value tried does not fit the slider: a length (3 mm) for a pure number (n)"},
		{"a bracket of another kind", "trials of mid_n between G and G for n", "the lower end is not like the value it is an end for"},
		{"a value instead of a bracket", "trials of mid_n within thin for n", "thin is one value, but within needs a bracket"},
		{"no place of the slider", "trials of mid_n for n at 0.5", "the slider n takes whole numbers, so it cannot have been at 0.5"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, r := trialsOf(t, tt.statement)
			if d := r.Diagnostics.FirstError(); d == nil || !strings.Contains(d.Message, tt.want) {
				t.Errorf("got %v, want %q", r.Diagnostics, tt.want)
			}
		})
	}
}

// The midpoint rule and the trapezoidal rule are of second order, the rules with one end
// of each piece of first: the error of the former falls like h², of the latter like h.
// K. E. Atkinson, An Introduction to Numerical Analysis, 2nd ed., Wiley 1989, sections
// 5.1 and 5.2; for the ends, any text on Riemann sums (both from memory).
func TestOrderOfConvergence(t *testing.T) {
	_, r := trialsOf(t, "trials of thick, mid_n, ends, thin for n at 4, 8, 16, 32, 64")
	want := []float64{-1, -2, -2, -1}
	if len(r.Trials.Fits) != len(want) {
		t.Fatalf("fits: %v", r.Trials.Fits)
	}
	for i, f := range r.Trials.Fits {
		if math.Abs(f.Slope-want[i]) > 0.1 || f.Points != 4 || f.Error > 0.1 || !strings.Contains(f.Text, working.Mark) || !strings.Contains(f.Text, "estimate") {
			t.Errorf("%+v, want a slope of about %g", f, want[i])
		}
	}
}

func TestForecast(t *testing.T) {
	_, r := trialsOf(t, "trials of mid_n to 6 figures for n at 4, 8, 16 guessed 0.6932 deg at 32")
	f := r.Trials.Next
	if f == nil || f.At != "32" || f.Guess != "0.693200 deg" {
		t.Fatalf("forecast %+v", f)
	}
	var value float64
	if _, err := fmt.Sscanf(f.Value, working.Mark+"%g deg", &value); err != nil || math.Abs(value-0.693199) > 5e-6 { // mid_n at n = 32 is 0.693199 deg
		t.Errorf("forecast %q: %v", f.Value, err)
	}
	if _, r := trialsOf(t, "trials of mid_n for n at 64"); r.Trials.Next != nil {
		t.Error("a forecast beyond the end of the slider")
	}
	if _, r := trialsOf(t, "trials of mid_n for n at 4, 8"); r.Trials.Next == nil || r.Trials.Next.Value != "" {
		t.Error("two trials leave no forecast")
	}
}

// TestTrialsFollowTheText checks that the changes which are offered read back as the
// statement with one trial more, with a guess, and with none.
func TestTrialsFollowTheText(t *testing.T) {
	w, r := trialsOf(t, "trials of mid_n for n  # what settles")
	apply := func(at, end int, text string) working.Result {
		t.Helper()
		now, _ := w.Text("b")
		if err := w.Edit("b", now[:at]+text+now[end:]); err != nil {
			t.Fatal(err)
		}
		if err := w.Evaluate(context.Background(), nil); err != nil {
			t.Fatal(err)
		}
		return w.Results("b")[0]
	}
	for _, n := range []float64{2, 8, 16} {
		if err := w.Vary("n", n); err != nil {
			t.Fatal(err)
		}
		if err := w.Evaluate(context.Background(), nil); err != nil {
			t.Fatal(err)
		}
		r = w.Results("b")[0]
		fix := r.Trials.Add
		r = apply(fix.Span.Start, fix.Span.End, fix.Text)
		if r.Trials.Add != nil || !r.Trials.Tried {
			t.Fatal("a value that was tried is offered again")
		}
	}
	f := r.Trials.Next
	apply(f.Place.Start, f.Place.End, f.Between[0]+"0.69"+f.Between[1])
	if got, _ := w.Text("b"); got != "trials of mid_n for n at 2, 8, 16 guessed 0.69 deg at 32  # what settles" {
		t.Errorf("text %q", got)
	}
	if err := w.Edit("b", "k = 2  # above\n"+"trials of mid_n for n at 2, 8, 16 guessed 0.69 deg at 32  # what settles"); err != nil {
		t.Fatal(err)
	}
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	moved := w.Results("b")[1].Trials.Clear
	if got, _ := w.Text("b"); got[moved.Span.Start:moved.Span.End] != " at 2, 8, 16 guessed 0.69 deg at 32" {
		t.Errorf("below another line the trials would be cleared at %q", got[moved.Span.Start:moved.Span.End])
	}
	if err := w.Edit("b", "trials of mid_n for n at 2, 8, 16 guessed 0.69 deg at 32  # what settles"); err != nil {
		t.Fatal(err)
	}
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	clear := w.Results("b")[0].Trials.Clear
	apply(clear.Span.Start, clear.Span.End, clear.Text)
	if got, _ := w.Text("b"); got != "trials of mid_n for n  # what settles" {
		t.Errorf("cleared %q", got)
	}
}

// TestTrialsAreWhatTheSliderGives holds each row to what the lesson's own line comes to
// with the slider there, to the last bit, also after other values have changed.
func TestTrialsAreWhatTheSliderGives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tried := rapid.SliceOfNDistinct(rapid.IntRange(1, 64), 1, 5, rapid.ID).Draw(t, "tried")
		texts := make([]string, len(tried))
		for i, n := range tried {
			texts[i] = fmt.Sprint(n)
		}
		w := working.New(working.Limits{})
		w.SetCells([]working.Cell{calcCell("a", triedTaper), calcCell("b", "trials of mid_n between thick and thin for n at "+strings.Join(texts, ", ")), calcCell("c", "mid_n\nthick\nthin")})
		evaluate := func() {
			if err := w.Evaluate(context.Background(), nil); err != nil {
				t.Fatal(err)
			}
		}
		evaluate()
		torque := rapid.SampledFrom([]string{"420 N·m", "310 N·m"}).Draw(t, "torque")
		if err := w.Edit("a", strings.Replace(triedTaper, "420 N·m", torque, 1)); err != nil {
			t.Fatal(err)
		}
		n := rapid.SampledFrom(tried).Draw(t, "n")
		if err := w.Vary("n", float64(n)); err != nil {
			t.Fatal(err)
		}
		evaluate()
		table := w.Results("b")[0].Table
		row := table.Numbers[w.Results("b")[0].Trials.Now]
		c := w.Results("c")
		got := []float64{row[0], row[1], row[3], row[4]}
		want := []float64{float64(n), c[0].Value.Number, c[1].Value.Number, c[2].Value.Number}
		if !slices.Equal(got, want) {
			t.Fatalf("row %v, the lines give %v", got, want)
		}
	})
}

func TestTrialsSayWhatABracketDoesNotHold(t *testing.T) {
	tests := []struct{ name, statement, want string }{
		{"it holds", "trials of mid_n between thick and thin for n at 4, 8", ""},
		{"outside", "trials of mid_n between 6 deg and 7 deg for n at 4, 8", "the bracket does not hold the value at n = 4 and 8"},
		{"reversed", "trials of mid_n between thin and thick for n at 4", "the lower end of the bracket is above its upper end at n = 4"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, r := trialsOf(t, tt.statement)
			said := ""
			for _, d := range r.Diagnostics {
				said += d.Message
			}
			if r.Failed() || said != tt.want {
				t.Errorf("said %q, want %q", said, tt.want)
			}
		})
	}
}

func TestTrialsSayWhichPointsAreLeftOut(t *testing.T) {
	_, r := trialsOf(t, "trials of (floor(n/4)) for n at 1, 2, 4, 8, 16")
	if r.Trials == nil || len(r.Trials.Fits) != 1 || !strings.Contains(r.Trials.Fits[0].Text, "; 1 more has no change and is left out") {
		t.Errorf("fits: %+v", r.Trials)
	}
}
