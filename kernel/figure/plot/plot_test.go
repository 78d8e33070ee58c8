package plot

import (
	"bytes"
	"errors"
	"image/png"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/figuretest"
)

func onePoint(x, y float64) *Plot {
	return &Plot{Heading: "h", Curves: []Curve{{Label: "twist", X: []float64{x}, Y: []float64{y}}}}
}

func TestPlotErrors(t *testing.T) {
	logY := onePoint(1, 0)
	logY.Y.Log = true
	logX := onePoint(-2, 1)
	logX.X.Log = true
	mark := onePoint(1, 1)
	mark.Marks = []Mark{{Way: AcrossY, Low: 0, High: math.Inf(1), Label: "bracket"}}
	logMark := onePoint(1, 1)
	logMark.Y.Log = true
	logMark.Marks = []Mark{{Way: AcrossY, Low: -1, High: 2, Label: "bracket"}}
	fixed := onePoint(1, 1)
	fixed.X = Axis{Log: true, Min: -1, Max: 10}
	uneven := onePoint(1, 1)
	uneven.Curves[0].Y = []float64{1, 2}
	for _, c := range []struct {
		name string
		plot *Plot
		want string
	}{
		{"no curve", &Plot{}, "the plot has no curve"},
		{"no points", &Plot{Curves: []Curve{{Label: "twist"}}}, "curve “twist” has no points"},
		{"uneven", uneven, "curve “twist” has 1 values of x and 2 of y"},
		{"not a number", onePoint(1, math.NaN()), "curve “twist” has a value of y that is not a number at x = 1"},
		{"infinite", onePoint(math.Inf(-1), 1), "curve “twist” has an infinite value of x"},
		{"too large", onePoint(1, 2e305), "too large to draw"},
		{"zero on a log axis", logY, "y = 0, which has no place on a logarithmic axis at x = 1: leave out"},
		{"negative on a log axis", logX, "x = −2, which has no place on a logarithmic axis"},
		{"infinite mark", mark, "mark “bracket” has an infinite value of y"},
		{"negative mark on a log axis", logMark, "mark “bracket” has the value y = −1"},
		{"fixed range on a log axis", fixed, "x axis has the value end = −1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.plot.SVG(figure.Options{})
			var fe *figure.Error
			if !errors.As(err, &fe) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			if err := c.plot.PNG(new(bytes.Buffer), 96); err == nil {
				t.Error("PNG drew it")
			}
			if err := c.plot.PDF(new(bytes.Buffer)); err == nil {
				t.Error("PDF drew it")
			}
		})
	}
}

func TestPlotAwkward(t *testing.T) {
	line := func(ys ...float64) *Plot {
		c := Curve{Label: "y"}
		for i, y := range ys {
			c.X, c.Y = append(c.X, float64(i)), append(c.Y, y)
		}
		return &Plot{Heading: "h", Curves: []Curve{c}}
	}
	outside := line(0, 10, 0, -10, 0)
	outside.Y = Axis{Min: -1, Max: 1}
	logConstant := line(3, 3)
	logConstant.Y.Log = true
	logWide := line(1e-290, 1e290)
	logWide.Y.Log = true
	for _, c := range []struct {
		name string
		plot *Plot
	}{
		{"single point", onePoint(3, 4)}, {"single point at zero", onePoint(0, 0)},
		{"constant", line(5, 5, 5)}, {"zero", line(0, 0)}, {"constant on a log axis", logConstant},
		{"nearly constant", line(1, 1+1e-15)}, {"huge", line(-1e300, 1e300)}, {"tiny", line(1e-300, 2e-300)},
		{"below normal", line(0, 5e-324)}, {"wide log", logWide}, {"fixed range", outside},
		{"same x twice", &Plot{Heading: "h", Curves: []Curve{{X: []float64{1, 1}, Y: []float64{0, 1}}}}},
		{"markup in labels", &Plot{Heading: "<a> & \"b\"", X: Axis{Label: "<script>", Unit: "&"}, Curves: []Curve{{Label: "</text>\x01", X: []float64{0, 1}, Y: []float64{0, 1}}}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			svg, err := c.plot.SVG(figure.Options{Width: 360})
			if err != nil {
				t.Fatal(err)
			}
			figuretest.CheckStructure(t, svg)
			if err := c.plot.PNG(new(bytes.Buffer), 36); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestPlotNeverPanics draws whatever comes: the answer is a figure or an
// *Error.
func TestPlotNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &Plot{Heading: "h", Y: Axis{Label: "y", Log: rapid.Bool().Draw(t, "log y")}, X: Axis{Log: rapid.Bool().Draw(t, "log x")}}
		value := rapid.OneOf(rapid.Float64(), rapid.Float64Range(0, 1e6), rapid.Just(math.NaN()))
		for range rapid.IntRange(0, 4).Draw(t, "curves") {
			xs := rapid.SliceOfN(value, 0, 6).Draw(t, "x")
			p.Curves = append(p.Curves, Curve{Label: rapid.String().Draw(t, "label"), X: xs, Y: rapid.SliceOfN(value, len(xs), len(xs)).Draw(t, "y")})
		}
		svg, err := p.SVG(figure.Options{Width: rapid.Float64().Draw(t, "width")})
		var fe *figure.Error
		if err != nil && !errors.As(err, &fe) {
			t.Fatalf("another kind of error: %v", err)
		}
		if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")) {
			t.Fatalf("the figure holds a value that is not a number: %s", svg)
		}
		p.Data()
		p.Description()
	})
}

func TestData(t *testing.T) {
	d := twistPlot(81).Data()
	if want := []string{"x / mm", "thin end / °", "taper / °", "thick end / °"}; !slices.Equal(d.Headers, want) {
		t.Errorf("headers %q, want %q", d.Headers, want)
	}
	if n := len(d.Rows); n != figure.MaxRows || d.Rows[n-1][0] != "800" || d.Rows[0][0] != "0" {
		t.Errorf("%d rows from %q to %q", n, d.Rows[0], d.Rows[n-1])
	}
	apart := twistPlot(5)
	apart.Curves[1].X = []float64{0, 1, 2, 3, 4}
	if got := len(apart.Data().Headers); got != 6 {
		t.Errorf("%d columns for curves that do not share x, want 6", got)
	}
}

func TestDescription(t *testing.T) {
	got := twistPlot(81).Description()
	for _, want := range []string{"The taper twists more", "“taper”: from 0° at x = 0 mm to 0.6933° at x = 800 mm"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in %q", want, got)
		}
	}
}

func TestPNGSize(t *testing.T) {
	var b bytes.Buffer
	if err := diameterPlot().PNG(&b, 96); err != nil {
		t.Fatal(err)
	}
	c, err := png.DecodeConfig(&b)
	if err != nil {
		t.Fatal(err)
	}
	if c.Width != figure.DefaultWidth {
		t.Errorf("at 96 dots per inch the picture is %d wide, want one dot for each unit: %d", c.Width, figure.DefaultWidth)
	}
	if err := diameterPlot().PNG(&b, math.NaN()); err == nil {
		t.Error("drew at a resolution that is not a number")
	}
}

// A mark right of the last reading would be taken for one more.
func TestReadingsHaveTheirKeyAbove(t *testing.T) {
	p := &Plot{Curves: []Curve{
		{Label: "readings", Points: true, X: []float64{0, 1, 2}, Y: []float64{0, 1, 2}},
		{Label: "line", X: []float64{0, 2}, Y: []float64{0, 2}},
	}}
	if l := p.plan(640); l.endLabels || len(l.legend) != 2 {
		t.Errorf("labels at the ends: %v, %d above", l.endLabels, len(l.legend))
	}
}
