package words

import "testing"

func TestCounts(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Count(0, "row"), "0 rows"}, {Count(1, "row"), "1 row"}, {Count(2, "row"), "2 rows"}, {Count(-1, "row"), "-1 rows"},
		{CountOf(1, "try", "tries"), "1 try"}, {CountOf(3, "try", "tries"), "3 tries"},
		{Amount(1, "point"), "1 point"}, {Amount(0.5, "point"), "0.5 points"}, {Amount(2, "point"), "2 points"},
		{Are(1), "is"}, {Are(0), "are"}, {Are(2), "are"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

func TestLists(t *testing.T) {
	for _, c := range []struct {
		list    []string
		and, or string
	}{
		{nil, "", ""},
		{[]string{"a"}, "a", "a"},
		{[]string{"a", "b"}, "a and b", "a or b"},
		{[]string{"a", "b", "c"}, "a, b and c", "a, b or c"},
	} {
		if got := And(c.list); got != c.and {
			t.Errorf("and: %q, want %q", got, c.and)
		}
		if got := Or(c.list); got != c.or {
			t.Errorf("or: %q, want %q", got, c.or)
		}
	}
}
