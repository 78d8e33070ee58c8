package exercises_test

import (
	"context"
	"fmt"

	"shaftbook/exercises"
	"shaftbook/kernel/source"
)

const bar = `title: The plain quill
given:
  T: {from: 240 N·m, to: 320 N·m, by: 10 N·m}
  L: 0.8 m
  d: 36 mm
  G: 79 GPa
ask: The twist of the far end
answer: T·L/(G·π/32·d^4)
unit: deg
slips: [radius-for-diameter, bending-for-torsion]
`

// An exercise is read once, set for each learner, and marked as often as they
// answer.
func Example() {
	ctx := context.Background()
	e, list := exercises.Parse("quill-end", source.NewText("lesson.md", bar))
	if list.HasErrors() {
		fmt.Println(list)
		return
	}
	v, err := e.Variant(ctx, exercises.HeadlessKey, "Student 01", 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, g := range v.Given {
		fmt.Println(g.Name, "=", g.Text)
	}
	for _, answer := range []string{"T·L/(G·π/32·d^4)", "T·L/(G·π/64·d^4)"} {
		verdict, err := v.Mark(ctx, "", answer)
		fmt.Println(verdict.Kind, verdict.Points, verdict.Slips, err)
	}
	// Output:
	// T = 300 N·m
	// L = 0.8 m
	// d = 36 mm
	// G = 79 GPa
	// right 1 [] <nil>
	// slip 0 [bending-for-torsion] <nil>
}

// Prove shows an author what is wrong with an exercise before a class sees it.
func ExampleProve() {
	e, _ := exercises.Parse("quill-end", source.NewText("lesson.md", bar+"bounds: {low: 0 deg, high: 1 deg}\n"))
	proof, err := exercises.Prove(context.Background(), e)
	fmt.Println(proof.Usable, "of", proof.Tried, err)
	for _, d := range proof.Problems {
		if d.Code == exercises.CodeBounds {
			fmt.Println(d.Error())
		}
	}
	// Output:
	// 9 of 9 <nil>
	// the answer is within twice the tolerance of a bound: T = 280 N·m, L = 0.8 m, d = 36 mm, G = 79 GPa: widen the bounds or tighten the tolerance
	// the answer is outside its own bounds: T = 290 N·m, L = 0.8 m, d = 36 mm, G = 79 GPa: correct the answer or the bounds
}
