package plot

import (
	"math"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A plotPlan is where everything of a plot goes, worked out before drawing.
type plotPlan struct {
	width, height float64
	top, right    float64 // margins beside the axes
	x, y          canvas.Scale
	endLabels     bool // curves are labelled at their ends, not in a legend
	legend        []legendEntry
}

type legendEntry struct {
	curve int
	x, y  float64
}

const (
	labelGap  = 26.0 // from the axes' right edge to an end label
	sampleLen = 30.0 // line sample in a legend
)

// plan lays the plot out for a width in view box units.
func (p *Plot) plan(width float64) plotPlan {
	l := plotPlan{width: width, right: 12, top: 8}
	if p.Y.Label != "" || p.Y.Unit != "" {
		l.top += canvas.RowHeight
	}
	lo, hi := p.bounds(AcrossX)
	l.x = p.X.scale(lo, hi, int(math.Max(3, width/110)), true)
	dataHeight := math.Max(200, math.Min(330, math.Round(width*0.48)))
	lo, hi = p.bounds(AcrossY)
	l.y = p.Y.scale(lo, hi, 5, false)
	p.placeLabels(&l)
	l.height = l.top + dataHeight + 54
	return l
}

// scale turns the range of the values into a range and marks. x axes keep the
// exact range of the values.
func (a *Axis) scale(lo, hi float64, n int, tight bool) canvas.Scale {
	if a.Min < a.Max {
		lo, hi, tight = a.Min, a.Max, true
	}
	if span := hi - lo; span < 1/figure.Largest || span < 1e-12*math.Max(math.Abs(lo), math.Abs(hi)) {
		lo, hi = (lo+hi)/2, (lo+hi)/2
		if math.Abs(lo) < 1/figure.Largest {
			lo, hi = 0, 0
		}
	}
	if a.Log {
		return canvas.LogScale(lo, hi, n, tight)
	}
	return canvas.LinearScale(lo, hi, n, tight)
}

// bounds returns the least and greatest value on an axis, with the marks.
func (p *Plot) bounds(way Way) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	add := func(v float64) { lo, hi = min(lo, v), max(hi, v) }
	for i := range p.Curves {
		vs := p.Curves[i].X
		if way == AcrossY {
			vs = p.Curves[i].Y
		}
		for _, v := range vs {
			add(v)
		}
	}
	for _, m := range p.Marks {
		if m.Way == way {
			add(m.Low)
			add(m.High)
		}
	}
	return lo, hi
}

// placeLabels decides between labels at the ends of the curves and a legend
// above the axes.
func (p *Plot) placeLabels(l *plotPlan) {
	longest, named := 0.0, 0
	atEnd := true
	for i := range p.Curves {
		c := &p.Curves[i]
		if c.Label == "" || len(p.Curves) == 1 && c.Label == p.Y.Label {
			continue
		}
		named++
		longest = math.Max(longest, canvas.TextWidth(canvas.Quantity(c.Label), canvas.TextSize))
		if l.x.Norm(c.X[len(c.X)-1], p.X.Log) < 0.9 {
			atEnd = false
		}
	}
	if named == 0 {
		return
	}
	if atEnd && longest+labelGap < 0.3*l.width && named <= 8 {
		l.endLabels = true
		l.right = math.Ceil(longest) + labelGap + 4
		return
	}
	x, y := 4.0, l.top+canvas.RowHeight-6
	for i := range p.Curves {
		if p.Curves[i].Label == "" {
			continue
		}
		w := sampleLen + 6 + canvas.TextWidth(canvas.Quantity(p.Curves[i].Label), canvas.TextSize)
		if x > 4 && x+w > l.width-4 {
			x, y = 4, y+canvas.RowHeight
		}
		l.legend = append(l.legend, legendEntry{i, x, y})
		x += w + 20
	}
	l.top = y + 12
}

// A plotFrame is everything that stays while only the curves change: axes, marks
// on them, grid, labels.
type plotFrame struct {
	markup         []byte  // SVG of the frame; nil on other canvases
	x0, y0, x1, y1 float64 // the area of the curves, y down
}

// drawFrame draws axes and grid with gonum/plot and returns the curves' area.
func (p *Plot) drawFrame(c vg.Canvas, l *plotPlan) plotFrame {
	g := plot.New()
	g.BackgroundColor = nil
	g.TextHandler = canvas.Typesetter{}
	dress(&g.X, &l.x, p.X.Log)
	dress(&g.Y, &l.y, p.Y.Log)
	g.X.Label.Text = canvas.WithUnit(p.X.Label, p.X.Unit)
	g.X.Label.Padding = 4
	g.Add(grid())
	dc := draw.Canvas{Canvas: c, Rectangle: vg.Rectangle{
		Min: vg.Point{X: 2, Y: 2},
		Max: vg.Point{X: vg.Length(l.width - l.right), Y: vg.Length(l.height - l.top)},
	}}
	g.Draw(dc)
	if s := canvas.WithUnit(p.Y.Label, p.Y.Unit); s != "" {
		canvas.PlaceText(c, canvas.InkMain, canvas.TextSize, 4, l.height-canvas.RowHeight+4, canvas.Left, s)
	}
	r := g.DataCanvas(dc).Rectangle
	return plotFrame{
		x0: float64(r.Min.X), x1: float64(r.Max.X),
		y0: l.height - float64(r.Max.Y), y1: l.height - float64(r.Min.Y),
	}
}

// dress gives an axis of gonum/plot our inks, font, range and marks.
func dress(a *plot.Axis, s *canvas.Scale, log bool) {
	a.Min, a.Max = s.Min, s.Max
	a.Padding = 0
	if log {
		a.Scale = plot.LogScale{}
	}
	a.LineStyle = draw.LineStyle{Color: canvas.InkMain, Width: canvas.Narrow}
	f := font.Font{Typeface: "STIX Two Text", Size: canvas.TextSize, Weight: xfont.WeightNormal}
	a.Label.TextStyle.Color = canvas.InkMain
	a.Label.TextStyle.Font = f
	a.Label.TextStyle.Handler = canvas.Typesetter{}
	a.Tick.Label.Color = canvas.InkMain
	a.Tick.Label.Font = f
	a.Tick.Label.Handler = canvas.Typesetter{}
	a.Tick.LineStyle = draw.LineStyle{Color: canvas.InkMain, Width: canvas.Narrow}
	a.Tick.Length = 6
	a.Tick.Marker = s
}

func grid() *plotter.Grid {
	g := plotter.NewGrid()
	g.Vertical = draw.LineStyle{Color: canvas.InkFaint, Width: canvas.Narrow}
	g.Horizontal = g.Vertical
	return g
}
