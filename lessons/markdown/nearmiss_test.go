package markdown

import "testing"

func TestMeantKind(t *testing.T) {
	for _, c := range []struct{ word, want string }{
		{"Calc", "calc"}, {"calculation", "calc"}, {"cacl", "calc"}, {"call", "calc"}, {"{calc}", "calc"},
		{"excercise", "exercise"}, {"exercice", "exercise"}, {"excersise", "exercise"}, {"Exercises", "exercise"},
		{"dervie", "derive"}, {"drive", "derive"}, {"derivation", "derive"}, {"shfat", "shaft"}, {"shaf", "shaft"}, {"guss", "guess"}, {"quess", "guess"},
		{"text", ""}, {"yaml", ""}, {"markdown", ""}, {"sh", ""}, {"go", ""}, {"c", ""}, {"css", ""}, {"less", ""}, {"scala", ""}, {"rust", ""}, {"shell", ""}, {"", ""}, {"csv", ""}, {"tex", ""},
	} {
		if got := meantKind(c.word); got != c.want {
			t.Errorf("%q is taken for %q, want %q", c.word, got, c.want)
		}
	}
}
