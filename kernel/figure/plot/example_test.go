package plot_test

import (
	"fmt"
	"strings"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/plot"
)

func ExamplePlot() {
	p := &plot.Plot{
		Heading: "Diameter along the quill",
		X:       plot.Axis{Label: "x", Unit: "mm"},
		Y:       plot.Axis{Label: "diameter d(x)", Unit: "mm"},
		Curves:  []plot.Curve{{X: []float64{0, 200, 1000}, Y: []float64{36, 36, 54}}},
	}
	svg, err := p.SVG(figure.Options{ID: "cell-2-1", Width: 360})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Contains(string(svg), " style="), p.Description())
	// Output: false “diameter d(x)”: from 36 mm at x = 0 mm to 54 mm at x = 1000 mm.
}
