package unit

import (
	"math"
	"testing"
)

func TestCertain(t *testing.T) {
	deg, _ := Parse("deg")
	mm, _ := Parse("mm")
	for _, c := range []struct {
		name   string
		lo, hi float64
		text   string
		u      Unit
		want   bool
	}{
		{"a point", 0.036, 0.036, "36 mm", mm, true},
		{"narrower than half a unit", 0.97061, 0.97064, "0.9706", One, true},
		{"wider than half a unit", 0.97055, 0.97064, "0.9706", One, false},
		{"narrow, but elsewhere", 0.97071, 0.97072, "0.9706", One, false},
		{"over a tie", 2.49999, 2.50001, "3", One, true},
		{"over the same tie, the other way", 2.49999, 2.50001, "2", One, true},
		{"exact in two figures, known to two", 0.0359, 0.0361, "36 mm", mm, false},
		{"in degrees", 0.016940 - 1e-8, 0.016940 + 1e-8, "0.9706 deg", deg, true},
		{"a rounded whole number", 164895.9, 164896.1, "164900", One, true},
		{"a rounded whole number, wide", 164860, 164930, "164900", One, false},
		{"a power of ten", -3.20004e-5, -3.20003e-5, "−3.200×10⁻⁵", One, true},
		{"nought of nought", 0, 0, "0", One, true},
		{"nought, or perhaps 1", 0, 2, "0", One, false},
		{"nought, or very small", 0, 1.1e-20, "0", One, false},
		{"not finite", 0, math.Inf(1), "1", One, false},
		{"no number", 0, 0, "holds", One, false},
	} {
		if got := Certain(c.lo, c.hi, c.text, c.u, Rounding{}); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	if !Certain(882960, 882970, "883000", One, Rounding{Figures: 3}) || Certain(882960, 884970, "883000", One, Rounding{Figures: 3}) {
		t.Error("a whole number of three figures is known to thousands")
	}
	if !Certain(0, 1.1e-20, "0.00", One, Rounding{Places: 2, HasPlaces: true}) {
		t.Error("what is shown to two places need not be known to more")
	}
	if !Certain(0.0359, 0.0361, "36 mm", mm, Rounding{Figures: 2}) {
		t.Error("what is shown to two figures need not be known to more")
	}
}

func TestContradicts(t *testing.T) {
	for _, c := range []struct {
		name   string
		lo, hi float64
		want   bool
	}{
		{"around it", 0.97061, 0.97064, false},
		{"wide, around it", 0.9, 1.1, false},
		{"narrow, elsewhere", 0.97071, 0.97072, true},
		{"half of it", 0.4853, 0.4854, true},
	} {
		if got := Contradicts(c.lo, c.hi, "0.9706", One, Rounding{}); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
