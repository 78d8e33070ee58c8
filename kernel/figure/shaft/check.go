package shaft

import (
	"fmt"

	"shaftbook/kernel/figure"
)

// Beyond this many pieces the drawing leaves out the dimension of each piece;
// the table has them all.
const maxDimensioned = 12

// Beyond this many points or parts a drawing would be ink on ink.
const maxParts = 20000

// Title returns the heading, or just “Shaft”.
func (s *Drawing) Title() string {
	if s.Heading != "" {
		return s.Heading
	}
	return "Shaft"
}

// Caption returns the title and the finding.
func (s *Drawing) Caption() string { return figure.CaptionOf(s.Title(), s.Finding) }

// Check returns an error for what in the shaft cannot be drawn. Order of the pieces, samples
// and positions is checked here; the mechanics of the shaft is not.
func (s *Drawing) Check() error {
	if len(s.Pieces) == 0 {
		return figure.Errorf("the shaft", "has no pieces")
	}
	for i := range s.Pieces {
		if err := s.checkPiece(i); err != nil {
			return err
		}
	}
	for i, h := range s.Supports {
		if err := s.checkPlace(fmt.Sprintf("hold %d", i+1), h.X); err != nil {
			return err
		}
	}
	for i, t := range s.Torques {
		part := fmt.Sprintf("torque %d", i+1)
		if err := checkAll(part, t.X, t.Value); err != nil {
			return err
		}
		if err := s.checkPlace(part, t.X); err != nil {
			return err
		}
	}
	for i, p := range s.DistributedTorques {
		part := fmt.Sprintf("distributed torque %d", i+1)
		if err := checkAll(part, p.From, p.To, p.Start, p.End); err != nil {
			return err
		}
		if err := s.checkPlace(part, p.From); err != nil {
			return err
		}
		if err := s.checkPlace(part, p.To); err != nil {
			return err
		}
		if p.From >= p.To {
			return figure.Errorf(part, "does not run forward along the shaft")
		}
	}
	for i, g := range s.Segments {
		part := fmt.Sprintf("segment %d", i+1)
		if err := checkAll(part, g.From, g.To, g.D); err != nil {
			return err
		}
		if g.From >= g.To || g.D <= 0 {
			return figure.Errorf(part, "has no length or no diameter")
		}
	}
	if err := s.checkTwist(); err != nil {
		return err
	}
	for i := range s.Diagrams {
		if err := s.checkDiagram(i); err != nil {
			return err
		}
	}
	return nil
}

func (s *Drawing) checkPiece(i int) error {
	p := &s.Pieces[i]
	part := fmt.Sprintf("piece %d", i+1)
	if err := checkAll(part, p.From, p.To); err != nil {
		return err
	}
	if p.From >= p.To {
		return figure.Errorf(part, "has no length")
	}
	if i > 0 && !near(p.From, s.Pieces[i-1].To, s.length()) {
		return figure.Errorf(part, "does not begin where piece %d ends", i)
	}
	if len(p.Outer) < 2 {
		return figure.Errorf(part, "has no outline")
	}
	for _, row := range []struct {
		name string
		s    []Sample
	}{{"outer", p.Outer}, {"bore", p.Bore}, {"core", p.Core}} {
		if len(row.s) > maxParts {
			return figure.Errorf(part, "has %d %s diameters, too many to draw", len(row.s), row.name)
		}
		for k, q := range row.s {
			if err := checkAll(part, q.X, q.D); err != nil {
				return err
			}
			if q.D < 0 || q.D == 0 && row.name == "outer" {
				return figure.Errorf(part, "has an %s diameter of %s %s", row.name, figure.FormatNumber(q.D, 4), s.LengthUnit)
			}
			if k > 0 && q.X <= row.s[k-1].X {
				return figure.Errorf(part, "has %s diameters out of order", row.name)
			}
		}
	}
	return nil
}

func (s *Drawing) checkTwist() error {
	if s.Twist == nil {
		return nil
	}
	t := s.Twist
	if len(t.X) != len(t.Angle) || len(t.X) < 2 {
		return figure.Errorf("the twist", "has %d positions and %d angles", len(t.X), len(t.Angle))
	}
	if err := checkAll("the twist", t.Times); err != nil {
		return err
	}
	for k := range t.X {
		if err := checkAll("the twist", t.X[k], t.Angle[k], t.Angle[k]*t.Times); err != nil {
			return err
		}
		if k > 0 && t.X[k] < t.X[k-1] {
			return figure.Errorf("the twist", "has positions out of order")
		}
	}
	return nil
}

func (s *Drawing) checkDiagram(i int) error {
	d := &s.Diagrams[i]
	part := "diagram " + figure.Quoted(d.Label)
	if len(d.X) != len(d.Y) || len(d.X) < 2 {
		return figure.Errorf(part, "has %d values of x and %d of y", len(d.X), len(d.Y))
	}
	for k := range d.X {
		if err := checkAll(part, d.X[k], d.Y[k]); err != nil {
			return err
		}
		if k > 0 && d.X[k] < d.X[k-1] {
			return figure.Errorf(part, "has values of x out of order")
		}
	}
	return nil
}

func (s *Drawing) checkPlace(part string, x float64) error {
	if err := figure.CheckValue(part, "x", x, false); err != nil {
		return err
	}
	a, b := s.ends()
	if slack := float64((b - a) * 1e-9); x < a-slack || x > b+slack {
		return figure.Errorf(part, "is at %s %s, off the shaft", figure.FormatNumber(x, 4), s.LengthUnit)
	}
	return nil
}

func checkAll(part string, vs ...float64) error {
	for _, v := range vs {
		if err := figure.CheckValue(part, "its numbers", v, false); err != nil {
			return err
		}
	}
	return nil
}

func (s *Drawing) ends() (a, b float64) {
	return s.Pieces[0].From, s.Pieces[len(s.Pieces)-1].To
}

// drawnEnds are the ends of what the width of the figure is for.
func (s *Drawing) drawnEnds() (a, b float64) {
	if s.part != nil {
		return s.part.from, s.part.to
	}
	return s.ends()
}

func (s *Drawing) length() float64 {
	a, b := s.ends()
	return b - a
}

// sameD reports whether two diameters are the same but for rounding.
func sameD(a, b float64) bool {
	d := a - b
	return d <= 1e-9*a && d >= -1e-9*a
}

// near reports whether two positions are the same for drawing.
func near(a, b, length float64) bool {
	d := a - b
	return d < 1e-9*length && d > -1e-9*length
}
