package shaft

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"shaftbook/kernel/num"
	"shaftbook/kernel/source"
)

// A plastic is what yielding adds to the elastic solution of a shaft whose torques
// statics alone gives. All loads are taken to rise together from zero, so that no
// section is unloaded on the way.
type plastic struct {
	zones []zone // in order along the shaft
	total float64
}

// A zone is a stretch of a cell on which the surface yields.
type zone struct {
	cell     int
	from, to float64 // m
	before   float64 // permanent twist of the zones before it, rad
	even     bool    // its sections and its torque are all alike
	rate     float64 // permanent twist per length of an even zone, rad/m
}

// elastic returns the Spec with pieces that never yield, for a step on the way to
// the torques of gears and for stiffnesses.
func (spec Spec) elastic() Spec {
	spec.Pieces = slices.Clone(spec.Pieces)
	for i := range spec.Pieces {
		spec.Pieces[i].Yield = 0
	}
	return spec
}

// Yields reports whether a part of the shaft is stressed beyond its yield stress.
func (s *Shaft) Yields() bool { return s.plastic != nil }

// canYield reports whether yielding of the piece can be followed: it is round and
// of one material.
func (p *piece) canYield() bool { return p.Section == nil && p.Core == nil }

// ductileAt returns the section of a cell at x as one that yields.
func (s *Shaft) ductileAt(c *cell, x float64) (ductile, error) {
	sl, err := s.sliceOf(c, x)
	p := &s.pieces[c.piece]
	return ductile{sl.outer, sl.bore, p.G, p.Yield}, err
}

// yield finds what yields and how much twist that adds. Where nothing yields the
// elastic solution stands.
func (s *Shaft) yield(v *validator) {
	var zones []zone
	for i := range s.cells {
		c := &s.cells[i]
		if s.pieces[c.piece].Yield == 0 {
			continue
		}
		list, err := s.zonesOf(i)
		if err != nil {
			v.reportPiece(&s.pieces[c.piece], err)
			return
		}
		zones = append(zones, list...)
	}
	if len(zones) == 0 || !s.mayYield(v, zones) {
		return
	}
	done := &plastic{zones: zones}
	for i := range zones {
		z := &zones[i]
		z.before = done.total
		err := s.carries(z)
		var twist float64
		if err == nil {
			twist, err = s.zoneTwist(z, z.to)
		}
		if err != nil {
			s.reportZone(v, z, err)
			return
		}
		done.total += twist
	}
	s.plastic = done
	if len(s.holds) > 0 {
		first, err := s.permanentTo(s.holds[0].X)
		if err != nil {
			v.fail(v.spec.At, CodeYield, "", "%s", err)
			return
		}
		s.turned -= first
	}
	s.capPeak()
}

// mayYield reports whether the yielding can be followed, and adds an error if not.
func (s *Shaft) mayYield(v *validator, zones []zone) bool {
	z := zones[0]
	p := &s.pieces[s.cells[z.cell].piece]
	where := fmt.Sprintf("from x = %s to %s", v.show(z.from, Length), v.show(z.to, Length))
	switch {
	case len(s.holds) > 1:
		v.fail(p.YieldAt, CodeYield, "make the torques smaller or the shaft thicker until nothing yields, or leave out all supports but one",
			"the shaft yields %s, and how several supports share the load beyond that is not worked out here", where)
		return false
	case len(v.spec.bounds) > 0:
		v.fail(p.YieldAt, CodeYield, "make the torques smaller or the shaft thicker until nothing yields, or write the torque of the gears instead of the gears",
			"the shaft yields %s, and yielding of shafts that gears join is not worked out here", where)
		return false
	}
	for _, z := range zones {
		if p := &s.pieces[s.cells[z.cell].piece]; !p.canYield() {
			v.fail(p.At, CodeYield, "make the torque smaller or this piece thicker, or put it above the line “yields at”, which is for the pieces below it",
				"this piece yields, and yielding is worked out for solid and hollow round pieces of one material only")
			return false
		}
	}
	return true
}

// zonesOf returns where the elastic stress of a cell is above its yield stress.
func (s *Shaft) zonesOf(i int) ([]zone, error) {
	c := &s.cells[i]
	p := &s.pieces[c.piece]
	limit := Limit{Of: Stress, Value: p.Yield}
	stress := func(f float64) (float64, error) { return s.stressIn(c, c.a+float64(f*c.length())) }
	over, err := exceedsIn(c, limit, stress)
	if err != nil {
		return nil, err
	}
	if len(over) == 0 {
		// A peak may lie between the places that were looked at.
		most, err := s.cellPeak(c)
		if err != nil || most.value <= p.Yield {
			return nil, err
		}
		at := (most.x - c.a) / c.length()
		from, err := crossing(stress, p.Yield, 0, at)
		if err != nil {
			return nil, err
		}
		to, err := crossing(stress, p.Yield, 1, at)
		if err != nil {
			return nil, err
		}
		over = []Excess{{From: c.a + float64(from*c.length()), To: c.a + float64(to*c.length())}}
	}
	var zones []zone
	for _, e := range over {
		if e.To > e.From {
			zones = append(zones, zone{cell: i, from: e.From, to: e.To, even: c.form == uniformCell && c.t[1] == 0 && c.t[2] == 0})
		}
	}
	return zones, nil
}

// cellPeak returns the greatest elastic stress of one cell.
func (s *Shaft) cellPeak(c *cell) (peak, error) {
	if c.form != numericCell {
		return s.closedPeak(c)
	}
	most, err := s.sampledPeak(c)
	if err != nil || most.value < 0.75*s.pieces[c.piece].Yield {
		return most, err
	}
	if fine, err := s.refinedPeak(c); err == nil && fine.value > most.value {
		return fine, nil
	}
	return most, nil
}

// permanentRateIn returns the permanent twist per length at x of a cell, rad/m.
func (s *Shaft) permanentRateIn(c *cell, x float64) (float64, error) {
	d, err := s.ductileAt(c, x)
	if err != nil {
		return 0, err
	}
	torque := c.torqueAt(x)
	if full := d.plasticTorque(); math.Abs(torque) >= full {
		return 0, &plasticError{x: x, torque: torque, limit: full}
	}
	return d.permanentRate(torque), nil
}

const (
	// zoneError is the accepted error of the twist of a zone, as a share of it.
	zoneError = 1e-13
	// zoneNoise is an error of it that no more work is spent on, as a share of what
	// goes back of the twist of the zone; zoneRounding one that is taken where the
	// numbers have no more digits to give. Where a surface only begins to yield, the
	// torque less that of first yield is known to few digits, and so is its twist.
	zoneNoise    = 1e-18
	zoneRounding = 1e-12
)

// zoneTwist returns the permanent twist of a zone from its start to x, rad.
func (s *Shaft) zoneTwist(z *zone, x float64) (float64, error) {
	c := &s.cells[z.cell]
	if z.even {
		if z.rate == 0 {
			rate, err := s.permanentRateIn(c, z.from)
			if err != nil {
				return 0, err
			}
			z.rate = rate
		}
		return z.rate * (x - z.from), nil
	}
	scale := 0.0
	for _, end := range [...]float64{z.from, x} {
		if _, err := s.permanentRateIn(c, end); err != nil {
			return 0, err
		}
		d, err := s.ductileAt(c, end)
		if err != nil {
			return 0, err
		}
		scale = max(scale, 2*d.yield/(d.g*d.outer)*(x-z.from))
	}
	found, err := num.Integrate(func(dst, x []float64) error {
		for i := range dst {
			rate, err := s.permanentRateIn(c, x[i])
			if err != nil {
				return err
			}
			dst[i] = rate
		}
		return nil
	}, z.from, x, num.Options{RelTol: zoneError, AbsTol: zoneNoise * scale})
	var rough *num.NotConvergedError
	if errors.As(err, &rough) && rough.Best.ErrorEstimate <= zoneRounding*max(scale, math.Abs(rough.Best.Value)) {
		return rough.Best.Value, nil // its bounds tell whether that is enough for the digits shown
	}
	return found.Value, err
}

// reportZone reports a zone whose twist cannot be worked out: at the torque if
// there is one alone, else at the piece.
func (s *Shaft) reportZone(v *validator, z *zone, err error) {
	p := &s.pieces[s.cells[z.cell].piece]
	var full *plasticError
	if !errors.As(err, &full) {
		v.fail(p.At, CodeYield, "make the torque smaller, or the piece thicker", "the twist of this piece beyond its yield stress cannot be added up: %s", err)
		return
	}
	at := p.At
	var acting []source.Span
	for _, t := range s.torques {
		if t.Value != 0 {
			acting = append(acting, t.At)
		}
	}
	if len(acting) == 1 && len(s.spreads) == 0 {
		at = acting[0]
	}
	limit := v.show(full.limit, Moment)
	if full.doubtful {
		v.fail(at, CodePlastic, fmt.Sprintf("keep the internal torque there clearly below %s, or make the piece thicker", limit),
			"the internal torque at x = %s is %s, and all of the section yields under %s: the two cannot be told apart, so it may be that it cannot carry it, and how far it turns has no limit",
			v.show(full.x, Length), v.show(math.Abs(full.torque), Moment), limit)
		return
	}
	v.fail(at, CodePlastic, fmt.Sprintf("keep the internal torque there below %s, or make the piece thicker", limit),
		"the internal torque at x = %s is %s, and all of the section yields under %s: it cannot carry more, and how far it then turns has no limit",
		v.show(full.x, Length), v.show(math.Abs(full.torque), Moment), limit)
}

// capPeak puts the greatest stress that the shaft carries in place of the elastic
// one.
func (s *Shaft) capPeak() {
	elastic, above := s.peakAbove, 0.0
	var best peak
	zones := s.plastic.zones
	for i := range s.cells {
		c := &s.cells[i]
		for len(zones) > 0 && zones[0].cell < i {
			zones = zones[1:]
		}
		p, err := s.cellPeak(c)
		if err != nil {
			continue // findPeak has looked at all cells without one
		}
		bound := p.value
		if c.form == numericCell {
			bound = elastic
		}
		if limit := s.pieces[c.piece].Yield; limit > 0 {
			bound = min(bound, limit)
			if len(zones) > 0 && zones[0].cell == i {
				p = peak{limit, zones[0].from}
			}
		}
		above = max(above, bound)
		if p.value > best.value {
			best = p
		}
	}
	s.greatest, s.peakAbove = best, max(above, best.value)
}

// permanentTo returns the twist from x = 0 to x that stays after unloading, rad.
func (s *Shaft) permanentTo(x float64) (float64, error) {
	if s.plastic == nil {
		return 0, nil
	}
	if x >= s.length {
		return s.plastic.total, nil
	}
	at := 0.0
	for i := range s.plastic.zones {
		z := s.plastic.zones[i] // a copy, so that calls do not meet
		if x <= z.from {
			return z.before, nil
		}
		if x < z.to {
			twist, err := s.zoneTwist(&z, x)
			return z.before + twist, err
		}
		at = s.plastic.total
		if i+1 < len(s.plastic.zones) {
			at = s.plastic.zones[i+1].before
		}
	}
	return at, nil
}
