package plot

import (
	"io"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// SVG returns the plot for the page.
func (p *Plot) SVG(o figure.Options) ([]byte, error) { return p.CachedSVG(o, nil) }

// CachedSVG draws with a frame from the cache, if there is one.
func (p *Plot) CachedSVG(o figure.Options, frames *figure.Cache) ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	l := p.plan(o.LayoutWidth())
	f := p.frame(&l, frames)
	c := canvas.NewSVG(canvas.OpenSVG(o, l.width, l.height, p.Title(), p.Description()), l.height)
	c.Raw(f.markup)
	c.Group("fig-curves")
	p.drawCurves(canvas.NewPen(c, l.height), &l, &f)
	c.EndGroup()
	return c.Whole(), nil
}

// frame returns the frame for a layout, drawn or kept.
func (p *Plot) frame(l *plotPlan, frames *figure.Cache) plotFrame {
	if frames == nil {
		return p.drawSVGFrame(l)
	}
	key := p.frameKey(l)
	if f, ok := frames.Get(key); ok {
		return f.(plotFrame)
	}
	f := p.drawSVGFrame(l)
	frames.Put(key, f, len(f.markup))
	return f
}

func (p *Plot) drawSVGFrame(l *plotPlan) plotFrame {
	c := canvas.NewSVG(make([]byte, 0, 4<<10), l.height)
	f := p.drawFrame(c, l)
	f.markup = c.Bytes()
	return f
}

// PNG writes the plot in light colours.
func (p *Plot) PNG(w io.Writer, dpi float64) error {
	size, draw, err := p.sheet(figure.Options{})
	if err != nil {
		return err
	}
	return canvas.WritePNG(w, dpi, size, draw)
}

// PDF writes the plot in light colours.
func (p *Plot) PDF(w io.Writer) error {
	size, draw, err := p.sheet(figure.Options{})
	if err != nil {
		return err
	}
	return canvas.WritePDF(w, size, draw)
}

// Trace returns the plot as lines, areas and texts.
func (p *Plot) Trace(o figure.Options) (*figure.Trace, error) {
	size, draw, err := p.sheet(o)
	if err != nil {
		return nil, err
	}
	return canvas.TraceOf(size.X, size.Y, draw), nil
}

// sheet returns the drawing for a canvas.
func (p *Plot) sheet(o figure.Options) (canvas.Point, func(vg.Canvas), error) {
	if err := p.Check(); err != nil {
		return canvas.Point{}, nil, err
	}
	l := p.plan(o.LayoutWidth())
	return canvas.PointAt(l.width, l.height), func(c vg.Canvas) {
		f := p.drawFrame(c, &l)
		p.drawCurves(canvas.NewPen(c, l.height), &l, &f)
	}, nil
}
