package handout

import (
	"shaftbook/kernel/figure"
)

// figure makes a block of a picture, to scale and in black.
func (p *press) figure(f figure.Picture) (block, error) {
	t, err := f.Trace(figure.Options{Paper: true})
	if err != nil {
		return block{}, err
	}
	const unit = figure.MillimetresPerUnit
	return block{height: t.Height*unit + 2, draw: func(x, y float64) {
		for i := range t.Strokes {
			s := &t.Strokes[i]
			if s.Runs != nil {
				p.label(s, x, y+1)
				continue
			}
			p.stroke(s, x, y+1)
		}
		p.pdf.SetDashPattern(nil, 0)
	}}, nil
}

// grey is the shade in which a stroke is printed: black, or what its
// transparency leaves of it.
func grey(s *figure.Stroke) int { return 255 - int(s.Colour.A) }

func (p *press) stroke(s *figure.Stroke, x, y float64) {
	const unit = figure.MillimetresPerUnit
	pdf := p.pdf
	shade := grey(s)
	for _, step := range s.Steps {
		switch step.Kind {
		case figure.MoveTo:
			pdf.MoveTo(x+step.X*unit, y+step.Y*unit)
		case figure.LineTo:
			pdf.LineTo(x+step.X*unit, y+step.Y*unit)
		case figure.CurveTo:
			pdf.CurveBezierCubicTo(x+step.X1*unit, y+step.Y1*unit, x+step.X2*unit, y+step.Y2*unit, x+step.X*unit, y+step.Y*unit)
		case figure.ClosePath:
			pdf.ClosePath()
		}
	}
	if s.Fill {
		pdf.SetFillColor(shade, shade, shade)
		pdf.DrawPath("F")
		return
	}
	var dash []float64
	for _, d := range s.Dash {
		dash = append(dash, d*unit)
	}
	pdf.SetDrawColor(shade, shade, shade)
	pdf.SetLineWidth(s.Width * unit)
	pdf.SetDashPattern(dash, 0)
	pdf.DrawPath("D")
}

// label writes a text of a figure.
func (p *press) label(s *figure.Stroke, x, y float64) {
	const unit = figure.MillimetresPerUnit
	size := s.Size * unit / point
	var boxes []box
	for _, r := range s.Runs {
		l := letter{"", size}
		if r.Italic {
			l.style = "I"
		}
		l.size *= r.Size
		boxes = append(boxes, shifted(p.text(r.Text, l), r.Drop*s.Size*unit))
	}
	b := row(boxes...)
	b.draw(x+s.X*unit-s.Anchor*b.w, y+s.Y*unit)
}
