package notation_test

import (
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

func TestGivenShowsItsUnitOnce(t *testing.T) {
	for text, want := range map[string]bool{
		"given C: N^-1·m^-1 > 0 N^-1·m^-1": false, "given L: m > 0 mm": false, "given L: m": true, "given L: m > 0": true, "given L: length > 0 m": false,
	} {
		cell, list := notation.ParseDerivation(source.NewText("d", text))
		if list.HasErrors() || len(cell.Lines) == 0 {
			t.Fatalf("%s: %v", text, list)
		}
		g, ok := cell.Lines[0].(*notation.Given)
		if !ok || len(g.Items) != 1 {
			t.Fatalf("%s: %T", text, cell.Lines[0])
		}
		if got := g.Items[0].ShowsUnit(); got != want {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
}
