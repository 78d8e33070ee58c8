package shaft

import (
	"math"
	"sort"
	"strings"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A tag is a short text that a leader line joins to a point of the drawing.
type tag struct {
	text   string
	lead   float64 // x of the leader
	x0, w  float64 // the text's left edge and width
	row    int     // 0 is nearest the drawing
	placed bool
	y      float64 // baseline
	kind   tagKind
	target canvas.Point // used by dimensions: position on the shaft, diameter
	of     int
}

type tagKind int

const (
	tagTorque tagKind = iota
	tagSpread
	tagSupport
	tagAcross // a diameter with a dimension line from outline to outline
	tagBore   // the same for a bore, which only the upper half shows
	tagEnd    // the diameter of an end of the shaft, beside it
	tagCorner // an arrow on the outline
	tagPlain  // text only, for a piece with its own text
)

// placeTags finds a row and a place for every tag such that texts do not touch
// and no leader runs through a text: first one after the other, from the left
// or from the right, then again with all others in place. A tag
// without a place is left out if mayDrop is set, and counted; its value is in the
// table. obstacles
// are leaders of other tags that pass all rows.
func (l *shaftPlan) placeTags(tags []tag, obstacles []float64, mayDrop bool) []tag {
	sort.SliceStable(tags, func(a, b int) bool { return tags[a].lead < tags[b].lead })
	for i := range tags {
		tags[i].text = canvas.Fit(tags[i].text, l.width-8)
		tags[i].w = canvas.TextWidth(tags[i].text, canvas.TextSize)
	}
	if l.placeAllTags(tags, obstacles, false) == 0 || l.placeAllTags(tags, obstacles, true) == 0 || !mayDrop {
		return tags
	}
	for len(tags) > 1 {
		worst, most := 0, 0.0
		for i := range tags {
			if c := clash(tags, i, obstacles, tags[i].x0, tags[i].row); c > most {
				worst, most = i, c
			}
		}
		if most == 0 {
			break
		}
		tags = append(tags[:worst], tags[worst+1:]...)
		l.omitted++
		l.placeAllTags(tags, obstacles, false)
	}
	return tags
}

// placeAllTags places all tags, in one order or the other, and returns how badly
// they still touch.
func (l *shaftPlan) placeAllTags(tags []tag, obstacles []float64, fromRight bool) float64 {
	for i := range tags {
		tags[i].placed = false
	}
	sum := 0.0
	for range 5 {
		sum = 0
		for k := range tags {
			i := k
			if fromRight {
				i = len(tags) - 1 - k
			}
			sum += l.placeTag(tags, i, obstacles)
		}
		if sum == 0 {
			// The first round has not seen the later tags.
			if sum = l.clashes(tags, obstacles); sum == 0 {
				break
			}
		}
	}
	return sum
}

func (l *shaftPlan) clashes(tags []tag, obstacles []float64) float64 {
	sum := 0.0
	for i := range tags {
		sum += clash(tags, i, obstacles, tags[i].x0, tags[i].row)
	}
	return sum
}

// placeTag moves tag i to its best place among those already placed and
// returns how badly it still touches others there.
func (l *shaftPlan) placeTag(tags []tag, i int, obstacles []float64) float64 {
	t := &tags[i]
	best, rest := math.Inf(1), 0.0
	for r := range 7 {
		for k, dx := range [...]float64{-t.w / 2, -5, 5 - t.w, 4, -t.w - 4, 24, -t.w - 24} {
			x0 := math.Max(3, math.Min(l.width-3-t.w, t.lead+dx))
			c := clash(tags, i, obstacles, x0, r)
			if cost := float64(float64(r)*3) + float64(k) + float64(10*c); cost < best {
				best, rest, t.row, t.x0 = cost, c, r, x0
			}
		}
		if best < float64(r+1)*3 {
			break // a higher row costs more than this
		}
	}
	t.placed = true
	return rest
}

// clash adds up what tag i would cover of others with its text at x0 in row r,
// in units of length; a step is added for each, so that one is better than two.
func clash(tags []tag, i int, obstacles []float64, x0 float64, r int) float64 {
	const gap, step = 8, 20
	sum := 0.0
	cover := func(a0, a1, b0, b1 float64) {
		if over := min(a1, b1) - max(a0, b0); over > 0 {
			sum += over + step
		}
	}
	lead, w := tags[i].lead, tags[i].w
	for k := range tags {
		p := &tags[k]
		switch {
		case k == i || !p.placed:
		case p.row == r:
			cover(min(x0, lead), max(x0+w, lead)+gap, min(p.x0, p.lead), max(p.x0+p.w, p.lead)+gap)
		case p.row < r:
			cover(lead-4, lead+4, p.x0, p.x0+p.w)
		default:
			cover(p.lead-4, p.lead+4, x0, x0+w)
		}
	}
	for _, o := range obstacles {
		cover(o-3, o+3, x0, x0+w)
	}
	return sum
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
		tags[i].y = top + float64(k*canvas.RowHeight) + 15
	}
}

// placeLoads gives torques, spread torques and holds their labels.
func (l *shaftPlan) placeLoads() {
	s := l.s
	for i, t := range s.Torques {
		if t.Label != "" {
			l.loads = append(l.loads, tag{text: loadText(t.Label), lead: l.torqueX(t.X) - arcWidth*0.6, kind: tagTorque, of: i})
		}
	}
	for i, p := range s.DistributedTorques {
		if p.Label != "" {
			l.loads = append(l.loads, tag{text: loadText(p.Label), lead: (l.drawnX(p.From) + l.drawnX(p.To)) / 2, kind: tagSpread, of: i})
		}
	}
	for i, h := range s.Supports {
		if h.Label != "" {
			l.loads = append(l.loads, tag{text: loadText(h.Label), lead: l.supportX(i), kind: tagSupport, of: i})
		}
	}
	l.loads = l.placeTags(l.loads, nil, false)
}

// loadText sets the symbol of a load in italic type: the part before an
// equals sign, or a label that begins with a letter. Numbers with units stay
// upright.
func loadText(label string) string {
	symbol, rest, found := strings.Cut(label, "=")
	if found {
		return canvas.Quantity(symbol) + "=" + rest
	}
	if label != "" && !strings.ContainsAny(label, "0123456789") {
		return canvas.Quantity(label)
	}
	return label
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
	l.dims = l.placeTags(l.dims, leaders, true)
}

// endOffset is how far beside an end of the shaft (side −1 the left one, 1 the
// right one) its diameter is dimensioned: beyond the wall that holds it; 0 where
// that diameter is dimensioned elsewhere.
func (l *shaftPlan) endOffset(side float64) float64 {
	const beside, wall, spring = 12, 14, 22
	a, b := l.s.ends()
	x, p := a, &l.s.Pieces[0]
	if side > 0 {
		x, p = b, &l.s.Pieces[len(l.s.Pieces)-1]
	}
	if p.Text != "" || uniform(p.Outer) && len(l.s.Pieces) <= maxDimensioned {
		return 0
	}
	offset := 0.0
	for _, h := range l.s.Supports {
		if near(h.X, x, b-a) {
			offset = wall
			if h.Elastic {
				offset = wall + spring
			}
		}
	}
	return offset + beside
}

// addOuter dimensions an outer diameter: beside the shaft at its ends, across it
// elsewhere; corner marks one where another piece begins.
func (l *shaftPlan) addOuter(corner bool, text string, x, d float64) {
	a, b := l.s.ends()
	kind, side := tagAcross, 0.0
	switch {
	case near(x, a, b-a):
		kind, side = tagEnd, -1
	case near(x, b, b-a):
		kind, side = tagEnd, 1
	case corner:
		kind = tagCorner
	}
	l.addDim(kind, text, x, d)
	if side != 0 {
		l.dims[len(l.dims)-1].lead += float64(side * l.endOffset(side))
	}
}

func (l *shaftPlan) addDim(kind tagKind, text string, x, d float64) {
	l.dims = append(l.dims, tag{text: text, lead: l.drawnX(x), kind: kind, target: canvas.PointAt(x, d)})
}

func (l *shaftPlan) addDiameters(i int) {
	s := l.s
	p := &s.Pieces[i]
	at := func(f float64) float64 { return p.From + float64(f*(p.To-p.From)) }
	where := 0.5
	if len(p.Bore) > 0 || len(p.Core) > 0 {
		where = 0.3
	}
	for _, b := range l.breaks {
		// The Middle of a shortened stretch is where the break line goes.
		if b.a <= at(where) && at(where) <= b.b {
			where = 0.25
		}
	}
	switch {
	case p.Text != "":
		l.addDim(tagPlain, p.Text, at(where), diameterAt(p.Outer, at(where)))
	case !uniform(p.Outer):
		l.addEnds(i)
	case i == 0 || !uniform(s.Pieces[i-1].Outer) || !sameD(s.Pieces[i-1].Outer[0].D, p.Outer[0].D) || s.Pieces[i-1].Text != "" || s.Pieces[i-1].Tolerance != p.Tolerance:
		l.addDim(tagAcross, "⌀"+diameterText(p.Outer[0].D, p.Tolerance[0]), at(where), p.Outer[0].D)
	}
	if !l.outside {
		l.addInner(i, func(p *Piece) ([]Sample, [2]float64) { return p.Bore, p.BoreTolerance }, "bore ⌀", at(0.72))
		l.addInner(i, func(p *Piece) ([]Sample, [2]float64) { return p.Core, [2]float64{} }, "core ⌀", at(0.72))
	}
}

// addInner dimensions the bore or core of piece i, leaving out what the piece
// before it has shown.
func (l *shaftPlan) addInner(i int, row func(*Piece) ([]Sample, [2]float64), word string, x float64) {
	s, by := row(&l.s.Pieces[i])
	if len(s) == 0 {
		return
	}
	shown, shownBy := math.NaN(), 0.0
	if i > 0 {
		if b, by := row(&l.s.Pieces[i-1]); len(b) > 0 {
			shown, shownBy = b[len(b)-1].D, by[1]
		}
	}
	known := sameD(s[0].D, shown) && shownBy == by[0]
	if uniform(s) && by[0] == by[1] {
		if !known {
			l.addDim(tagBore, word+diameterText(s[0].D, by[0]), x, s[0].D)
		}
		return
	}
	if !known {
		l.addDim(tagCorner, word+diameterText(s[0].D, by[0]), s[0].X, s[0].D)
	}
	end := s[len(s)-1]
	l.addDim(tagCorner, word+diameterText(end.D, by[1]), end.X, end.D)
}

// diameterText writes a diameter, with its tolerance if it has one.
func diameterText(d, by float64) string {
	text := figure.FormatNumber(d, 4)
	if by > 0 {
		text += " ± " + figure.FormatNumber(by, 2)
	}
	return text
}

// addEnds dimensions a piece that is not uniform.
func (l *shaftPlan) addEnds(i int) {
	s := l.s
	p := &s.Pieces[i]
	first, last := p.Outer[0], p.Outer[len(p.Outer)-1]
	known := func(k int, d, by float64, end bool) bool {
		if k < 0 || k >= len(s.Pieces) || s.Pieces[k].Text != "" {
			return false
		}
		o := s.Pieces[k].Outer
		own := s.Pieces[k].Tolerance[0]
		if k < i {
			own = s.Pieces[k].Tolerance[1]
		}
		if own != by {
			return false
		}
		if uniform(o) {
			return sameD(o[0].D, d)
		}
		// The taper before this one has shown the diameter where they meet.
		return end && k < i && sameD(o[len(o)-1].D, d)
	}
	if !known(i-1, first.D, p.Tolerance[0], true) {
		l.addOuter(true, "⌀"+diameterText(first.D, p.Tolerance[0]), first.X, first.D)
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
			l.addOuter(false, "⌀"+figure.FormatNumber(q.D, 4), q.X, q.D)
		}
	}
	if !known(i+1, last.D, p.Tolerance[1], false) {
		l.addOuter(true, "⌀"+diameterText(last.D, p.Tolerance[1]), last.X, last.D)
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
	l.addOuter(false, "⌀"+figure.FormatNumber(lo.D, 4), lo.X, lo.D)
	if hi.D > lo.D {
		l.addOuter(false, "⌀"+figure.FormatNumber(hi.D, 4), hi.X, hi.D)
	}
}
