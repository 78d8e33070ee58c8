package derivation

import "testing"

func TestWithGaps(t *testing.T) {
	const text = "a = b\n  = ?   because of c\n# = ?\n=?\n\t= d"
	for _, c := range []struct {
		name string
		gaps []string
		want string
	}{
		{"none", nil, text},
		{"left open", []string{"", " ? "}, text},
		{"the second only", []string{"", "e"}, "a = b\n  = ?   because of c\n# = ?\n=e\n\t= d"},
		{"both, the reason stays", []string{"= x", "y\nz"}, "a = b\n  = x   because of c\n# = ?\n=y z\n\t= d"},
		{"a reason of its own", []string{"x because I say so"}, "a = b\n  = x because I say so\n# = ?\n=?\n\t= d"},
		{"more than there are", []string{"", "", "e"}, text},
		{"signs that a replacement might read", []string{"$1 \\1"}, "a = b\n  = $1 \\1   because of c\n# = ?\n=?\n\t= d"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := WithGaps(text, c.gaps); got != c.want {
				t.Errorf("got  %q\nwant %q", got, c.want)
			}
		})
	}
}
