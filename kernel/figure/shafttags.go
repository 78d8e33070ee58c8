package figure

import (
	"math"
	"sort"
)

// A tag is a short text that a leader line joins to a point of the drawing.
type tag struct {
	text   string
	lead   float64 // x of the leader
	x0, w  float64 // the text's left edge and width
	row    int     // 0 is nearest the drawing
	y      float64 // baseline
	kind   tagKind
	target xy // used by dimensions: position on the shaft, diameter
	of     int
}

type tagKind int

const (
	tagTorque tagKind = iota
	tagSpread
	tagHold
	tagAcross // a diameter with a dimension line from outline to outline
	tagBore   // the same for a bore, which only the upper half shows
	tagCorner // an arrow on the outline
	tagPlain  // text only, for a piece with its own text
)

// settle finds a row and a place for every tag such that texts do not touch
// and no leader runs through a text. obstacles are leaders of other tags that
// pass all rows.
func (l *shaftPlan) settle(tags []tag, obstacles []float64) {
	const gap = 8
	sort.SliceStable(tags, func(a, b int) bool { return tags[a].lead < tags[b].lead })
	for i := range tags {
		t := &tags[i]
		t.w = measure(t.text, textSize)
		best := math.Inf(1)
		for r := range 6 {
			for k, x0 := range []float64{t.lead - t.w/2, t.lead - 5, t.lead - t.w + 5, t.lead + 4, t.lead - t.w - 4} {
				x0 = math.Max(3, math.Min(l.width-3-t.w, x0))
				cost := float64(r)*3 + float64(k)
				cost += 100 * float64(conflicts(tags[:i], obstacles, t.lead, x0, t.w, r, gap))
				if cost < best {
					best, t.row, t.x0 = cost, r, x0
				}
			}
			if best < 100 {
				break
			}
		}
	}
}

func conflicts(placed []tag, obstacles []float64, lead, x0, w float64, r int, gap float64) int {
	n := 0
	for i := range placed {
		p := &placed[i]
		switch {
		case p.row == r && x0 < p.x0+p.w+gap && p.x0 < x0+w+gap:
			n++
		case p.row < r && lead > p.x0-4 && lead < p.x0+p.w+4:
			n++
		case p.row > r && p.lead > x0-4 && p.lead < x0+w+4:
			n++
		}
	}
	for _, o := range obstacles {
		if o > x0-3 && o < x0+w+3 {
			n++
		}
	}
	return n
}

func rowsOf(tags []tag) float64 {
	n := 0
	for i := range tags {
		n = max(n, tags[i].row+1)
	}
	return float64(n)
}

// stack turns rows into heights: above the drawing row 0 is the lowest, below
// it the highest.
func (l *shaftPlan) stack(tags []tag, top float64, above bool) {
	n := rowsOf(tags)
	for i := range tags {
		k := float64(tags[i].row)
		if above {
			k = n - 1 - k
		}
		tags[i].y = top + k*row + 15
	}
}

// placeLoads gives torques, spread torques and holds their labels.
func (l *shaftPlan) placeLoads() {
	s := l.s
	for i, t := range s.Torques {
		if t.Label != "" {
			l.loads = append(l.loads, tag{text: t.Label, lead: l.u(t.X) - arcWidth*0.7, kind: tagTorque, of: i})
		}
	}
	for i, p := range s.Spreads {
		if p.Label != "" {
			l.loads = append(l.loads, tag{text: p.Label, lead: (l.u(p.From) + l.u(p.To)) / 2, kind: tagSpread, of: i})
		}
	}
	for i, h := range s.Holds {
		if h.Label != "" {
			l.loads = append(l.loads, tag{text: h.Label, lead: l.holdX(i), kind: tagHold, of: i})
		}
	}
	l.settle(l.loads, nil)
}

// placeDiameters dimensions every piece once: uniform ones by a dimension
// line, tapers and curves at the ends, curves also at their extremes.
func (l *shaftPlan) placeDiameters() {
	s := l.s
	if len(s.Pieces) > maxDimensioned {
		l.addExtremeDiameters()
	} else {
		for i := range s.Pieces {
			l.addDiameters(i)
		}
	}
	var leaders []float64
	for _, t := range l.loads {
		leaders = append(leaders, t.lead)
	}
	l.settle(l.dims, leaders)
}

func (l *shaftPlan) addDim(kind tagKind, text string, x, d float64) {
	l.dims = append(l.dims, tag{text: text, lead: l.u(x), kind: kind, target: xy{x, d}})
}

func (l *shaftPlan) addDiameters(i int) {
	s := l.s
	p := &s.Pieces[i]
	at := func(f float64) float64 { return p.From + f*(p.To-p.From) }
	where := 0.5
	if len(p.Bore) > 0 || len(p.Core) > 0 {
		where = 0.3
	}
	for _, b := range l.breaks {
		// The middle of a shortened stretch is where the break line goes.
		if b.a <= at(where) && at(where) <= b.b {
			where = 0.25
		}
	}
	switch {
	case p.Text != "":
		l.addDim(tagPlain, p.Text, at(where), diameterAt(p.Outer, at(where)))
	case !uniform(p.Outer):
		l.addEnds(i)
	case i == 0 || !uniform(s.Pieces[i-1].Outer) || s.Pieces[i-1].Outer[0].D != p.Outer[0].D || s.Pieces[i-1].Text != "":
		l.addDim(tagAcross, "⌀"+format(p.Outer[0].D, 4), at(where), p.Outer[0].D)
	}
	l.addInner(p.Bore, "bore ⌀", at(0.72))
	l.addInner(p.Core, "core ⌀", at(0.72))
}

func (l *shaftPlan) addInner(s []Sample, word string, x float64) {
	if len(s) == 0 {
		return
	}
	if uniform(s) {
		l.addDim(tagBore, word+format(s[0].D, 4), x, s[0].D)
		return
	}
	for _, end := range []Sample{s[0], s[len(s)-1]} {
		l.addDim(tagCorner, word+format(end.D, 4), end.X, end.D)
	}
}

// addEnds dimensions a piece that is not uniform.
func (l *shaftPlan) addEnds(i int) {
	s := l.s
	p := &s.Pieces[i]
	first, last := p.Outer[0], p.Outer[len(p.Outer)-1]
	known := func(k int, d float64, end bool) bool {
		if k < 0 || k >= len(s.Pieces) || s.Pieces[k].Text != "" {
			return false
		}
		o := s.Pieces[k].Outer
		if uniform(o) {
			return o[0].D == d
		}
		// The taper before this one has shown the diameter where they meet.
		return end && k < i && o[len(o)-1].D == d
	}
	if !known(i-1, first.D, true) {
		l.addDim(tagCorner, "⌀"+format(first.D, 4), first.X, first.D)
	}
	lo, hi := first, first
	for _, q := range p.Outer {
		if q.D < lo.D {
			lo = q
		}
		if q.D > hi.D {
			hi = q
		}
	}
	for _, q := range []Sample{lo, hi} {
		if inside := q.X > first.X && q.X < last.X; inside {
			l.addDim(tagCorner, "⌀"+format(q.D, 4), q.X, q.D)
		}
	}
	if !known(i+1, last.D, false) {
		l.addDim(tagCorner, "⌀"+format(last.D, 4), last.X, last.D)
	}
}

// addExtremeDiameters dimensions only the greatest and the least diameter.
func (l *shaftPlan) addExtremeDiameters() {
	lo := l.s.Pieces[0].Outer[0]
	hi := lo
	for i := range l.s.Pieces {
		for _, q := range l.s.Pieces[i].Outer {
			if q.D < lo.D {
				lo = q
			}
			if q.D > hi.D {
				hi = q
			}
		}
	}
	l.addDim(tagCorner, "⌀"+format(lo.D, 4), lo.X, lo.D)
	if hi.D > lo.D {
		l.addDim(tagCorner, "⌀"+format(hi.D, 4), hi.X, hi.D)
	}
}
