package notation_test

import (
	"testing"

	"shaftbook/kernel/notation"
)

// A part counts as often as it stands in a tree, and a tree is not followed beyond
// the bound.
func TestWithinCountsSharedParts(t *testing.T) {
	x := notation.Expr(&notation.Name{Ident: "x"})
	for range 3 {
		x = &notation.Binary{Op: notation.OpAdd, X: x, Y: x}
	}
	if !notation.AtMost(x, 15) || notation.AtMost(x, 14) {
		t.Error("a tree of 15 parts, 4 of them different, does not count as 15")
	}
	for range 200 {
		x = &notation.Binary{Op: notation.OpAdd, X: x, Y: x}
	}
	if notation.AtMost(x, 1_000_000) {
		t.Error("more parts than can be counted count as few")
	}
}
