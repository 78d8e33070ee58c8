package shaft

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A shaftPlan is where everything of a shaft drawing goes.
type shaftPlan struct {
	s             *Drawing
	width, height float64
	paper         bool // for print, to a usual scale
	part          figure.Part
	top           float64 // where the drawing begins

	// xs and us are the corners of the map from positions on the shaft to
	// the figure; it bends only where a break line shortens the shaft.
	xs, us []float64
	breaks []span // shortened stretches, positions on the shaft
	perD   float64
	// outside shows no section, so that surface lines are seen.
	outside bool
	times   float64 // diameters drawn so many times larger than lengths
	radius  float64 // greatest half height drawn

	loads, dims  []tag
	spreadY      float64 // line of the spread torques
	axisY        float64 // centre line
	chains       []chain
	omitted      int // dimensions left out for want of room
	noteY        float64
	notes        []string
	dialY        float64 // middle of the dials of a twisted shaft
	diagrams     []diagramPlan
	segmentEvery int
	runs         []segmentRun
}

type span struct{ a, b float64 }

const (
	readable     = 46.0  // least drawn height of the greatest diameter
	good         = 76.0  // the height aimed at where that is not reached
	detailed     = 130.0 // the same where steps or surface lines are to be seen
	leastStretch = 70.0  // drawn length left of a shortened stretch
)

// plan lays the drawing out.
func (s *Drawing) plan(o figure.Options) *shaftPlan { return s.planFrom(o, 0) }

// planFrom is plan with the drawing below y = top.
func (s *Drawing) planFrom(o figure.Options, top float64) *shaftPlan {
	l := &shaftPlan{s: s, width: o.LayoutWidth(), paper: o.Paper, part: o.Part, times: 1, outside: s.Twist != nil, top: top}
	l.scale()
	y := 0.0
	if l.part != figure.DiagramPart {
		y = l.placeDrawing()
	}
	if len(s.Diagrams) > 0 && l.part != figure.DrawingPart {
		y = l.placeDiagrams(y+6) + diagramFoot
	}
	l.height = math.Ceil(y + 4)
	return l
}

// placeDrawing lays out the shaft with all that belongs to it and returns where
// it ends.
func (l *shaftPlan) placeDrawing() float64 {
	s := l.s
	l.placeLoads()
	if s.Twist == nil {
		l.placeDiameters()
	}
	y := l.top + 6 + float64(rowsOf(l.loads)*canvas.RowHeight) + float64(rowsOf(l.dims)*canvas.RowHeight) + 22
	if len(s.DistributedTorques) > 0 {
		y += spreadHeight + 6
	}
	l.spreadY = y - 12
	l.axisY = y + l.radius
	l.stack(l.loads, l.top+6, true)
	l.stack(l.dims, l.top+6+float64(rowsOf(l.loads)*canvas.RowHeight), true)
	y = l.axisY + l.radius + 16
	if s.Twist == nil {
		l.segmentRuns()
		y = l.placeLengths(y)
	} else {
		l.dialY = y + dialRadius + 8
		y += dialRow + 4
	}
	l.writeNotes()
	l.noteY = y
	return y + float64(canvas.RowHeight*float64(len(l.notes)))
}

// scale chooses how large lengths and diameters are drawn: the same scale
// where the drawing stays readable; else long uniform stretches are shortened
// by break lines, unless something is read off against x, or too little is
// uniform: then diameters are drawn larger, and a note under the drawing gives the factor.
func (l *shaftPlan) scale() {
	s := l.s
	a, b := s.drawnEnds()
	left, right := l.margins()
	room := l.width - left - right
	perX := l.usual(room / (b - a))
	d := s.greatestDiameter()
	most := math.Max(120, math.Min(200, l.width*0.3))
	l.perD = perX
	l.xs, l.us = []float64{a, b}, l.centred(left, room, perX)
	switch h := d * perX; {
	case h > most && len(s.Diagrams) == 0:
		l.perD = l.usual(most / d)
		l.us = l.centred(left, room, l.perD)
	case h > most:
		// Diagrams need the full width: diameters are drawn smaller.
		l.times = 1 / niceFactor(h/most)
		l.perD = perX * l.times
	case len(s.Segments) > 0 || s.Twist != nil:
		l.enlarge(h, detailed)
	case h < readable && !l.shorten(l.wanted(good/d), left, room):
		l.enlarge(h, good)
	}
	l.radius = d * l.perD / 2
}

// centred returns the drawn ends of the shaft at a scale, in the middle of the
// room there is.
func (l *shaftPlan) centred(left, room, perX float64) []float64 {
	a, b := l.s.drawnEnds()
	shift := float64((room - float64((b-a)*perX)) / 2)
	return []float64{left + shift, left + room - shift}
}

// enlarge draws diameters larger than lengths, from height h to about the
// height wanted.
func (l *shaftPlan) enlarge(h, wanted float64) {
	if h >= wanted*0.9 {
		return
	}
	l.times = niceFactor(wanted / h)
	l.perD *= l.times
}

// niceFactor rounds up to a factor that is easy to say.
func niceFactor(f float64) float64 {
	mag := elementary.Pow(10, math.Floor(elementary.Log10(f)))
	for _, m := range []float64{1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10} {
		if m*mag >= f*(1-1e-9) {
			return m * mag
		}
	}
	return 10 * mag
}

// margins leave room for walls and arrows beside the shaft and for the marks
// of the diagrams.
func (l *shaftPlan) margins() (left, right float64) {
	a, b := l.s.ends()
	n := l.s.length()
	left, right = 14, 14
	for _, h := range l.s.Supports {
		if near(h.X, a, n) {
			left = math.Max(left, 34)
		}
		if near(h.X, b, n) {
			right = math.Max(right, 34)
		}
	}
	if l.s.Twist == nil {
		left = math.Max(left, l.endOffset(-1)+8)
		right = math.Max(right, l.endOffset(1)+8)
		// An end that shows two diameters has room for both beside its load.
		if first := &l.s.Pieces[0]; !uniform(first.Bore) {
			left = math.Max(left, 60)
		}
		if last := &l.s.Pieces[len(l.s.Pieces)-1]; !uniform(last.Bore) {
			right = math.Max(right, 60)
		}
	}
	for _, t := range l.s.Torques {
		if l.s.Axial && near(t.X, a, n) {
			left = math.Max(left, 66)
		}
		if l.s.Axial && near(t.X, b, n) {
			right = math.Max(right, 66)
		}
	}
	for i := range l.s.Diagrams {
		left = math.Max(left, 58)
		scale := l.s.Diagrams[i].scale()
		for _, t := range scale.Marks() {
			left = math.Max(left, canvas.TextWidth(t.Label, canvas.TextSize)+14)
		}
	}
	return left, right
}

// shorten tries to draw the shaft at one scale by leaving out the middle of
// uniform stretches that carry nothing.
func (l *shaftPlan) shorten(scale, left, room float64) bool {
	s := l.s
	if s.part != nil || len(s.Segments) > 0 || s.Twist != nil || len(s.Diagrams) > 0 || len(s.DistributedTorques) > 0 {
		return false
	}
	a, b := s.ends()
	free := s.freeStretches()
	excess, removable := float64((b-a)*scale)-room, 0.0
	for _, f := range free {
		removable += math.Max(0, float64((f.b-f.a)*scale)-leastStretch)
	}
	if removable < excess {
		return false
	}
	if excess <= 0 {
		return true // it has room whole, which happens on paper only
	}
	l.xs, l.us = []float64{a}, []float64{left}
	u, x := left, a
	to := func(next, drawn float64) {
		if next > x {
			u, x = u+drawn, next
			l.xs, l.us = append(l.xs, x), append(l.us, u)
		}
	}
	for _, f := range free {
		r := math.Max(0, float64((f.b-f.a)*scale)-leastStretch)
		if r == 0 {
			continue
		}
		to(f.a, float64((f.a-x)*scale))
		to(f.b, float64(float64((f.b-f.a)*scale)-excess*r/removable))
		l.breaks = append(l.breaks, f)
	}
	to(b, float64((b-x)*scale))
	l.perD = scale
	return true
}

// freeStretches returns the stretches of uniform section between pieces, holds
// and loads.
func (s *Drawing) freeStretches() []span {
	var out []span
	for i := range s.Pieces {
		p := &s.Pieces[i]
		if !uniform(p.Outer) || !uniform(p.Bore) || !uniform(p.Core) {
			continue
		}
		cuts := []float64{p.From, p.To}
		for _, h := range s.Supports {
			cuts = append(cuts, h.X)
		}
		for _, t := range s.Torques {
			cuts = append(cuts, t.X)
		}
		sort.Float64s(cuts)
		for k := 1; k < len(cuts); k++ {
			if cuts[k-1] >= p.From && cuts[k] <= p.To && cuts[k] > cuts[k-1] {
				out = append(out, span{cuts[k-1], cuts[k]})
			}
		}
	}
	return out
}

func uniform(s []Sample) bool {
	for i := range s {
		if !sameD(s[i].D, s[0].D) {
			return false
		}
	}
	return true
}

// diameterAt returns the diameter at x by straight lines between samples; 0 without
// samples.
func diameterAt(s []Sample, x float64) float64 {
	if len(s) == 0 {
		return 0
	}
	k := sort.Search(len(s), func(i int) bool { return s[i].X >= x })
	switch {
	case k == 0:
		return s[0].D
	case k == len(s):
		return s[len(s)-1].D
	}
	a, b := s[k-1], s[k]
	return a.D + (b.D-a.D)*(x-a.X)/(b.X-a.X)
}

// outerAt returns the greater outer diameter where two pieces meet at x.
func (s *Drawing) outerAt(x float64) float64 {
	d, slack := 0.0, float64(s.length()*1e-9)
	for i := range s.Pieces {
		p := &s.Pieces[i]
		if x >= p.From-slack && x <= p.To+slack {
			d = math.Max(d, diameterAt(p.Outer, x))
		}
	}
	return d
}

// outerAfter returns the outer diameter just right of x.
func (s *Drawing) outerAfter(x float64) float64 {
	for i := range s.Pieces {
		if p := &s.Pieces[i]; near(x, p.From, s.length()) {
			return p.Outer[0].D
		}
	}
	return s.outerAt(x)
}

func (s *Drawing) greatestDiameter() float64 {
	d := 0.0
	if s.part != nil {
		d = s.part.greatest
	}
	for i := range s.Pieces {
		for _, q := range s.Pieces[i].Outer {
			d = math.Max(d, q.D)
		}
	}
	for _, g := range s.Segments {
		d = math.Max(d, g.D)
	}
	return d
}

// drawnX maps a position on the shaft to the figure.
func (l *shaftPlan) drawnX(x float64) float64 {
	k := sort.SearchFloat64s(l.xs, x)
	k = max(1, min(k, len(l.xs)-1))
	a, b := l.xs[k-1], l.xs[k]
	return l.us[k-1] + (l.us[k]-l.us[k-1])*(x-a)/(b-a)
}

// drawnRadius is the drawn half height of a diameter.
func (l *shaftPlan) drawnRadius(d float64) float64 { return float64(d * l.perD / 2) }

// writeNotes collects what must be said on the drawing itself.
func (l *shaftPlan) writeNotes() {
	s := l.s
	note := "Dimensions in " + unitWord(s.LengthUnit) + "."
	if s.Twist != nil {
		note = ""
	}
	text := l.scaleText()
	if text != "" && l.times == 1 {
		note += " Scale " + text + "."
	}
	lengths := strings.TrimSpace("Lengths to scale " + text)
	switch {
	case l.times > 1:
		note += " " + lengths + "; diameters drawn " + figure.FormatNumber(l.times, 3) + " times larger."
	case l.times < 1:
		note += " " + lengths + "; diameters drawn " + figure.FormatNumber(1/l.times, 3) + " times smaller."
	case len(l.breaks) > 0:
		note += " Shortened at the break lines."
	}
	if s.Twist != nil {
		note += " Twist drawn " + figure.FormatNumber(s.Twist.Times, 4) + " times larger; circles: the ends seen from the right."
	}
	l.segmentEvery = 1
	if n := len(s.Segments); n > 0 {
		l.segmentEvery = (n + mostDrawn - 1) / mostDrawn
		note += " " + figure.FormatNumber(float64(n), 6) + " segments"
		if n == 1 {
			note = strings.TrimSuffix(note, "s")
		}
		if l.segmentEvery > 1 {
			note += fmt.Sprintf(", one in %d drawn", l.segmentEvery)
		}
		note += "."
	}
	if len(s.Pieces) > maxDimensioned {
		note += fmt.Sprintf(" The diameters of the %d pieces are in the table.", len(s.Pieces))
	}
	if l.omitted > 0 {
		note += " Dimensions without room here are in the table."
	}
	l.notes = wrap(strings.TrimSpace(note), l.width-8)
	if b := s.part; b != nil {
		first := wrap(b.note, l.width-8)
		if !b.last {
			l.notes = nil
		}
		l.notes = append(first, l.notes...)
	}
}
