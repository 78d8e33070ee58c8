package shaft

import (
	"cmp"
	"math"
	"slices"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// mostValues is how many values are written on one diagram; the table has all.
const mostValues = 8

// A feature of a diagram is a plateau or a peak, with its value written at it.
type feature struct {
	from, to canvas.Point // the same for a peak
	value    float64
}

// features lists the plateaus, then the peaks: ends, both sides of a jump and
// places from which the curve goes back towards zero.
func (g *diagramPlan) features() []feature {
	var out []feature
	ys := g.d.Y
	most := 0.0
	for _, v := range ys {
		most = math.Max(most, math.Abs(v))
	}
	same := func(i, j int) bool { return math.Abs(ys[i]-ys[j]) <= 1e-6*most }
	for i := 0; i < len(ys); {
		j := i
		for j+1 < len(ys) && same(i, j+1) {
			j++
		}
		// Beyond a jump, or an end, there is nothing that goes on.
		before := i > 0 && g.pts[i-1].X < g.pts[i].X && math.Abs(ys[i-1]) >= math.Abs(ys[i]) && ys[i-1]*ys[i] > 0
		after := j+1 < len(ys) && g.pts[j+1].X > g.pts[j].X && math.Abs(ys[j+1]) >= math.Abs(ys[j]) && ys[j+1]*ys[j] > 0
		if math.Abs(ys[i]) > 0.02*most && (j > i+1 || g.pts[j].X-g.pts[i].X > 30 || !before && !after) {
			out = append(out, feature{g.pts[i], g.pts[j], ys[i]})
		}
		i = j + 1
	}
	slices.SortStableFunc(out, func(a, b feature) int { return cmp.Compare(math.Abs(b.value), math.Abs(a.value)) })
	return out
}

// drawValues writes the values of the features between two places of the
// figure, the greatest first, each where it covers neither the curve nor
// another text; what has no such place is left to the table.
func (g *diagramPlan) drawValues(p *canvas.Pen, least, most float64) {
	written := 0
	for _, f := range g.features() {
		text := mark(g.d.Estimate) + figure.NumberWithUnit(figure.FormatNumber(f.value, 4), g.d.Unit)
		w := canvas.TextWidth(text, canvas.TextSize)
		up := f.from.Y - 6
		if f.value < 0 {
			up = f.from.Y + 16
		}
		mid := float64((f.from.X + f.to.X) / 2)
		for _, x := range [...]float64{mid - float64(w/2), f.to.X - w, f.from.X, f.to.X + 6, f.from.X - w - 6} {
			x = math.Max(least, math.Min(most-w, x))
			if g.free(p, x, up, w) {
				p.Text(canvas.InkMain, x, up, canvas.Left, text)
				written++
				break
			}
		}
		if written == mostValues {
			return
		}
	}
}

// free reports whether a text of width w whose baseline begins at (x, y) would
// cover nothing.
func (g *diagramPlan) free(p *canvas.Pen, x, y, w float64) bool {
	x0, x1 := x-2, x+w+2
	y0, y1 := y-canvas.Ascent*canvas.TextSize, y+canvas.Descent*canvas.TextSize
	return y0 >= g.y0-2 && y1 <= g.y1+3 && g.clear(p, x0, y0, x1, y1)
}

// clear reports whether a rectangle covers neither text nor the curve nor the
// zero line.
func (g *diagramPlan) clear(p *canvas.Pen, x0, y0, x1, y1 float64) bool {
	for _, t := range p.TextBoxes {
		if t.X0 < x1 && x0 < t.X1 && t.Y0 < y1 && y0 < t.Y1 {
			return false
		}
	}
	if y0 < g.zero-1 && g.zero+1 < y1 {
		return false
	}
	for j := 1; j < len(g.pts); j++ {
		a, b := g.pts[j-1], g.pts[j]
		if b.X < x0 || a.X > x1 {
			continue
		}
		ya, yb := a.Y, b.Y
		if b.X > a.X {
			k := (b.Y - a.Y) / (b.X - a.X)
			ya = a.Y + float64(k*(math.Max(x0, a.X)-a.X))
			yb = a.Y + float64(k*(math.Min(x1, b.X)-a.X))
		}
		if math.Max(ya, yb) > y0 && math.Min(ya, yb) < y1 {
			return false
		}
	}
	return true
}

// drawSigns draws a plus in an area above zero and a minus in one below. A
// quantity without a sense has none.
func (g *diagramPlan) drawSigns(p *canvas.Pen) {
	const reach = 9.5
	if g.d.Quantity == figure.Stress {
		return
	}
	for i := 0; i < len(g.pts); {
		above := g.d.Y[i] > 0
		j := i
		for j+1 < len(g.pts) && g.d.Y[j+1] != 0 && (g.d.Y[j+1] > 0) == above {
			j++
		}
		if g.d.Y[i] == 0 {
			i++
			continue
		}
		from, to := g.pts[i].X, g.pts[j].X
		for _, f := range [...]float64{0.5, 0.7, 0.3, 0.85, 0.15} {
			u := from + float64(f*(to-from))
			y := float64((g.zero + heightAt(g.pts, u)) / 2)
			if u-from > reach && to-u > reach && g.clear(p, u-reach, y-reach, u+reach, y+reach) {
				p.Sign(g.ink, canvas.PointAt(u, y), above)
				break
			}
		}
		i = j + 1
	}
}
