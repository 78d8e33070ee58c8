package figure

import (
	"testing"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		v       float64
		figures int
		want    string
	}{
		{0, 4, "0"}, {-0.5, 4, "−0.5"}, {1150, 5, "1150"}, {1234.56, 4, "1235"}, {0.0694, 2, "0.069"},
		{4.12e-6, 3, "4.12×10⁻⁶"}, {-2e7, 3, "−2×10⁷"}, {999999, 3, "999\u202f999"}, {-12345.6, 6, "−12\u202f345.6"}, {9999, 4, "9999"}, {36, 4, "36"}, {0.001, 1, "0.001"},
	} {
		if got := FormatNumber(c.v, c.figures); got != c.want {
			t.Errorf("format(%g, %d) = %s, want %s", c.v, c.figures, got, c.want)
		}
	}
}

func TestDivideByUnit(t *testing.T) {
	for _, c := range [][3]string{
		{"x", "mm", "x / mm"}, {"twist", "deg", "twist / °"}, {"internal torque", "N·m", "internal torque / (N·m)"},
		{"rate", "deg/m", "rate / (°/m)"}, {"T/(G·J(x))", "deg/m", "(T/(G·J(x))) / (°/m)"}, {"|a − b|", "deg", "|a − b| / °"},
		{"ratio", "", "ratio"}, {"", "mm", "mm"},
	} {
		if got := DivideByUnit(c[0], c[1]); got != c[2] {
			t.Errorf("%s by %s is %q, want %q", c[0], c[1], got, c[2])
		}
	}
	if got := NumberWithUnit("1.5", "deg"); got != "1.5°" {
		t.Errorf("an angle is %q", got)
	}
}
