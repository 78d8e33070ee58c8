package exercises

import (
	"strings"
	"testing"

	"shaftbook/exercises/marking"
)

// An answer of many pieces is read with bounded work, however they are joined. Of the
// pieces, deg and in once doubled the readings each.
func TestManyPieces(t *testing.T) {
	for _, name := range []string{"bar", "formula"} {
		v := set(t, asked[name].block)
		for _, piece := range []string{"1 or ", "1 deg or\t", "1 deg, or ", "1 deg oder ", "1 to ", "1 deg / ", "1 deg |", "a = 1; ", "(", "1 deg (", "1'2\" ", "1,000 ", "deg ", "1 deg deg ", "T/G deg ", "T in deg ", "TLGd", "sin 0.2/"} {
			if got := mark(t, v, asked[name].part, strings.Repeat(piece, marking.MaxAnswer/len(piece))); got.Kind.IsTry() || len(got.Choices) > 0 {
				t.Errorf("%s %q: %s with %d choices", name, piece, got.Kind, len(got.Choices))
			}
		}
	}
}
