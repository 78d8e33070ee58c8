package shaft

import (
	"math"
	"slices"
	"sort"
)

// A cell is a stretch [a, b] of one piece between neighbouring breaks. On it
// the torque is a quadratic in s = (x − a)/(b − a), and the compliance is that
// of a uniform shaft, of a solid linear taper, or a panel of the 15-point rule.
type cell struct {
	a, b  float64
	piece int32
	span  int32 // which stretch between holds it lies in
	form  form
	c     float64      // uniform and taper: 1/(G·J) at a, 1/(N·m²)
	eps   float64      // taper: growth of the diameter over the cell, relative to a
	f     *[15]float64 // numeric: 1/(G·J) at the nodes
	m     [3]float64   // ∫ sᵏ/(G·J) dx over the cell, rad/(N·m)
	t     [3]float64   // internal torque t₀ + t₁s + t₂s², N·m
	theta float64      // twist at a, rad
}

// A form is how the compliance of a cell is known.
type form uint8

const (
	uniformCell form = iota
	taperCell
	numericCell
)

func (c *cell) length() float64 { return c.b - c.a }

// place lays the pieces end to end. It returns their ends with 0 before them.
func (s *Shaft) place(spec *Spec) []float64 {
	edges := make([]float64, 1, len(spec.Pieces)+1)
	s.pieces = make([]piece, len(spec.Pieces))
	for i, p := range spec.Pieces {
		if p.Length == 0 {
			p.Length = p.Stations[len(p.Stations)-1].X
		}
		start := edges[i]
		edges = append(edges, start+p.Length)
		s.pieces[i] = piece{Piece: p, start: start, end: edges[i+1]}
	}
	return edges
}

// breaks returns every place where something may jump or bend, in order.
func (s *Shaft) breaksOf(spec *Spec, edges []float64) []float64 {
	all := slices.Clone(edges)
	for _, t := range spec.Torques {
		all = append(all, t.X)
	}
	for _, p := range spec.DistributedTorques {
		all = append(all, p.From, p.To)
	}
	for _, h := range spec.Supports {
		all = append(all, h.X)
	}
	for i := range s.pieces {
		p := &s.pieces[i]
		for k := 1; k < len(p.Stations)-1; k++ {
			all = append(all, p.stationBreak(k))
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// cut divides the shaft into cells.
func (s *Shaft) cut(v *validator) {
	s.cells = make([]cell, 0, len(s.breaks))
	k := 0
	for i := 0; i+1 < len(s.breaks); i++ {
		a, b := s.breaks[i], s.breaks[i+1]
		for s.pieces[k].end <= a {
			k++
		}
		if !s.cutStretch(v, int32(k), a, b) {
			// One message a piece is enough: go on with the next piece.
			for i+2 < len(s.breaks) && s.breaks[i+1] < s.pieces[k].end {
				i++
			}
		}
	}
}

// cutStretch adds the cells of the stretch [a, b] of piece k.
func (s *Shaft) cutStretch(v *validator, k int32, a, b float64) bool {
	p := &s.pieces[k]
	c := cell{a: a, b: b, piece: k}
	switch {
	case p.uniform():
		sl, err := p.slice(0)
		if err != nil {
			v.reportPiece(p, err)
			return false
		}
		c.c = 1 / sl.gj
	case p.solidTaper():
		c.form = taperCell
		length := p.end - p.start
		d := lerp(p.Outer.Start, p.Outer.End, a-p.start, length)
		c.c = 1 / (p.G * polarMoment(d, 0))
		c.eps = (p.Outer.End - p.Outer.Start) * ((b - a) / length) / d
	default:
		return s.cutNumeric(v, c)
	}
	c.m = c.moments(1)
	s.cells = append(s.cells, c)
	return true
}

// cutNumeric adds the panels on which the compliance of a stretch is resolved.
func (s *Shaft) cutNumeric(v *validator, c cell) bool {
	p := &s.pieces[c.piece]
	low, high, at := math.Inf(1), 0.0, 0.0
	sample := func(dst, x []float64) error {
		if err := p.compliance(dst, x); err != nil {
			return err
		}
		for i, f := range dst {
			low = min(low, f)
			if f > high {
				high, at = f, x[i]
			}
		}
		return nil
	}
	ends := []float64{c.a - p.start, c.b - p.start}
	err := sample(make([]float64, 2), ends)
	var list []panel
	if err == nil {
		list, err = panels(ends[0], ends[1], sample, p.proof(&s.unproven))
	}
	if err == nil && high > low/(thinnest*thinnest*thinnest*thinnest) {
		err = stuckError{at}
	}
	if err != nil {
		v.reportPiece(p, err)
		return false
	}
	for i := range list {
		q := c
		q.form = numericCell
		q.a, q.b, q.f = p.start+list[i].a, p.start+list[i].b, &list[i].f
		if i == 0 {
			q.a = c.a
		} else {
			q.a = s.cells[len(s.cells)-1].b
		}
		if i == len(list)-1 {
			q.b = c.b
		}
		q.m = q.moments(1)
		s.cells = append(s.cells, q)
	}
	return true
}

// moments returns ∫ σᵏ/(G·J) dx for k = 0, 1, 2 from the start of the cell to
// the fraction s of its length. For a numeric cell s must be 1.
func (c *cell) moments(s float64) [3]float64 {
	var m [3]float64
	scale := c.length()
	switch c.form {
	case uniformCell:
		m, scale = uniformMoments(s), scale*c.c
	case taperCell:
		m, scale = taperMoments(s, c.eps), scale*c.c
	case numericCell:
		m = kronrodMoments(c.f)
	}
	return [3]float64{scale * m[0], scale * m[1], scale * m[2]}
}

// torque returns the internal torque at the fraction s of the cell.
func (c *cell) torque(s float64) float64 { return c.t[0] + float64(s*(c.t[1]+float64(s*c.t[2]))) }

// dot returns the twist that a torque t with moments m of the compliance makes.
func dot(t, m [3]float64) float64 {
	return float64(t[0]*m[0]) + float64(t[1]*m[1]) + float64(t[2]*m[2])
}

// find returns the cell that begins at or before x and ends after it; the last
// cell for the far end.
func (s *Shaft) find(x float64) int {
	i := sort.Search(len(s.cells), func(i int) bool { return s.cells[i].b > x })
	return min(i, len(s.cells)-1)
}

// sides returns the cells just before and just after x. They are the same cell
// inside one, and at the two ends.
func (s *Shaft) sides(x float64) (before, after int) {
	tol := float64(sameplace * s.length)
	after = s.find(x + tol)
	before = after
	for before > 0 && s.cells[before].a >= x-tol {
		before--
	}
	return before, after
}

// sliceOf returns the section of the cell's piece at x.
func (s *Shaft) sliceOf(c *cell, x float64) (slice, error) {
	p := &s.pieces[c.piece]
	return p.slice(min(max(x-p.start, 0), p.end-p.start))
}

// torqueAt returns the internal torque of the cell at x.
func (c *cell) torqueAt(x float64) float64 { return c.torque((x - c.a) / c.length()) }
