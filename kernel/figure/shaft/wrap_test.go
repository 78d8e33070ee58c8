package shaft

import (
	"slices"
	"testing"

	"shaftbook/kernel/figure/canvas"
)

func TestWrap(t *testing.T) {
	wide := func(s string) float64 { return canvas.TextWidth(s, canvas.TextSize) }
	for _, c := range []struct {
		name, text string
		width      float64
		want       []string
	}{
		{"nothing", "", 100, nil},
		{"on one line", "two words", wide("two words"), []string{"two words"}},
		{"between words", "two words", wide("two words") - 1, []string{"two", "words"}},
		{"not at an equals sign", "at rest. y = a/b = 3 at x = 0.", wide("y = a/b = 3"), []string{"at rest.", "y = a/b = 3", "at x = 0."}},
		{"at an equals sign where nothing else is left", "y = a/b = 3", wide("y = a/b"), []string{"y = a/b", "= 3"}},
		{"a word that is too long", "a b", 1, []string{"a", "b"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := wrap(c.text, c.width); !slices.Equal(got, c.want) {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
