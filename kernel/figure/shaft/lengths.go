package shaft

import (
	"math"
	"slices"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A chain is one row of length dimensions under the shaft.
type chain struct {
	y     float64 // the dimension line
	stops []float64
	texts []tag // texts that do not fit their length stand under the line
	fits  []bool
	model bool // brackets over segments, not dimensions
}

// placeLengths puts the lengths of the pieces in one row, the places of loads
// between them in a second, the whole length in the last. y is where the first
// RowHeight may begin; the end of the last is returned.
func (l *shaftPlan) placeLengths(y float64) float64 {
	s := l.s
	a, b := s.ends()
	pieces := []float64{a}
	if len(s.Pieces) <= maxDimensioned {
		for i := range s.Pieces {
			pieces = append(pieces, s.Pieces[i].To)
		}
	}
	loads := l.loadStops(pieces)
	y = l.addRuns(pieces, loads, y)
	if len(pieces) > 2 {
		y = l.addChain(pieces, loads, y)
	}
	if len(loads) > 2 {
		y = l.addChain(loads, nil, y)
	}
	return l.addChain([]float64{a, b}, nil, y) + 4
}

// loadStops returns the ends of the shaft and the places of holds and loads
// that are not at the ends of pieces; nil if there is none to dimension, or so
// many that the row could not be read.
func (l *shaftPlan) loadStops(pieces []float64) []float64 {
	s := l.s
	a, b := s.ends()
	stops := []float64{a, b}
	add := func(x float64) {
		for _, p := range append(pieces, stops...) {
			if near(p, x, b-a) {
				return
			}
		}
		stops = append(stops, x)
	}
	for _, h := range s.Supports {
		add(h.X)
	}
	for _, t := range s.Torques {
		add(t.X)
	}
	for _, p := range s.DistributedTorques {
		add(p.From)
		add(p.To)
	}
	if len(stops) > maxDimensioned {
		return nil
	}
	slices.Sort(stops)
	return stops
}

// clearest returns the longest part of a dimension line that no extension line
// of a row further down crosses.
func clearest(u0, u1 float64, cross []float64) (a, b float64) {
	cuts := []float64{u0}
	for _, c := range cross {
		if c > u0+0.1 && c < u1-0.1 {
			cuts = append(cuts, c)
		}
	}
	slices.Sort(cuts)
	cuts = append(cuts, u1)
	for k := 1; k < len(cuts); k++ {
		if cuts[k]-cuts[k-1] > b-a+0.01 {
			a, b = cuts[k-1], cuts[k]
		}
	}
	return a, b
}

// addChain adds a row whose texts stand on the dimension line, or under it
// where the length is too short for its text.
func (l *shaftPlan) addChain(stops, crossing []float64, y float64) float64 {
	texts := make([]string, len(stops)-1)
	for k := range texts {
		texts[k] = figure.FormatNumber(stops[k+1]-stops[k], 5)
	}
	return l.addRow(chain{stops: stops, y: y + canvas.RowHeight}, texts, crossing)
}

// addRow adds a row with the given text for each stretch.
func (l *shaftPlan) addRow(c chain, texts []string, crossing []float64) float64 {
	stops := c.stops
	cross := make([]float64, len(crossing))
	for i, x := range crossing {
		cross[i] = l.drawnX(x)
	}
	var low []tag
	for k := 1; k < len(stops); k++ {
		u0, u1 := l.drawnX(stops[k-1]), l.drawnX(stops[k])
		t := tag{text: texts[k-1], lead: (u0 + u1) / 2, of: k - 1}
		t.w = canvas.TextWidth(t.text, canvas.TextSize)
		fits := false
		if a, b := clearest(u0, u1, cross); t.w+6 <= b-a {
			t.lead, fits = (a+b)/2, true
		}
		t.x0, t.y = t.lead-float64(t.w/2), c.y-5
		c.texts, c.fits = append(c.texts, t), append(c.fits, fits)
		if !fits {
			low = append(low, t)
		}
	}
	end := c.y + 4
	if len(low) > 0 {
		low = l.placeTags(low, cross, true)
		l.stack(low, c.y+5, false)
		end = c.y + 5 + float64(rowsOf(low)*canvas.RowHeight)
		for i := range c.texts {
			if c.fits[i] {
				continue
			}
			k := slices.IndexFunc(low, func(t tag) bool { return t.of == i })
			if k < 0 {
				c.texts[i].text = "" // without a place
				continue
			}
			c.texts[i] = low[k]
		}
	}
	l.chains = append(l.chains, c)
	return end
}

// drawLengths draws the rows with their extension lines, which leave a gap at
// the outline and end just beyond the dimension line (ISO 129-1).
func (l *shaftPlan) drawLengths(p *canvas.Pen) {
	lowest := map[float64]float64{}
	for _, c := range l.chains {
		if c.model {
			continue
		}
		for _, x := range c.stops {
			lowest[x] = math.Max(lowest[x], c.y)
		}
	}
	stops := make([]float64, 0, len(lowest))
	for x := range lowest {
		stops = append(stops, x)
	}
	slices.Sort(stops)
	for _, x := range stops {
		u := l.drawnX(x)
		p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(u, l.axisY+l.drawnRadius(l.s.outerAt(x))+3), canvas.PointAt(u, lowest[x]+4))
	}
	for _, c := range l.chains {
		for k, t := range c.texts {
			u0, u1 := l.drawnX(c.stops[k]), l.drawnX(c.stops[k+1])
			if c.model {
				drawBracket(p, u0, u1, c.y)
			} else {
				p.Dimension(canvas.PointAt(u0, c.y), canvas.PointAt(u1, c.y))
			}
			if t.text == "" {
				continue
			}
			if !c.fits[k] {
				p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(t.lead, c.y), canvas.PointAt(t.lead, t.y-12))
			}
			p.Text(canvas.InkMain, t.x0, t.y, canvas.Left, t.text)
		}
	}
}
