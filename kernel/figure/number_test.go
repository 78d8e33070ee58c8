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
		{4.12e-6, 3, "4.12×10⁻⁶"}, {-2e7, 3, "−2×10⁷"}, {999999, 3, "999999"}, {36, 4, "36"}, {0.001, 1, "0.001"},
	} {
		if got := FormatNumber(c.v, c.figures); got != c.want {
			t.Errorf("format(%g, %d) = %s, want %s", c.v, c.figures, got, c.want)
		}
	}
}
