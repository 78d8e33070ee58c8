package working_test

import "testing"

// The ends of a written bracket are those of its text.
func TestEndsOfWrittenBrackets(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"whole low", "x = floor(low(1.3 ± 0.3))", "1"},
		{"whole high", "x = ceil(high(1.7 ± 0.3))", "2"},
		{"width", "x = width(2 ± 0.15)", "0.3"},
		{"mid", "x = mid(0.7 ± 0.3)", "0.7"},
		{"between", "x = mid(between 0.1 and 0.3)", "0.2"},
		{"a negative half", "x = low(1.3 ± (−0.3))", "1"},
		{"a name", "b = 1.3 ± 0.3\nx = floor(low(b))", "1"},
		{"in units", "b = 36 mm ± 0.1 mm\nx = low(b) in m", "0.0359"},
		{"names within", "m = 1.3\nh = 0.3\nb = m ± h\nx = floor(low(b))", "1"},
		{"hidden names", "m = 1.3\nb = m ± 0.3\nf(m) = floor(low(b)) + m\nx = f(5)", "6"},
		{"in an integral", "b = 1.3 ± 0.3\nx = integral of low(b)·u for u from 0 to 2", "2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := resultOf(t, c.text)
			sure, _ := r.Certainty()
			if !sure.Certain || !encloses(sure.Low, sure.High, exact(t, c.want)) {
				t.Errorf("%s: certain %v from %v to %v (%s), want %s", r.Shown(), sure.Certain, sure.Low, sure.High, sure.Reason, c.want)
			}
		})
	}
	for _, text := range []string{"expect low(1.3 ± 0.3) ≥ 1", "expect high(1.7 ± 0.3) ≤ 2"} {
		if r := resultOf(t, text); r.Verdict == nil || !r.Verdict.Holds {
			t.Errorf("%s fails", text)
		}
	}
}
