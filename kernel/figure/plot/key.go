package plot

import (
	"slices"

	"shaftbook/kernel/figure"
)

func (a *Axis) writeKey(k *figure.KeyWriter) {
	k.Text(a.Label, a.Unit)
	k.Flag(a.Log)
	k.Number(a.Min, a.Max)
}

func (p *Plot) KeySize() int {
	n := 512
	for i := range p.Curves {
		n += 64 + 16*len(p.Curves[i].X)
	}
	return n
}

func (p *Plot) WriteKey(k *figure.KeyWriter) {
	k.Text("plot", p.Heading, p.Finding)
	p.X.writeKey(k)
	p.Y.writeKey(k)
	k.Count(int(p.Quantity))
	k.Numbers(p.Chosen)
	k.Count(len(p.Curves))
	for i := range p.Curves {
		c := &p.Curves[i]
		k.Text(c.Label)
		k.Flag(c.Points)
		as := i > 0 && slices.Equal(c.X, p.Curves[i-1].X) // most curves of a plot share their x
		k.Flag(as)
		if !as {
			k.Numbers(c.X)
		}
		k.Numbers(c.Y)
	}
	k.Count(len(p.Marks))
	for _, m := range p.Marks {
		k.Count(int(m.Way))
		k.Number(m.Low, m.High)
		k.Text(m.Label)
	}
}

// frameKey is the key of everything that the frame of a plot depends on.
func (p *Plot) frameKey(l *plotPlan) figure.CacheKey {
	var k figure.KeyWriter
	k.Text("frame", p.X.Label, p.X.Unit, p.Y.Label, p.Y.Unit)
	k.Flag(p.X.Log)
	k.Flag(p.Y.Log)
	k.Number(l.width, l.height, l.top, l.right, l.x.Min, l.x.Max, l.y.Min, l.y.Max)
	return k.Sum()
}
