package working

import (
	"fmt"
	"math"
	"strings"

	drawing "shaftbook/kernel/figure/shaft"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/shaft"
	"shaftbook/kernel/unit"
)

// balanced is how far from 0 a sum of torques may be by rounding, as a share of the
// largest of them.
const balanced = 1e-9

// drawCut draws the free bodies on both sides of a cut.
func (e *evaluation) drawCut(n *notation.Draw, v shaftValue) {
	x, ok := e.placeOf(n, v.s)
	if !ok {
		return
	}
	end := v.s.Length()
	if tol := float64(1e-9 * end); x < tol || x > end-tol {
		e.fail(n.X.Span(), CodeFigure, "a cut at an end of the shaft leaves nothing on one side").Repair = "cut between the ends"
		return
	}
	torque, err := v.s.Torque(x)
	if err != nil {
		e.fail(n.Span(), CodeFigure, "%s", inWords(err))
		return
	}
	c := cutting{e: e, v: v, x: x, u: e.lengthUnit(), moment: e.w.unitFor(e.largestTorque(v, torque), momentType)}
	of, proof := v.bounds("torque", x)
	c.face = marked(math.Abs(torque), of, proof, math.Copysign(1, torque), c.moment)
	whole := &drawing.Drawing{}
	e.drawShaft(whole, v, c.u)
	d := &drawing.Cut{Heading: fmt.Sprintf("Free bodies of %s, cut at x = %s", n.Shaft.Ident, e.showShaft(x, shaft.Length)), X: x / c.u.Factor}
	d.Left, ok = c.body(whole, torque, true)
	if !ok {
		return
	}
	if d.Right, ok = c.body(whole, -torque, false); !ok {
		return
	}
	d.Finding = fmt.Sprintf("On the face of the left part acts %s, on that of the right part %s, and the torques on each part add up to 0. Positive torques turn about +x",
		c.signed(torque, c.face), c.signed(-torque, c.face))
	if c.jumps() {
		d.Finding += ". The torque that acts at the cut belongs to the left part: the cut is just beyond it"
	}
	e.setFigure(d, "drawing", n.Span())
}

// largestTorque is the largest torque on the shaft, for one unit in all of a figure.
func (e *evaluation) largestTorque(v shaftValue, torque float64) float64 {
	most := math.Abs(torque)
	for _, t := range v.spec.Torques {
		most = max(most, math.Abs(t.Value))
	}
	for _, t := range v.spec.DistributedTorques {
		most = max(most, math.Abs(t.Start+t.End)/2*(t.To-t.From))
	}
	return most
}

// A cutting collects what acts on the parts of a shaft that is cut at x.
type cutting struct {
	e         *evaluation
	v         shaftValue
	x         float64
	u, moment unit.Unit
	face      string // the size of the internal torque
}

// holds reports whether a place is on the left part, or on the right one.
func (c cutting) holds(at float64, left bool) bool {
	return (at <= c.x+float64(1e-9*c.v.s.Length())) == left
}

// jumps reports whether a torque acts at the cut.
func (c cutting) jumps() bool {
	before, after, err := c.v.s.TorqueSides(c.x)
	return err == nil && math.Abs(before-after) > balanced*max(math.Abs(before), math.Abs(after))
}

// signed writes a torque with its sign, which says its sense.
func (c cutting) signed(v float64, size string) string {
	sign := "+"
	if v < 0 {
		sign = "−"
	}
	if rest, ok := strings.CutPrefix(size, Mark); ok {
		return Mark + sign + rest
	}
	return sign + size
}

// body returns one part with the torques that act on it: those of its supports, its loads,
// and on its face the internal one.
func (c cutting) body(whole *drawing.Drawing, internal float64, left bool) (drawing.Body, bool) {
	d := &drawing.Drawing{Heading: whole.Heading, LengthUnit: c.u.Text, Pieces: c.pieces(whole.Pieces, left)}
	var sum, most float64
	var found []int
	var held []drawing.Support
	var said []string
	act := func(at, value float64, size, label string) {
		text := c.signed(value, size)
		d.Torques = append(d.Torques, drawing.Torque{X: at / c.u.Factor, Value: value, Label: label + text})
		sum += value
		most = max(most, math.Abs(value))
		said = append(said, text)
	}
	size := func(v float64) string { return unit.Format(math.Abs(v), c.moment, unit.Rounding{}) }
	for _, h := range c.v.spec.Supports {
		if !c.holds(h.X, left) {
			continue
		}
		r, err := c.v.s.Reaction(h.X)
		if err != nil {
			c.e.fail(c.e.it.span(), CodeFigure, "%s", inWords(err))
			return drawing.Body{}, false
		}
		of, proof := c.v.bounds("reaction", h.X)
		found, held = append(found, len(d.Torques)), append(held, drawing.Support{X: h.X / c.u.Factor, Elastic: h.Elastic})
		act(h.X, r, marked(math.Abs(r), of, proof, math.Copysign(1, r), c.moment), "support ")
	}
	for _, t := range c.v.spec.Torques {
		if c.holds(t.X, left) {
			act(t.X, t.Value, size(t.Value), "")
		}
	}
	for _, t := range c.v.spec.DistributedTorques {
		if part, ok := c.clip(t, left); ok {
			total := float64((part.Start + part.End) / 2 * (part.To - part.From))
			text := c.signed(total, size(total))
			d.DistributedTorques = append(d.DistributedTorques, drawing.DistributedTorque{From: part.From / c.u.Factor, To: part.To / c.u.Factor,
				Start: part.Start, End: part.End, Label: "distributed, in all " + text})
			sum += total
			most = max(most, math.Abs(total))
			said = append(said, text)
		}
	}
	found = append(found, len(d.Torques))
	act(c.x, internal, c.face, "T = ")
	if math.Abs(sum) > balanced*most {
		c.e.fail(c.e.it.span(), CodeFigure, "the torques on one side of the cut do not balance: %s is left over", size(sum))
		return drawing.Body{}, false
	}
	return drawing.Body{Drawing: d, Found: found, Held: held, Balance: strings.TrimPrefix(strings.Join(spaced(said), " "), "+") + " = 0"}, true
}

// spaced puts a space behind the sign of all terms but the first.
func spaced(terms []string) []string {
	out := make([]string, len(terms))
	for i, t := range terms {
		mark, rest := "", t
		if r, ok := strings.CutPrefix(t, Mark); ok {
			mark, rest = "≈", r
		}
		if i == 0 {
			out[i] = mark + rest
			continue
		}
		for _, sign := range []string{"+", "−"} {
			if r, ok := strings.CutPrefix(rest, sign); ok {
				rest = sign + " " + mark + r
				break
			}
		}
		out[i] = rest
	}
	return out
}

// clip returns what of a distributed torque is on one side of the cut.
func (c cutting) clip(t shaft.DistributedTorque, left bool) (shaft.DistributedTorque, bool) {
	if left && t.From >= c.x || !left && t.To <= c.x {
		return t, false
	}
	at := t.Start + float64((t.End-t.Start)*(c.x-t.From)/(t.To-t.From))
	switch {
	case left && t.To > c.x:
		t.To, t.End = c.x, at
	case !left && t.From < c.x:
		t.From, t.Start = c.x, at
	}
	return t, true
}

// pieces returns the pieces on one side of the cut, the one that is cut in part.
func (c cutting) pieces(all []drawing.Piece, left bool) []drawing.Piece {
	x := c.x / c.u.Factor
	length := all[len(all)-1].To
	var out []drawing.Piece
	for _, p := range all {
		from, to := p.From, p.To
		if left {
			to = min(to, x)
		} else {
			from = max(from, x)
		}
		if to-from <= 1e-9*length {
			continue
		}
		p.Outer, p.Bore, p.Core = between(p.Outer, from, to), between(p.Bore, from, to), between(p.Core, from, to)
		p.From, p.To = from, to
		out = append(out, p)
	}
	return out
}

// between returns an outline from one place to another.
func between(s []drawing.Sample, from, to float64) []drawing.Sample {
	if len(s) == 0 {
		return nil
	}
	at := func(x float64) drawing.Sample {
		for i := 1; i < len(s); i++ {
			if a, b := s[i-1], s[i]; x <= b.X || i == len(s)-1 {
				return drawing.Sample{X: x, D: a.D + float64((b.D-a.D)*(x-a.X)/(b.X-a.X))}
			}
		}
		return s[0]
	}
	out := []drawing.Sample{at(from)}
	for _, q := range s {
		if q.X > from && q.X < to {
			out = append(out, q)
		}
	}
	return append(out, at(to))
}
