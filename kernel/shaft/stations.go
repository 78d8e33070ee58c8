package shaft

import (
	"math"

	"gonum.org/v1/gonum/interp"
)

// stations checks measured diameters.
func (v *validator) stations(p *Piece) {
	if p.Bore != nil {
		v.fail(p.At, CodeBore, "measure solid pieces only", "a measured piece cannot have a bore")
	}
	if len(p.Stations) < 2 {
		v.fail(p.At, CodeStations, "give the diameter at its start and at its end at least", "a measured piece needs two stations")
		return
	}
	if !v.count(len(p.Stations), "stations") {
		return
	}
	for i, s := range p.Stations {
		at := s.At
		if !at.IsValid() {
			at = p.At
		}
		if !v.finite(at, "this station", s.X, s.Diameter) {
			return
		}
		if s.Diameter <= 0 {
			v.fail(at, CodeDiameter, "give a diameter above zero", "a diameter of %s was measured", v.show(s.Diameter, Diameter))
		}
		if i > 0 && s.X <= p.Stations[i-1].X {
			v.fail(at, CodeStations, "list the stations in order, each place once", "this station is not beyond the one before it")
			return
		}
	}
	first, last := p.Stations[0], p.Stations[len(p.Stations)-1]
	length := p.Length
	if length == 0 {
		length = last.X
	}
	if math.Abs(first.X) > sameplace*length || math.Abs(last.X-length) > sameplace*length {
		v.fail(p.At, CodeStations, "measure at the start and at the end of the piece, counting from its start",
			"the stations run from %s to %s, the piece from 0 to %s", v.show(first.X, Length), v.show(last.X, Length), v.show(length, Length))
	}
}

// fitStations returns the shape-preserving interpolant of checked stations.
// F. N. Fritsch & J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300–304.
func fitStations(stations []Station) (*measuredOutline, error) {
	xs, ds := make([]float64, len(stations)), make([]float64, len(stations))
	for i, s := range stations {
		xs[i], ds[i] = s.X, s.Diameter
	}
	f := new(interp.FritschButland)
	return &measuredOutline{FritschButland: f, stations: stations}, f.Fit(xs, ds)
}
