package figure

import (
	"io"

	"gonum.org/v1/plot/vg"
)

// SVG returns the plot for the page.
func (p *Plot) SVG(o Options) ([]byte, error) { return p.svg(o, nil) }

// svg draws with a frame from the cache, if there is one.
func (p *Plot) svg(o Options, frames *Cache) ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	l := p.plan(o.width())
	f := p.frame(&l, frames)
	c := newSVGCanvas(openSVG(o, l.width, l.height, p.Title(), p.Description()), l.height)
	c.buf = append(c.buf, f.markup...)
	c.group("fig-curves")
	p.drawCurves(newPen(c, l.height), &l, &f)
	c.endGroup()
	return append(c.bytes(), "</svg>"...), nil
}

// frame returns the frame for a layout, drawn or kept.
func (p *Plot) frame(l *plotPlan, frames *Cache) plotFrame {
	if frames == nil {
		return p.drawSVGFrame(l)
	}
	key := p.frameKey(l)
	if f, ok := frames.get(key); ok {
		return f.(plotFrame)
	}
	f := p.drawSVGFrame(l)
	frames.put(key, f, len(f.markup))
	return f
}

func (p *Plot) drawSVGFrame(l *plotPlan) plotFrame {
	c := newSVGCanvas(make([]byte, 0, 4<<10), l.height)
	f := p.drawFrame(c, l)
	f.markup = c.bytes()
	return f
}

// PNG writes the plot in light colours.
func (p *Plot) PNG(w io.Writer, dpi float64) error {
	size, draw, err := p.sheet(Options{})
	if err != nil {
		return err
	}
	return writePNG(w, dpi, size, draw)
}

// PDF writes the plot in light colours.
func (p *Plot) PDF(w io.Writer) error {
	size, draw, err := p.sheet(Options{})
	if err != nil {
		return err
	}
	return writePDF(w, size, draw)
}

// Trace returns the plot as lines, areas and texts.
func (p *Plot) Trace(o Options) (*Trace, error) {
	size, draw, err := p.sheet(o)
	if err != nil {
		return nil, err
	}
	return traced(size.x, size.y, draw), nil
}

// sheet returns the drawing for a canvas.
func (p *Plot) sheet(o Options) (xy, func(vg.Canvas), error) {
	if err := p.Check(); err != nil {
		return xy{}, nil, err
	}
	l := p.plan(o.width())
	return xy{l.width, l.height}, func(c vg.Canvas) {
		f := p.drawFrame(c, &l)
		p.drawCurves(newPen(c, l.height), &l, &f)
	}, nil
}
