package figure_test

import (
	"fmt"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/plot"
)

func ExampleError() {
	p := &plot.Plot{
		X:      plot.Axis{Label: "segments n"},
		Y:      plot.Axis{Label: "error", Log: true},
		Curves: []plot.Curve{{Label: "midpoint", X: []float64{1, 2}, Y: []float64{0.1, 0}}},
	}
	_, err := p.SVG(figure.Options{})
	fmt.Println(err)
	// Output: curve “midpoint” has the value y = 0, which has no place on a logarithmic axis at x = 2: leave out values that are not above zero, or drop the log axes
}

func ExampleCache() {
	cache := figure.NewCache(8 << 20)
	p := &plot.Plot{Heading: "Twist", Curves: []plot.Curve{{X: []float64{0, 1}, Y: []float64{0, 1}}}}
	first, _ := cache.SVG(p, figure.Options{ID: "f1"})
	again, _ := cache.SVG(p, figure.Options{ID: "f1"}) // not drawn again
	fmt.Println(&first[0] == &again[0])
	// Output: true
}
