package markdown

import "testing"

func TestNumbersAreJoinedToTheirUnits(t *testing.T) {
	tests := []struct{ in, want string }{
		{"a bar of 36 mm, or 0.8 m.", "a bar of 36\u00a0mm, or 0.8\u00a0m."},
		{"off by 5 % at most", "off by 5\u00a0% at most"},
		{"420 N·m and 3 in a row", "420\u00a0N·m and 3 in a row"},
		{"the 16 lessons", "the 16 lessons"},
		{"12 kN·m/rad (stiff)", "12\u00a0kN·m/rad (stiff)"},
	}
	for _, test := range tests {
		if got := string(bound([]byte(test.in))); got != test.want {
			t.Errorf("%q becomes %q, want %q", test.in, got, test.want)
		}
	}
}
