package plot

import (
	"math"

	"shaftbook/kernel/figure"
)

// The figures of the tests, after the mill's drive line; every number is our
// own.

func curve(label string, from, to float64, n int, f func(float64) float64) Curve {
	c := Curve{Label: label}
	for i := range n {
		x := from + (to-from)*float64(i)/float64(n-1)
		c.X = append(c.X, x)
		c.Y = append(c.Y, f(x))
	}
	return c
}

func diameterPlot() *Plot {
	return &Plot{
		Heading: "Diameter along the tapered quill",
		Finding: "The quill grows evenly from 36 mm to 54 mm between two uniform ends",
		X:       Axis{Label: "x", Unit: "mm"},
		Y:       Axis{Label: "diameter d(x)", Unit: "mm"},
		Curves: []Curve{curve("", 0, 1150, 116, func(x float64) float64 {
			return 36 + 18*math.Max(0, math.Min(1, (x-200)/800))
		})},
	}
}

func twistPlot(n int) *Plot {
	taper := func(d float64) func(float64) float64 {
		return func(x float64) float64 {
			k := (54 - d) / 800
			return 180 / math.Pi * 32 * 420e3 / (math.Pi * 79e3) / (3 * k) * (1/(d*d*d) - 1/math.Pow(d+k*x, 3))
		}
	}
	uniform := func(d float64) func(float64) float64 {
		return func(x float64) float64 { return 180 / math.Pi * 32 * 420e3 * x / (math.Pi * 79e3 * d * d * d * d) }
	}
	return &Plot{
		Heading:  "Twist along the taper between two uniform shafts",
		Finding:  "The taper twists more than the thick uniform shaft and less than the thin one",
		X:        Axis{Label: "x", Unit: "mm"},
		Y:        Axis{Label: "twist θ", Unit: "deg"},
		Quantity: figure.Twist,
		Curves: []Curve{
			curve("thin end", 0, 800, n, uniform(36)),
			curve("taper", 0, 800, n, taper(36)),
			curve("thick end", 0, 800, n, uniform(54)),
		},
	}
}

func convergencePlot() *Plot {
	p := &Plot{
		Heading: "Error of the segment sum",
		Finding: "Four times as exact with every doubling of the number of segments",
		X:       Axis{Label: "segments n", Log: true},
		Y:       Axis{Label: "relative error", Log: true},
	}
	mid, ends := Curve{Label: "mid-length diameter", Points: true}, Curve{Label: "mean of the end flexibilities", Points: true}
	for n := 1.0; n <= 256; n *= 2 {
		mid.X, mid.Y = append(mid.X, n), append(mid.Y, 0.27/(n*n+0.8))
		ends.X, ends.Y = append(ends.X, n), append(ends.Y, 0.54/(n*n+0.2))
	}
	p.Curves = []Curve{mid, ends}
	p.Chosen = []float64{4}
	return p
}

// torquePlot jumps where a load is.
func torquePlot() *Plot {
	return &Plot{
		Heading:  "Internal torque along x",
		X:        Axis{Label: "x", Unit: "mm"},
		Y:        Axis{Label: "internal torque", Unit: "N·m"},
		Quantity: figure.Torque,
		Curves:   []Curve{{X: []float64{0, 400, 400, 1200}, Y: []float64{200, 200, -320, -320}}},
	}
}

// ordersPlot has four errors of two orders.
func ordersPlot() *Plot {
	p := &Plot{
		Heading:  "Error of four choices",
		X:        Axis{Label: "m", Log: true},
		Y:        Axis{Label: "error", Unit: "deg", Log: true},
		Quantity: figure.Twist,
		Chosen:   []float64{20},
	}
	for _, c := range []struct {
		label string
		k, p  float64
	}{{"thin end", 0.3, 1}, {"thick end", 0.2, 1}, {"both ends", 0.1, 2}, {"middle", 0.05, 2}} {
		v := Curve{Label: c.label}
		for n := 1.0; n <= 200; n = math.Ceil(n * 1.2) {
			v.X, v.Y = append(v.X, n), append(v.Y, c.k/math.Pow(n, c.p))
		}
		p.Curves = append(p.Curves, v)
	}
	return p
}

func bracketPlot() *Plot {
	low, high := Curve{Label: "every segment at its thick end"}, Curve{Label: "every segment at its thin end"}
	for n := 1.0; n <= 40; n++ {
		low.X, low.Y = append(low.X, n), append(low.Y, 0.97-0.55/n)
		high.X, high.Y = append(high.X, n), append(high.Y, 0.97+0.83/n)
	}
	return &Plot{
		Heading:  "The bracket closes on the answer",
		Finding:  "More segments draw the lower and the upper bound together",
		X:        Axis{Label: "segments n"},
		Y:        Axis{Label: "twist θ", Unit: "deg"},
		Quantity: figure.Twist,
		Curves:   []Curve{low, high},
		Marks: []Mark{
			{Way: AcrossY, Low: 0.9, High: 1.05, Label: "allowed"},
			{Way: AcrossX, Low: 8, High: 8, Label: "n = 8"},
		},
	}
}
