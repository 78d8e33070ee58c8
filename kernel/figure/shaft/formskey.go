package shaft

import "shaftbook/kernel/figure"

// The forms other than a Drawing are kept as a Drawing is.
var _ = []figure.Cacheable{(*Section)(nil), (*Cut)(nil), (*Bars)(nil)}

// KeySize is about the size of the key.
func (s *Section) KeySize() int {
	n := 1 << 9
	if f := s.Shape; f != nil {
		n += 16 * (len(f.Outline) + len(f.Inner) + len(f.Worst) + len(f.Along))
	}
	return n
}

// CachedSVG returns what SVG returns.
func (s *Section) CachedSVG(o figure.Options, _ *figure.Cache) ([]byte, error) { return svgOf(s, o) }

// WriteKey writes all that goes into the figure.
func (s *Section) WriteKey(k *figure.KeyWriter) {
	k.Text("section", s.Heading, s.Finding, s.LengthUnit, s.StressUnit, s.TorqueText)
	k.Number(s.Torque)
	k.Count(len(s.Layers))
	for _, l := range s.Layers {
		k.Number(l.Inner, l.Outer, l.AtInner, l.AtOuter)
		k.Text(l.InnerText, l.OuterText)
	}
	k.Flag(s.Ring != nil)
	if r := s.Ring; r != nil {
		k.Number(r.R, r.Stress)
		k.Text(r.Text)
	}
	k.Flag(s.Shape != nil)
	if f := s.Shape; f != nil {
		k.Text(f.Kind, f.Where, f.Text, f.SizeText)
		for _, line := range [][][2]float64{f.Outline, f.Inner, f.Worst, f.Along} {
			k.Count(len(line))
			for _, q := range line {
				k.Number(q[0], q[1])
			}
		}
		k.Flag(f.Wall != nil)
		if w := f.Wall; w != nil {
			k.Number(w.Thickness)
			k.Flag(w.Open)
			k.Text(w.Faces[0], w.Faces[1])
		}
	}
}

// KeySize is about the size of the key.
func (s *Cut) KeySize() int { return 1 << 12 }

// CachedSVG returns what SVG returns.
func (s *Cut) CachedSVG(o figure.Options, _ *figure.Cache) ([]byte, error) { return svgOf(s, o) }

// WriteKey writes all that goes into the figure.
func (s *Cut) WriteKey(k *figure.KeyWriter) {
	k.Text("cut", s.Heading, s.Finding)
	k.Number(s.X)
	k.Flag(s.unmarked)
	for _, b := range []Body{s.Left, s.Right} {
		k.Flag(b.Drawing != nil)
		if b.Drawing == nil {
			continue
		}
		b.Drawing.WriteKey(k)
		k.Text(b.Balance)
		k.Count(len(b.Found))
		for _, i := range b.Found {
			k.Count(i)
		}
		k.Count(len(b.Held))
		for _, h := range b.Held {
			k.Number(h.X)
			k.Flag(h.Elastic)
			k.Text(h.Label)
		}
	}
}

// KeySize is about the size of the key.
func (s *Bars) KeySize() int { return 1 << 12 }

// CachedSVG returns what SVG returns.
func (s *Bars) CachedSVG(o figure.Options, _ *figure.Cache) ([]byte, error) { return svgOf(s, o) }

// WriteKey writes all that goes into the figure.
func (s *Bars) WriteKey(k *figure.KeyWriter) {
	k.Text("bars", s.Heading, s.Finding, s.LengthUnit)
	k.Number(s.Times)
	k.Flag(s.Marks)
	k.Count(len(s.Notes))
	k.Text(s.Notes...)
	k.Count(len(s.Bars))
	for _, r := range s.Bars {
		k.Text(r.Label, r.Value)
		k.Numbers(r.X)
		k.Numbers(r.Angle)
		k.Count(len(r.Pieces))
		for _, outline := range r.Pieces {
			k.Count(len(outline))
			for _, q := range outline {
				k.Number(q.X, q.D)
			}
		}
	}
}
