package shaft

import (
	"math"
	"strings"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A sectionPlan is where everything of a section goes.
type sectionPlan struct {
	s      *Section
	width  float64
	middle canvas.Point // of the section
	per    float64      // drawn length of one of length
	radius float64      // drawn
	chart  *stressChart // the stress over the radius; nil for none
	wall   *wallChart   // the stress across a wall; nil for none
	notes  []string
	noteY  float64
}

// A stressChart is the diagram of the stress over the radius: the radius upward from the
// middle of the section, the stress to the right.
type stressChart struct {
	origin canvas.Point
	span   float64 // drawn length of the stress axis
	scale  canvas.Scale
	beside bool              // beside the section, at its height
	taken  []canvas.TextBox  // the values written
	curves [][2]canvas.Point // the lines that no value may cross
}

const (
	sectionTop   = 46.0 // for the torque above the section
	sideBySide   = 520.0
	dimensionRow = 40.0
)

func (s *Section) lay(o figure.Options) sheet {
	l := &sectionPlan{s: s, width: o.LayoutWidth()}
	wide := l.width >= sideBySide && (s.hasChart() || s.hasWall())
	l.radius = math.Max(92, math.Min(130, l.width*0.18))
	reach := 0.0
	if s.Shape != nil {
		reach = s.Shape.radius()
	} else {
		reach = s.Layers[len(s.Layers)-1].Outer
	}
	l.per = l.radius / reach
	l.middle = canvas.PointAt(l.width/2, sectionTop+l.radius)
	if wide {
		l.middle.X = 44 + l.radius
	}
	below := l.middle.Y + l.radius + 8 + float64(dimensionRow*float64(l.dimensions()))
	if s.hasChart() {
		l.chart = l.placeChart(wide, below)
		below = math.Max(below, l.chart.origin.Y+46)
	}
	if s.hasWall() {
		l.wall = l.placeWall(wide, below)
		below = math.Max(below, l.wall.below)
	}
	l.noteY = below + 6
	l.notes = wrap(strings.Join(s.notes(canvas.Quantity("x")), " "), l.width-8)
	height := math.Ceil(l.noteY + float64(canvas.RowHeight*float64(len(l.notes))) + 4)
	return sheet{l.width, height, l.draw}
}

// hasChart reports whether the stress over the radius is drawn.
func (s *Section) hasChart() bool { return s.Shape == nil && s.isLoaded() }

// hasWall reports whether the stress across a wall is drawn.
func (s *Section) hasWall() bool { return s.Shape != nil && s.Shape.Wall != nil && s.isLoaded() }

// dimensions is how many diameters are written under the section.
func (l *sectionPlan) dimensions() int {
	if l.s.Shape != nil {
		return 1
	}
	n := len(l.s.Layers)
	if l.s.Layers[0].Inner > 0 {
		n++
	}
	return n
}

func (l *sectionPlan) placeChart(wide bool, below float64) *stressChart {
	c := &stressChart{beside: wide}
	left := 0.0
	for _, v := range l.s.radii() {
		left = math.Max(left, canvas.TextWidth(figure.FormatNumber(v, 4), canvas.TextSize))
	}
	left += 16
	c.origin = canvas.PointAt(left+10, below+40+l.radius)
	if wide {
		c.origin = canvas.PointAt(l.middle.X+l.radius+34+left, l.middle.Y)
	}
	c.span = l.width - c.origin.X - 34
	least, most := 0.0, 0.0
	for _, y := range l.s.Layers {
		most = math.Max(most, math.Max(y.AtInner, y.AtOuter))
	}
	for _, p := range l.s.Left {
		least, most = math.Min(least, p.Stress), math.Max(most, p.Stress)
	}
	c.scale = canvas.LinearScale(least, most, max(2, int(c.span/90)), false)
	return c
}

// radii are the radii that the chart names.
func (s *Section) radii() []float64 {
	list := []float64{0}
	for _, l := range s.Layers {
		if l.Inner > list[len(list)-1] {
			list = append(list, l.Inner)
		}
		list = append(list, l.Outer)
	}
	return list
}

func (l *sectionPlan) draw(p *canvas.Pen) {
	if l.s.Shape != nil {
		l.drawShape(p)
	} else {
		l.drawLayers(p)
		l.drawRing(p)
		l.drawDiameters(p)
	}
	l.drawMoment(p)
	if l.chart != nil {
		l.drawChart(p)
	}
	if l.wall != nil {
		l.drawWall(p)
	}
	writeLines(p, l.notes, l.noteY)
}

func (l *sectionPlan) drawLayers(p *canvas.Pen) {
	for i, y := range l.s.Layers {
		inner, outer := float64(y.Inner*l.per), float64(y.Outer*l.per)
		ink, line := canvas.InkMain, canvas.Wide
		if y.Yielded {
			ink, line = canvas.InkStress, canvas.Narrow
		}
		p.Ring(ink.Wash(), l.middle, (inner+outer)/2, outer-inner)
		if i == 0 && len(l.s.Layers) > 1 && !l.s.yields() {
			p.Hatch(canvas.InkFaint, 7, true, arcPoints(l.middle, outer, outer, 0, 2*math.Pi))
		}
		if y.Inner > 0 {
			p.Ring(canvas.InkMain, l.middle, inner, line)
		}
	}
	p.Ring(canvas.InkMain, l.middle, l.radius, canvas.Wide)
	l.drawCentre(p)
}

// drawCentre draws the two centre lines.
func (l *sectionPlan) drawCentre(p *canvas.Pen) {
	r, m := l.radius+8, l.middle
	p.Line(canvas.InkThin, canvas.Narrow, canvas.DashDot, canvas.PointAt(m.X-r, m.Y), canvas.PointAt(m.X+r, m.Y))
	p.Line(canvas.InkThin, canvas.Narrow, canvas.DashDot, canvas.PointAt(m.X, m.Y-r), canvas.PointAt(m.X, m.Y+r))
}

// sense is 1 for a torque that turns counterclockwise as the section is seen.
func (s *Section) sense() float64 { return math.Copysign(1, s.Torque) }

// drawMoment draws the torque as an arrow about the section.
func (l *sectionPlan) drawMoment(p *canvas.Pen) {
	if !l.s.isLoaded() {
		return
	}
	r := l.radius + 14
	from, to := 100.0, 145.0
	if l.s.sense() < 0 {
		from, to = to, from
	}
	arcArrow(p, canvas.InkTorque, l.middle, r, from*math.Pi/180, to*math.Pi/180, canvas.Wide, 12)
	p.Text(canvas.InkMain, 4, 17, canvas.Left, loadText(l.s.TorqueText))
}

// drawRing draws the thin ring, the stress along it and its arm.
func (l *sectionPlan) drawRing(p *canvas.Pen) {
	ring := l.s.Ring
	if ring == nil {
		return
	}
	r, m := float64(ring.R*l.per), l.middle
	width := l.ringWidth()
	wash := canvas.InkMain.Wash()
	if l.s.isLoaded() {
		wash = canvas.InkStress.Wash()
	}
	p.Ring(wash, m, r, width)
	p.Ring(canvas.InkMain, m, r-float64(width/2), canvas.Narrow)
	p.Ring(canvas.InkMain, m, r+float64(width/2), canvas.Narrow)
	at := func(degrees, r float64) canvas.Point {
		sin, cos := elementary.Sincos(degrees * math.Pi / 180)
		return canvas.PointAt(m.X+float64(r*cos), m.Y-float64(r*sin))
	}
	if l.s.isLoaded() {
		const half = 0.24 // rad
		for k := range 8 {
			a := float64((float64(k) + 0.5) * math.Pi / 4)
			arcArrow(p, canvas.InkStress, m, r, a-float64(half*l.s.sense()), a+float64(half*l.s.sense()), canvas.Wide, 9)
		}
		named := at(157.5, l.radius+16) // in line with the middle of an arrow
		p.Line(canvas.InkMain, canvas.Narrow, nil, at(157.5, r), named)
		p.Text(canvas.InkMain, named.X-3, named.Y+2, canvas.Right, canvas.Quantity("τ"))
	}
	// The arm, and the width between two lines.
	arm := at(-45, r-float64(width/2))
	p.Line(canvas.InkMain, canvas.Narrow, nil, m, arm)
	p.ArrowHead(canvas.InkMain, arm, arm.X-m.X, arm.Y-m.Y, 9)
	p.Disc(canvas.InkMain, m, 2.4)
	label := at(-45, r/2)
	if r > 30 {
		p.Text(canvas.InkMain, label.X+7, label.Y-2, canvas.Left, canvas.Quantity("r"))
	}
	outside := at(48, l.radius+16)
	p.Line(canvas.InkMain, canvas.Narrow, nil, at(48, r), outside)
	p.Disc(canvas.InkMain, at(48, r), 2.4)
	p.Text(canvas.InkMain, outside.X+3, outside.Y+2, canvas.Left, "d"+canvas.Quantity("r"))
}

// ringWidth is how wide the ring is drawn: wide enough for its arrows, within its layer.
func (l *sectionPlan) ringWidth() float64 {
	width := math.Max(9, float64(l.radius*0.1))
	for _, y := range l.s.Layers {
		if r := l.s.Ring.R; r > y.Inner && r < y.Outer {
			width = math.Min(width, float64(math.Min(r-y.Inner, y.Outer-r)*l.per*1.6))
		}
	}
	return width
}

// drawDiameters writes the diameters under the section, the smallest first.
func (l *sectionPlan) drawDiameters(p *canvas.Pen) {
	y := l.middle.Y + l.radius + 8
	row := func(word string, r float64) {
		u := float64(r * l.per)
		y += dimensionRow
		line := y - 20
		for _, side := range []float64{-1, 1} {
			x := l.middle.X + float64(side*u)
			p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(x, l.middle.Y+3), canvas.PointAt(x, line+4))
		}
		p.Dimension(canvas.PointAt(l.middle.X-u, line), canvas.PointAt(l.middle.X+u, line))
		p.Text(canvas.InkMain, l.middle.X, line+17, canvas.Middle, word+"⌀"+figure.FormatNumber(2*r, 4))
	}
	if first := l.s.Layers[0]; first.Inner > 0 {
		row("bore ", first.Inner)
	}
	if len(l.s.Layers) > 1 {
		word := "core "
		if l.s.yields() {
			word = "elastic core "
		}
		row(word, l.s.Layers[0].Outer)
	}
	row("", l.s.Layers[len(l.s.Layers)-1].Outer)
}
