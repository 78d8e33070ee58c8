package figuretest

import (
	"fmt"
	"math"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// Places are the layouts in which a figure is met: on a telephone, on a page, on
// a board (in both forms, whole and in its two parts), as wide as it can be, and
// on paper.
var Places = []figure.Options{
	{Width: 320}, {Width: 340}, {}, {Width: 1280}, {Paper: true},
	{Width: 340, Part: figure.DrawingPart}, {Width: 340, Part: figure.DiagramPart},
	{Part: figure.DrawingPart}, {Part: figure.DiagramPart},
}

// A label is the box of a text.
type label struct {
	text           string
	x0, y0, x1, y1 float64
}

// Labels returns what is wrong with the texts of a figure in a place: those that
// leave it and those that cover each other.
func Labels(p figure.Picture, o figure.Options) ([]string, error) {
	trace, err := p.Trace(o)
	if err != nil {
		return nil, err
	}
	var wrong []string
	var all []label
	for i := range trace.Strokes {
		if trace.Strokes[i].Runs == nil {
			continue
		}
		a := labelOf(&trace.Strokes[i])
		const slack = 0.5
		if a.x0 < -slack || a.y0 < -slack || a.x1 > trace.Width+slack || a.y1 > trace.Height+slack {
			wrong = append(wrong, fmt.Sprintf("%+v: %q leaves the figure: x %.1f to %.1f of %g, y %.1f to %.1f of %g", o, a.text, a.x0, a.x1, trace.Width, a.y0, a.y1, trace.Height))
		}
		for _, b := range all {
			if a.x0 < b.x1 && b.x0 < a.x1 && a.y0+1 < b.y1 && b.y0+1 < a.y1 {
				wrong = append(wrong, fmt.Sprintf("%+v: %q covers %q", o, a.text, b.text))
			}
		}
		all = append(all, a)
	}
	return wrong, nil
}

func labelOf(s *figure.Stroke) label {
	var a label
	w := 0.0
	top, bottom := math.Inf(1), math.Inf(-1)
	for _, r := range s.Runs {
		size := float64(r.Size * s.Size)
		text := r.Text
		if r.Italic {
			text = canvas.Quantity(text)
		}
		w += canvas.TextWidth(text, size)
		drop := float64(r.Drop * s.Size)
		top, bottom = math.Min(top, drop-float64(canvas.Ascent*size)), math.Max(bottom, drop+float64(canvas.Descent*size))
		a.text += r.Text
	}
	a.x0 = s.X - float64(s.Anchor*w)
	a.x1, a.y0, a.y1 = a.x0+w, s.Y+top, s.Y+bottom
	return a
}
