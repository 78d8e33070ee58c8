package shaft

import (
	"math"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A wallChart is the diagram of the stress across a thin wall: the place across the wall
// upward, the stress to the right.
type wallChart struct {
	left, right float64
	middle      float64 // y of the median line
	half        float64 // drawn half of the thickness
	below       float64 // y of the lowest text
}

// course says how the stress runs across the wall.
func (w *Wall) course() string {
	if w.Open {
		return "Across the wall the stress runs in a straight line from one face to the other and is 0 on the median line"
	}
	return "Across the wall the stress is the same"
}

// placeWall returns where the diagram goes, beside the section or below it.
func (l *sectionPlan) placeWall(wide bool, below float64) *wallChart {
	w := l.s.Shape.Wall
	labels := math.Max(canvas.TextWidth(w.Faces[0], canvas.TextSize), canvas.TextWidth(w.Faces[1], canvas.TextSize))
	labels = math.Max(labels, canvas.TextWidth("median line", canvas.TextSize))
	c := &wallChart{left: labels + 16, right: l.width - 12, half: 62, middle: below + 120}
	if wide {
		c.left += l.middle.X + l.radius + 22
		c.middle = l.middle.Y
	}
	c.below = c.middle + c.half + 30
	return c
}

// drawWall draws the stress across the wall.
func (l *sectionPlan) drawWall(p *canvas.Pen) {
	c, w := l.wall, l.s.Shape.Wall
	top, bottom := c.middle-c.half, c.middle+c.half
	zero, reach := c.left+8, math.Min(150, c.right-c.left-60)
	if w.Open {
		zero = (c.left + c.right) / 2
		reach = math.Min(120, float64((c.right-c.left)/2)-24)
	}
	at := func(stress, y float64) canvas.Point { return canvas.PointAt(zero+float64(stress*reach), y) }
	p.Text(canvas.InkMain, (c.left+c.right)/2, top-34, canvas.Middle, "across the wall, "+canvas.Quantity("t")+" = "+figure.FormatNumber(w.Thickness, 4))
	// The wall between its faces, with its median line.
	p.Area(canvas.InkMain.Wash(), canvas.PointAt(c.left, top), canvas.PointAt(c.right, top), canvas.PointAt(c.right, bottom), canvas.PointAt(c.left, bottom))
	if w.Open {
		p.Area(canvas.InkStress.Wash(), at(0, c.middle), at(1, top), at(0, top))
		p.Area(canvas.InkStress.Wash(), at(0, c.middle), at(-1, bottom), at(0, bottom))
		p.Line(canvas.InkStress, canvas.CurveWidth, nil, at(-1, bottom), at(1, top))
	} else {
		p.Area(canvas.InkStress.Wash(), at(0, top), at(1, top), at(1, bottom), at(0, bottom))
		p.Line(canvas.InkStress, canvas.CurveWidth, nil, at(1, bottom), at(1, top))
	}
	for i, text := range []string{w.Faces[1], "median line", w.Faces[0]} {
		p.Text(canvas.InkMain, c.left-8, top+float64(c.half*float64(i))+5, canvas.Right, text)
	}
	p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(c.left, top), canvas.PointAt(c.right, top))
	p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(c.left, bottom), canvas.PointAt(c.right, bottom))
	p.Line(canvas.InkThin, canvas.Narrow, canvas.DashDot, canvas.PointAt(c.left, c.middle), canvas.PointAt(c.right, c.middle))
	p.Line(canvas.InkMain, canvas.Narrow, nil, at(0, top), at(0, bottom))
	value := canvas.Quantity("τ") + " = " + l.s.Shape.Text
	half := float64(canvas.TextWidth(value, canvas.TextSize) / 2)
	within := func(x float64) float64 { return math.Max(c.left+half, math.Min(c.right-half, x)) }
	p.Text(canvas.InkMain, within(at(1, top).X), top-9, canvas.Middle, value)
	if w.Open {
		p.Text(canvas.InkMain, within(at(-1, bottom).X), bottom+20, canvas.Middle, value)
	}
}
