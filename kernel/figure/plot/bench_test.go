package plot

import (
	"bytes"
	"slices"
	"testing"
	"time"

	gonumplot "gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"

	"shaftbook/kernel/figure"
)

// step is the slider's plot: two curves of 200 points; shift moves the points
// without moving the rounded ranges.
func step(k int) *Plot {
	shift := float64(k%50) * 1e-3
	p := &Plot{
		Heading: "Twist", X: Axis{Label: "x", Unit: "mm"}, Y: Axis{Label: "twist θ", Unit: "deg"},
		Curves: []Curve{
			curve("taper", 0, 800, 200, func(x float64) float64 { return 1 + shift - 1/(1+x/300) }),
			curve("segments", 0, 800, 200, func(x float64) float64 { return (1 + shift) * x / 1000 }),
		},
	}
	return p
}

// fullRedraw is the baseline: gonum/plot with its own lines and its own SVG
// canvas, same data and size.
func fullRedraw(tb testing.TB, p *Plot) int {
	g := gonumplot.New()
	g.X.Label.Text, g.Y.Label.Text = "x, mm", "twist, deg"
	g.Add(plotter.NewGrid())
	for _, c := range p.Curves {
		pts := make(plotter.XYs, len(c.X))
		for i := range pts {
			pts[i].X, pts[i].Y = c.X[i], c.Y[i]
		}
		l, err := plotter.NewLine(pts)
		if err != nil {
			tb.Fatal(err)
		}
		g.Add(l)
	}
	c := vgsvg.New(480, 290)
	g.Draw(draw.New(vg.CanvasSizer(c)))
	var b bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		tb.Fatal(err)
	}
	return b.Len()
}

// BenchmarkSliderStep reports, against gonum/plot's full redraw in the same
// run, one step of a slider that only moves points: cold (axes drawn too),
// warm (axes kept) and seen before (the whole figure kept).
//
// Of the 14 to 18 µs of a warm step the profile finds a third in the digits of the paths,
// which is the floor of writing them, a fifth of it for the discs of the markers; an
// eighth each in the key of the cache and in memory, and a tenth in the labels.
func BenchmarkSliderStep(b *testing.B) {
	plots := make([]*Plot, 50)
	for i := range plots {
		plots[i] = step(i)
	}
	timeOf := func(i int, f func(int)) time.Duration {
		start := time.Now()
		for k := range plots {
			f(i + k)
		}
		return time.Since(start) / time.Duration(len(plots))
	}
	svg := func(c *figure.Cache, p *Plot) {
		var err error
		if c == nil {
			_, err = p.SVG(figure.Options{})
		} else {
			_, err = c.SVG(p, figure.Options{})
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	// Room for the frame and a figure or two: every warm step draws its
	// curves anew.
	small := figure.NewCache(20 << 10)
	large := figure.NewCache(4 << 20)
	for _, p := range plots {
		svg(nil, p)
		svg(small, p)
		svg(large, p)
	}
	b.ReportAllocs()
	// They take turns of 50 figures, and the best turn of each counts, since what else
	// the machine does is no property of theirs.
	var times [4][]time.Duration
	for i := 0; b.Loop(); i++ {
		for k, f := range [...]func(int){
			func(i int) { fullRedraw(b, plots[i%50]) }, func(i int) { svg(nil, plots[i%50]) },
			func(i int) { svg(small, plots[i%50]) }, func(i int) { svg(large, plots[i%50]) },
		} {
			times[k] = append(times[k], timeOf(i, f))
		}
	}
	best := func(k int) float64 { return float64(slices.Min(times[k])) }
	full := best(0)
	b.ReportMetric(full, "full-ns")
	b.ReportMetric(best(2), "warm-ns")
	b.ReportMetric(best(1)/full, "cold/full")
	b.ReportMetric(best(2)/full, "warm/full")
	b.ReportMetric(best(3)/full, "again/full")
}

// BenchmarkWarm is the warm step alone, for its allocations.
func BenchmarkWarm(b *testing.B) {
	small := figure.NewCache(20 << 10)
	plots := make([]*Plot, 50)
	for i := range plots {
		plots[i] = step(i)
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		out, err := small.SVG(plots[i%50], figure.Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(out)), "bytes")
	}
}
