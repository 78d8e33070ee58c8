package shaft_test

import (
	"fmt"

	"shaftbook/kernel/figure/shaft"
)

func ExampleDrawing() {
	s := &shaft.Drawing{
		Heading:    "The quill",
		LengthUnit: "mm",
		Pieces: []shaft.Piece{{From: 0, To: 800,
			Outer: []shaft.Sample{{X: 0, D: 36}, {X: 800, D: 54}}}},
		Supports: []shaft.Support{{X: 0}},
		Torques:  []shaft.Torque{{X: 800, Value: 420, Label: "420 N·m"}},
	}
	fmt.Println(s.Description())
	// Output: A shaft 800 mm long in 1 piece. Piece 1, 800 mm long: diameter 36 to 54. Held at 0 mm. Torque 420 N·m about +x at 800 mm. Dimensions in mm. Lengths to scale; diameters drawn 2 times larger.
}
