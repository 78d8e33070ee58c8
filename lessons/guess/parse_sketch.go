package guess

import (
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/unit"
)

// curve reads what a sketch is compared with, in the words of plot.
func (r *reader) curve(g *Guess, n *yaml.Node) {
	if _, ok := r.Scalar(n, "curve"); !ok {
		return
	}
	const word = "plot "
	cell, list := notation.ParseCell(r.TextOf(n, word))
	r.List = append(r.List, r.Places.Locate(list)...)
	if list.HasErrors() {
		return
	}
	var plot *notation.Plot
	if len(cell.Stmts) == 1 {
		plot, _ = cell.Stmts[0].(*notation.Plot)
	}
	if plot == nil || len(plot.Columns) != 1 || plot.Range == nil {
		r.List.Addf(r.Span(n), CodeValue, "a curve is one expression over one range").Repair = "write curve: T(x) in N·m for x from 0 m to L"
		return
	}
	g.Curve = plot
}

var scalePattern = pattern.New(`^from\s+(\S+?)(?:\s+(\S+))?\s+to\s+(\S+?)(?:\s+(\S+))?$`)

// scale reads the ends of a sketch's upward axis. They are written out, so that they
// follow from nothing in the lesson.
func (r *reader) scale(g *Guess, n *yaml.Node) {
	s, ok := r.Scalar(n, "scale")
	if !ok {
		return
	}
	bad := func(why string) {
		r.List.Addf(r.Span(n), CodeValue, "this is not a scale: %s", why).Repair = "write two numbers with their unit, such as scale: from 0 deg to 2 deg"
	}
	m := scalePattern().FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		bad("it has two ends")
		return
	}
	var ends [2]float64
	var units [2]unit.Unit
	for i := range ends {
		v, ok := plainNumber(m[1+2*i])
		u, err := unit.Unit{Factor: 1}, error(nil)
		if m[2+2*i] != "" {
			u, err = unit.Parse(m[2+2*i])
		}
		if !ok || err != nil {
			bad("“" + strings.TrimSpace(m[1+2*i]+" "+m[2+2*i]) + "” is not a number with its unit")
			return
		}
		ends[i], units[i] = u.SI(v), u
	}
	if units[0].Dim != units[1].Dim || (m[2] == "") != (m[4] == "") {
		bad("its ends are of two kinds")
		return
	}
	if !(ends[0] < ends[1]) || ends[0] > 0 || ends[1] < 0 {
		bad("it goes from a smaller to a larger value, with 0 between them or at one end")
		return
	}
	g.scale = &fixedScale{low: ends[0], high: ends[1], dim: units[0].Dim, at: r.Span(n), pure: m[2] == ""}
}

// stations reads where the points of a sketch are.
func (r *reader) stations(g *Guess, n *yaml.Node) {
	for _, node := range r.Items(n) {
		if x := r.expr(node, "a station"); x != nil {
			g.Stations = append(g.Stations, x)
		}
	}
	if len(g.Stations) > mostStations {
		r.List.Addf(r.Span(n), CodeValue, "a sketch has at most %d stations", mostStations).Repair = "name those at which something can happen"
	}
}

// checkJumps reports jumps that have no stations of their own, or too many.
func (r *reader) checkJumps(g *Guess, found map[string]*yaml.Node) {
	n := found["jumps"]
	switch {
	case n == nil || !g.Jumps:
	case len(g.Stations) == 0:
		r.List.Addf(r.Span(n), CodeKey, "a sketch with jumps needs stations, where these can be").Repair = "write stations: with the places of loads and steps, such as [L_1, L_1 + L_2]"
	case 2*len(g.Stations)+2 > mostPoints:
		r.List.Addf(r.Span(n), CodeValue, "a sketch with jumps has at most %d stations", mostPoints/2-1).Repair = "name those at which something can happen"
	}
}
