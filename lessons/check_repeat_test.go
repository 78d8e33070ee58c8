package lessons_test

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"

	"shaftbook/lessons"
)

func TestCheckNotesWhatACellRepeats(t *testing.T) {
	const head = "G = 79 GPa\nL = 0.8 m\nd_0 = 36 mm\nd_1 = 54 mm\nd_a = 36 mm\nn = 4\n"
	for _, c := range []struct {
		name, calc, shaft string
		want              []string // what is repeated, and the repair
	}{
		{"a shaft that has its own modulus", "", "G = 79 GPa\nsolid d_1 for L", []string{"79 GPa: write G"}},
		{"a shaft that uses the names", "", "G = G\nsolid d_1 for L", nil},
		{"the same length in another unit", "", "G = G\nsolid d_1 for 800 mm", []string{"800 mm: write L"}},
		{"two names of one value", "", "G = G\nsolid 36 mm for L", []string{"36 mm: write d_0 or d_a"}},
		{"stations of a measured piece", "", "G = G\nmeasured 0 mm: 36 mm, 800 mm: 54 mm", nil},
		{"within a formula", "θ = 300 N·m·L/(79 GPa·π/32·d_0^4)", "", []string{"79 GPa: write G"}},
		{"within a function", "d(x) = 36 mm + (d_1 − d_0)·x/L", "", []string{"36 mm: write d_0 or d_a"}},
		{"a formula in other units", "k = 2·(79000 MPa)", "", nil},
		{"a line that only names it again", "L_2 = 0.8 m", "", nil},
		{"a slider", "vary d from 36 mm to 54 mm", "", nil},
		{"a pure number", "m = 4 + n", "", nil},
		{"a check", "expect d_0 between 36 mm and 54 mm", "", nil},
		{"nothing", "y = L + 0 m", "", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := "---\ntitle: A\norder: 1\nsummary: B\nminutes: 1\n---\n\n```calc\n" + head + c.calc + "\n```\n"
			if c.shaft != "" {
				page += "\n```shaft bar\n" + c.shaft + "\nhold at 0 m\ntorque 300 N·m at L\n```\n"
			}
			shelf, found := lessons.Load(fstest.MapFS{"a.md": {Data: []byte(page)}})
			if len(found) > 0 {
				t.Fatal(found)
			}
			list, err := lessons.Check(context.Background(), shelf.Lessons[0], true)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, d := range list {
				if d.Code == lessons.CodeRepeat {
					got = append(got, d.Span.Content()+": "+d.Repair)
				}
			}
			if strings.Join(got, "; ") != strings.Join(c.want, "; ") {
				t.Errorf("notes %q, want %q (all: %v)", got, c.want, list)
			}
		})
	}
}
