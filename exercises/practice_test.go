package exercises

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"shaftbook/kernel/source"
)

// TestPracticeNeverHasTheMarkedNumbers draws numbers to practise with for many learners
// of exercises with few sets of numbers, where they would often be the marked ones.
func TestPracticeNeverHasTheMarkedNumbers(t *testing.T) {
	const ask = "ask: The twist\nanswer: T·L/(G·π/32·d^4)\n"
	for _, c := range []struct {
		name, block string
		only        bool // no other numbers
	}{
		{"two sets", "title: t\ngiven: {T: {one of: [300 N·m, 400 N·m]}, L: 1 m, d: 40 mm, G: 79 GPa}\n" + ask, false},
		{"six sets", "title: t\ngiven: {T: {one of: [300 N·m, 400 N·m]}, L: {one of: [1 m, 2 m, 3 m]}, d: 40 mm, G: 79 GPa}\n" + ask, false},
		{"two structures", "title: t\ngiven: {T: 300 N·m, L: 1 m, G: 79 GPa}\n" + ask + "structures:\n  - {name: thin, given: {d: 30 mm}}\n  - {name: thick, given: {d: 40 mm}}\n", false},
		{"one set", "title: t\ngiven: {T: 300 N·m, L: 1 m, d: 40 mm, G: 79 GPa}\n" + ask, true},
		{"one set that meets the conditions", "title: t\ngiven: {T: {one of: [300 N·m, 400 N·m]}, L: 1 m, d: 40 mm, G: 79 GPa}\nwhere: [T < 350 N·m]\n" + ask, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, list := Parse("t", source.NewText("block", c.block))
			if list.HasErrors() {
				t.Fatal(list.Err())
			}
			for n := range 30 {
				learner := fmt.Sprint("Student ", n)
				marked, err := e.Variant(context.Background(), HeadlessKey, learner, 0)
				if err != nil {
					t.Fatal(err)
				}
				v, err := e.VariantBut(context.Background(), HeadlessKey, learner, -1-n, marked)
				switch {
				case c.only != errors.Is(err, ErrOneSet), !c.only && err != nil:
					t.Fatalf("the error is %v", err)
				case v != nil && v.numbers() == marked.numbers():
					t.Fatalf("%s has the marked numbers to practise with: %s", learner, v.numbers())
				}
			}
		})
	}
}
