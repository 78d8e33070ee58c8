package shaft

import (
	"fmt"
	"strings"

	"shaftbook/kernel/figure"
)

// Description describes what the drawing shows and what in it is not to scale.
func (s *Drawing) Description() string {
	if s.Check() != nil {
		return s.Finding
	}
	return s.plan(figure.Options{}).describe()
}

func (l *shaftPlan) describe() string {
	s := l.s
	var b strings.Builder
	if s.Finding != "" {
		b.WriteString(strings.TrimSuffix(s.Finding, ".") + ". ")
	}
	unit := s.LengthUnit
	fmt.Fprintf(&b, "A shaft %s long in %s. ", figure.NumberWithUnit(figure.FormatNumber(s.length(), 5), unit), count(len(s.Pieces), "piece"))
	if len(s.Pieces) <= maxDimensioned {
		for i := range s.Pieces {
			b.WriteString(s.describePiece(i) + ". ")
		}
	}
	for _, h := range s.Supports {
		word := "Held"
		if h.Elastic {
			word = "Held elastically"
		}
		fmt.Fprintf(&b, "%s at %s. ", word, figure.NumberWithUnit(figure.FormatNumber(h.X, 5), unit))
	}
	for _, t := range s.Torques {
		word := "Torque "
		if s.part != nil {
			word = "" // the labels of a free body say what they are
		}
		fmt.Fprintf(&b, "%s%s%s at %s. ", word, capital(t.Label), turn(t.Value), figure.NumberWithUnit(figure.FormatNumber(t.X, 5), unit))
	}
	for _, p := range s.DistributedTorques {
		fmt.Fprintf(&b, "Distributed torque %s from %s to %s. ", p.Label, figure.FormatNumber(p.From, 5), figure.NumberWithUnit(figure.FormatNumber(p.To, 5), unit))
	}
	if len(l.diagrams) > 0 {
		b.WriteString(l.describeDiagrams() + " ")
	}
	for _, n := range l.notes {
		b.WriteString(n + " ")
	}
	return strings.TrimSpace(b.String())
}

// describeDiagrams gives the extremes of every diagram.
func (l *shaftPlan) describeDiagrams() string {
	s := l.s
	var b strings.Builder
	for i := range s.Diagrams {
		d := &s.Diagrams[i]
		lo, hi := figure.Extremes(d.Y)
		if d.Y[lo] == d.Y[hi] {
			fmt.Fprintf(&b, "The diagram of %s: %s throughout. ", d.Label, mark(d.Estimate)+figure.NumberWithUnit(figure.FormatNumber(d.Y[lo], 4), d.Unit))
			continue
		}
		fmt.Fprintf(&b, "The diagram of %s: least %s at %s, greatest %s at %s. ", d.Label,
			mark(d.Estimate)+figure.NumberWithUnit(figure.FormatNumber(d.Y[lo], 4), d.Unit), figure.NumberWithUnit(figure.FormatNumber(d.X[lo], 4), s.LengthUnit),
			mark(d.Estimate)+figure.NumberWithUnit(figure.FormatNumber(d.Y[hi], 4), d.Unit), figure.NumberWithUnit(figure.FormatNumber(d.X[hi], 4), s.LengthUnit))
	}
	return strings.TrimSpace(b.String())
}

func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

func (s *Drawing) describePiece(i int) string {
	p := &s.Pieces[i]
	t := fmt.Sprintf("Piece %d, %s long: ", i+1, figure.NumberWithUnit(figure.FormatNumber(p.To-p.From, 5), s.LengthUnit))
	if p.Text != "" {
		t += p.Text
	} else {
		t += "diameter " + run(p.Outer)
	}
	if len(p.Bore) > 0 {
		t += ", bore " + run(p.Bore)
	}
	if len(p.Core) > 0 {
		t += ", core " + run(p.Core)
	}
	return t
}

// run describes how a diameter changes along a piece.
func run(s []Sample) string {
	if uniform(s) {
		return figure.FormatNumber(s[0].D, 5)
	}
	return figure.FormatNumber(s[0].D, 5) + " to " + figure.FormatNumber(s[len(s)-1].D, 5)
}

// Data returns one row for each piece, hold and load, and a further table for
// each diagram.
func (s *Drawing) Data() *figure.Data {
	in := func(name string) string { return figure.ColumnHeader(name, "", s.LengthUnit) }
	d := &figure.Data{
		Caption: "Pieces, holds and loads",
		Headers: []string{"part", in("from"), in("to"), in("diameter"), in("bore"), in("core"), "load"},
	}
	for i := range s.Pieces {
		p := &s.Pieces[i]
		cells := []string{fmt.Sprintf("piece %d", i+1), figure.FormatNumber(p.From, 5), figure.FormatNumber(p.To, 5), p.Text, "", "", ""}
		if p.Text == "" && len(p.Outer) > 0 {
			cells[3] = run(p.Outer)
		}
		if len(p.Bore) > 0 {
			cells[4] = run(p.Bore)
		}
		if len(p.Core) > 0 {
			cells[5] = run(p.Core)
		}
		d.Rows = append(d.Rows, cells)
	}
	load := func(part string, from, to float64, label string) {
		d.Rows = append(d.Rows, []string{part, figure.FormatNumber(from, 5), figure.FormatNumber(to, 5), "", "", "", label})
	}
	for _, h := range s.Supports {
		load("hold", h.X, h.X, h.Label)
	}
	for _, t := range s.Torques {
		load("torque", t.X, t.X, t.Label+turn(t.Value))
	}
	for _, p := range s.DistributedTorques {
		load("distributed torque", p.From, p.To, p.Label)
	}
	for i := range s.Diagrams {
		g := &s.Diagrams[i]
		caption := g.Label
		if g.Estimate {
			caption += ", estimates"
		}
		f := &figure.Data{Caption: caption, Headers: []string{in("x"), figure.ColumnHeader(g.Label, "y", g.Unit)}}
		f.Fill([][]float64{figure.Thin(g.X), figure.Thin(g.Y)})
		d.Further = append(d.Further, f)
	}
	return d
}

// turn returns in words the direction in which a torque acts.
func turn(v float64) string {
	switch {
	case v > 0:
		return " about +x"
	case v < 0:
		return " about −x"
	}
	return ""
}

func (s *Drawing) KeySize() int {
	n := 1<<10 + 64*len(s.Pieces) + 24*len(s.Segments)
	for i := range s.Diagrams {
		n += 64 + 16*len(s.Diagrams[i].X)
	}
	return n
}

func (s *Drawing) WriteKey(k *figure.KeyWriter) {
	k.Text("shaft", s.Heading, s.Finding, s.LengthUnit)
	samples := func(ss []Sample) {
		k.Count(len(ss))
		for _, q := range ss {
			k.Number(q.X, q.D)
		}
	}
	k.Count(len(s.Pieces))
	for i := range s.Pieces {
		p := &s.Pieces[i]
		k.Number(p.From, p.To)
		samples(p.Outer)
		samples(p.Bore)
		samples(p.Core)
		k.Number(p.Tolerance[0], p.Tolerance[1], p.BoreTolerance[0], p.BoreTolerance[1])
		k.Flag(p.Flat)
		k.Text(p.Text)
	}
	k.Count(len(s.Supports))
	for _, h := range s.Supports {
		k.Number(h.X)
		k.Flag(h.Elastic)
		k.Text(h.Label)
	}
	k.Count(len(s.Torques))
	for _, t := range s.Torques {
		k.Number(t.X, t.Value)
		k.Text(t.Label)
	}
	k.Count(len(s.DistributedTorques))
	for _, p := range s.DistributedTorques {
		k.Number(p.From, p.To, p.Start, p.End)
		k.Text(p.Label)
	}
	k.Count(len(s.Segments))
	for _, g := range s.Segments {
		k.Number(g.From, g.To, g.D)
	}
	k.Flag(s.Twist != nil)
	if t := s.Twist; t != nil {
		k.Numbers(t.X)
		k.Numbers(t.Angle)
		k.Number(t.Times)
		k.Flag(t.Estimate)
	}
	k.Count(len(s.Diagrams))
	k.Flag(s.Axial)
	for _, d := range s.Diagrams {
		k.Text(d.Label, d.Unit)
		k.Count(int(d.Quantity))
		k.Numbers(d.X)
		k.Numbers(d.Y)
		k.Flag(d.Estimate)
	}
}

// Bare returns the drawing without twist, diagrams and finding.
func (s *Drawing) Bare() figure.Picture {
	bare := *s
	bare.Finding, bare.Twist, bare.Diagrams = "", nil, nil
	return &bare
}
