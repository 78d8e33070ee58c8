package plot

import (
	"math"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A plotPlan is where everything of a plot goes, worked out before drawing.
type plotPlan struct {
	width, height float64
	top, right    float64 // margins beside the axes
	x, y          canvas.Scale
	endLabels     bool     // curves are labelled at their ends, not in a legend
	labels        []string // of the curves, shortened to the room they have
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
	from, to := p.bounds(AcrossX)
	l.x = p.X.scale(from, to, int(math.Max(3, width/110)), true)
	// The last number under the axes may stand half beyond them.
	l.right = math.Max(l.right, math.Ceil(canvas.TextWidth(l.x.LastLabel(), canvas.TextSize)/2)+1)
	dataHeight := math.Max(200, math.Min(330, math.Round(width*0.48)))
	lo, hi := p.bounds(AcrossY)
	marks := 5
	if p.Y.Log {
		marks = 8
	}
	l.y = p.Y.scale(lo, hi, marks, false)
	p.Y.addRoom(&l.y, lo, hi)
	beside := 0.3 * width
	steep := p.X.Log && p.Y.Log
	if steep {
		if one, equal := l.decade(); equal {
			beside = math.Max(beside, l.besideDecades(one))
		}
	}
	p.placeLabels(&l, beside)
	if steep {
		dataHeight = p.equalDecades(&l, from, to, dataHeight)
	}
	l.height = math.Ceil(l.top + dataHeight + 54)
	return l
}

// equalDecades makes decades as long across as up, if that can be, and returns the
// height of the area.
func (p *Plot) equalDecades(l *plotPlan, from, to, height float64) float64 {
	one, ok := l.decade()
	if !ok {
		return height
	}
	l.right += math.Floor(l.besideDecades(one))
	const apart = 52 // numbers such as 10⁻¹²
	l.x = p.X.scale(from, to, int(math.Max(2, one*decades(&l.x)/apart)), true)
	l.x.OnlyPowers(one)
	return math.Round(one * decades(&l.y))
}

// addRoom widens a linear axis where the values come so near its ends that a
// level curve would lie on the frame.
func (a *Axis) addRoom(s *canvas.Scale, lo, hi float64) {
	gap, ok := s.Gap()
	if a.Log || a.Min < a.Max || !ok || lo == hi {
		return
	}
	const near = 0.06 // of the range
	half := float64(gap / 2)
	least, most := s.Min, s.Max
	if hi != 0 && s.Max-hi < float64(near*(s.Max-s.Min)) {
		most += half
	}
	if lo != 0 && lo-s.Min < float64(near*(s.Max-s.Min)) {
		least -= half
	}
	if lo >= 0 {
		least = math.Max(0, least)
	}
	if hi <= 0 {
		most = math.Min(0, most)
	}
	if least < s.Min || most > s.Max {
		*s = canvas.LinearScale(least, most, 5, false)
	}
}

// decade is how long a decade can be drawn on both axes of a plot, so that a
// slope is seen as what it is. It is false where the plot would become too narrow
// or too low to read.
func (l *plotPlan) decade() (one float64, ok bool) {
	const tallest, least = 420.0, 110.0
	across, up := decades(&l.x), decades(&l.y)
	one = math.Min(l.acrossRoom()/across, math.Min(tallest, l.width*0.8)/up)
	return one, one*across >= least && one*up >= least
}

// acrossRoom is about how wide the area can be.
func (l *plotPlan) acrossRoom() float64 {
	left := 16.0
	for _, t := range l.y.Marks() {
		left = math.Max(left, 16+canvas.TextWidth(t.Label, canvas.TextSize))
	}
	return l.width - l.right - left
}

// besideDecades is what decades of a length leave beside the area.
func (l *plotPlan) besideDecades(one float64) float64 {
	return l.acrossRoom() - float64(one*decades(&l.x))
}

func decades(s *canvas.Scale) float64 { return elementary.Log10(s.Max / s.Min) }

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
	if a.Unit == "deg" || a.Unit == "°" {
		return canvas.DegreeScale(lo, hi, n, tight)
	}
	return canvas.LinearScale(lo, hi, n, tight)
}

// bounds returns the least and greatest value on an axis, with the marks.
func (p *Plot) bounds(way Way) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	add := func(v float64) {
		if v < lo { // values are numbers: see Check
			lo = v
		}
		if v > hi {
			hi = v
		}
	}
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

// placeLabels decides between labels at the ends of the curves, where they have
// room beside the area, and a legend above the axes.
func (p *Plot) placeLabels(l *plotPlan, beside float64) {
	longest, named := 0.0, 0
	atEnd := true
	l.labels = make([]string, len(p.Curves))
	for i := range p.Curves {
		c := &p.Curves[i]
		l.labels[i] = canvas.FitQuantity(c.Label, l.width-sampleLen-16)
		if c.Label == "" || len(p.Curves) == 1 && c.Label == p.Y.Label {
			continue
		}
		named++
		longest = math.Max(longest, canvas.TextWidth(l.labels[i], canvas.TextSize))
		// The mark of points beside the area would look like one more of them, unless
		// there is free room between.
		if c.Points && !(p.X.Log && p.Y.Log) || l.x.Norm(c.X[len(c.X)-1], p.X.Log) < 0.9 {
			atEnd = false
		}
	}
	if named == 0 {
		return
	}
	if atEnd && longest+labelGap < beside && named <= 8 {
		l.endLabels = true
		l.right = math.Ceil(longest) + labelGap + 4
		return
	}
	x, y := 4.0, l.top+canvas.RowHeight-6
	for i := range p.Curves {
		if p.Curves[i].Label == "" {
			continue
		}
		w := sampleLen + 6 + canvas.TextWidth(l.labels[i], canvas.TextSize)
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
	g.X.Tick.Length = 9 // so that the numbers of both axes have room at the corner
	g.X.Label.Text = canvas.FitWithUnit(p.X.Label, p.X.Unit, l.width-l.right-8)
	g.X.Label.Padding = 4
	g.Add(grid())
	dc := draw.Canvas{Canvas: c, Rectangle: vg.Rectangle{
		Min: vg.Point{X: 2, Y: 2},
		Max: vg.Point{X: vg.Length(l.width - l.right), Y: vg.Length(l.height - l.top)},
	}}
	g.Draw(dc)
	if s := canvas.FitWithUnit(p.Y.Label, p.Y.Unit, l.width-8); s != "" {
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
