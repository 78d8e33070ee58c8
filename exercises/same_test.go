package exercises

import "testing"

// An answer in another unit is the same answer as far as the finer one is written.
func TestTheSameInAnotherUnit(t *testing.T) {
	v := set(t, quill)
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"5 deg", "0.0873 rad", true},
		{"5 deg", "0.08727 rad", true},
		{"0.0873 rad", "5 deg", true},
		{"5 deg", "5.00°", true},
		{"5 deg", "0.09 rad", true}, // as far as that is written
		{"5 deg", "0.0876 rad", false},
		{"0.9 deg", "0.91 deg", false},
		{"0.9 deg", "0.0159 rad", false},
	} {
		if got := v.Same(t.Context(), "twist", c.a, c.b); got != c.same {
			t.Errorf("%s and %s: %t, want %t", c.a, c.b, got, c.same)
		}
	}
}
