package canvas

import (
	"math"
	"slices"

	"shaftbook/kernel/elementary"
)

// Hatch draws parallel lines through a polygon at 45° (or −45° if falling),
// gap apart measured across them. The lines lie on one grid for the whole
// figure, so that the halves of one part match.
func (p *Pen) Hatch(i Ink, gap float64, falling bool, poly []Point) {
	sign := 1.0
	if falling {
		sign = -1
	}
	// Along a line x + sign·y is constant: it rises to the right in a
	// picture whose y points down.
	key := func(q Point) float64 { return q.X + float64(sign*q.Y) }
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range poly {
		lo, hi = math.Min(lo, key(q)), math.Max(hi, key(q))
	}
	step := gap * math.Sqrt2
	if !(hi > lo) || (hi-lo)/step > 2000 {
		return
	}
	p.SetLine(i, 0.7, nil)
	var xs []float64
	for k := math.Ceil(lo / step); k*step < hi; k++ {
		c := float64(k * step)
		xs = xs[:0]
		for j, a := range poly {
			b := poly[(j+1)%len(poly)]
			ka, kb := key(a), key(b)
			if (ka <= c) == (kb <= c) {
				continue
			}
			t := (c - ka) / (kb - ka)
			xs = append(xs, a.X+float64(t*(b.X-a.X)))
		}
		sortFloats(xs)
		p.path = p.path[:0]
		for j := 0; j+1 < len(xs); j += 2 {
			if xs[j+1]-xs[j] < 0.5 {
				continue
			}
			p.path.Move(p.canvasPoint(Point{xs[j], sign * (c - xs[j])}))
			p.path.Line(p.canvasPoint(Point{xs[j+1], sign * (c - xs[j+1])}))
		}
		if len(p.path) > 0 {
			p.c.Stroke(p.path)
		}
	}
}

func sortFloats(xs []float64) {
	for i := 1; i < len(xs); i++ {
		for j := i; j > 0 && xs[j] < xs[j-1]; j-- {
			xs[j], xs[j-1] = xs[j-1], xs[j]
		}
	}
}

// Straighten leaves out points that lie on a straight run, to within less than
// can be seen: 0.03 units. The rest goes to out, which is empty and may have room.
func Straighten(out, pts []Point) []Point {
	if len(pts) < 3 {
		return append(out, pts...)
	}
	out = append(slices.Grow(out, len(pts)), pts[0])
	var ux, uy float64 // direction of the run that the last point belongs to
	for k := 1; k < len(pts); k++ {
		from, q := out[len(out)-1], pts[k]
		if len(out) > 1 {
			from = out[len(out)-2]
			dx, dy := q.X-from.X, q.Y-from.Y
			last := out[len(out)-1]
			ahead := float64((q.X-last.X)*ux)+float64((q.Y-last.Y)*uy) >= 0
			if ahead && math.Abs(float64(dx*uy)-float64(dy*ux)) < 0.03 {
				out[len(out)-1] = q
				continue
			}
			from = last
		}
		if n := elementary.Hypot(q.X-from.X, q.Y-from.Y); n > 0 {
			ux, uy = (q.X-from.X)/n, (q.Y-from.Y)/n
			out = append(out, q)
		}
	}
	return out
}
