package figure_test

import (
	"fmt"
	"strings"

	"shaftbook/kernel/figure"
)

func ExamplePlot() {
	p := &figure.Plot{
		Heading: "Diameter along the quill",
		X:       figure.Axis{Label: "x", Unit: "mm"},
		Y:       figure.Axis{Label: "diameter d(x)", Unit: "mm"},
		Curves:  []figure.Curve{{X: []float64{0, 200, 1000}, Y: []float64{36, 36, 54}}},
	}
	svg, err := p.SVG(figure.Options{ID: "cell-2-1", Width: 360})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Contains(string(svg), " style="), p.Description())
	// Output: false “diameter d(x)”: from 36 mm at x = 0 mm to 54 mm at x = 1000 mm.
}

func ExampleError() {
	p := &figure.Plot{
		X:      figure.Axis{Label: "segments n"},
		Y:      figure.Axis{Label: "error", Log: true},
		Curves: []figure.Curve{{Label: "midpoint", X: []float64{1, 2}, Y: []float64{0.1, 0}}},
	}
	_, err := p.SVG(figure.Options{})
	fmt.Println(err)
	// Output: curve “midpoint” has the value y = 0, which has no place on a logarithmic axis at x = 2: leave out values that are not above zero, or drop the log axes
}

func ExampleShaftDrawing() {
	s := &figure.ShaftDrawing{
		Heading:    "The quill",
		LengthUnit: "mm",
		Pieces: []figure.Piece{{From: 0, To: 800,
			Outer: []figure.Sample{{X: 0, D: 36}, {X: 800, D: 54}}}},
		Holds:   []figure.Support{{X: 0}},
		Torques: []figure.Torque{{X: 800, Value: 420, Label: "420 N·m"}},
	}
	fmt.Println(s.Description())
	// Output: A shaft 800 mm long in 1 piece. Piece 1, 800 mm long: diameter 36 to 54. Held at 0 mm. Torque 420 N·m about +x at 800 mm. Dimensions in mm. Diameters drawn 2.5 times larger than lengths.
}

func ExampleCache() {
	cache := figure.NewCache(8 << 20)
	p := &figure.Plot{Heading: "Twist", Curves: []figure.Curve{{X: []float64{0, 1}, Y: []float64{0, 1}}}}
	first, _ := cache.SVG(p, figure.Options{ID: "f1"})
	again, _ := cache.SVG(p, figure.Options{ID: "f1"}) // not drawn again
	fmt.Println(&first[0] == &again[0])
	// Output: true
}
