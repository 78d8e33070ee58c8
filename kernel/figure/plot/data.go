package plot

import (
	"slices"
	"strings"

	"shaftbook/kernel/figure"
)

// Data returns the curves as a table: one column of x and one for each curve
// if they share their x, else a pair of columns for each curve.
func (p *Plot) Data() *figure.Data {
	d := &figure.Data{}
	if len(p.Curves) == 0 {
		return d
	}
	shared := true
	for i := range p.Curves {
		shared = shared && slices.Equal(p.Curves[i].X, p.Curves[0].X)
	}
	xHead := figure.ColumnHeader(p.X.Label, "x", p.X.Unit)
	var columns [][]float64
	for i := range p.Curves {
		c := &p.Curves[i]
		if i == 0 || !shared {
			d.Headers = append(d.Headers, xHead)
			columns = append(columns, figure.Thin(c.X))
		}
		d.Headers = append(d.Headers, figure.ColumnHeader(p.curveName(i), "", p.Y.Unit))
		columns = append(columns, figure.Thin(c.Y))
	}
	d.Fill(columns)
	return d
}

// Description describes what is plotted and how each curve runs.
func (p *Plot) Description() string {
	var b strings.Builder
	if p.Finding != "" {
		b.WriteString(strings.TrimSuffix(p.Finding, ".") + ". ")
	}
	if p.X.Log || p.Y.Log {
		b.WriteString(logWords(p.X.Log, p.Y.Log) + " ")
	}
	for i := range p.Curves {
		c := &p.Curves[i]
		n := len(c.X) - 1
		if n < 0 || len(c.Y) != n+1 {
			continue
		}
		x := p.X.Label
		if x == "" {
			x = "x"
		}
		at := func(k int) string {
			return figure.NumberWithUnit(figure.FormatNumber(c.Y[k], 4), p.Y.Unit) + " at " + x + " = " + figure.NumberWithUnit(figure.FormatNumber(c.X[k], 4), p.X.Unit)
		}
		b.WriteString(figure.Quoted(p.curveName(i)) + ": ")
		if n == 0 {
			b.WriteString(at(0) + ". ")
			continue
		}
		b.WriteString("from " + at(0) + " to " + at(n))
		lo, hi := figure.Extremes(c.Y)
		if lo != 0 && lo != n {
			b.WriteString(", least drawn " + at(lo))
		}
		if hi != 0 && hi != n {
			b.WriteString(", greatest drawn " + at(hi))
		}
		b.WriteString(". ")
	}
	for _, m := range p.Marks {
		unit := p.X.Unit
		if m.Way == AcrossY {
			unit = p.Y.Unit
		}
		if m.Low == m.High && strings.Contains(m.Label, figure.FormatNumber(m.Low, 4)) {
			b.WriteString("Marked: " + m.Label + ". ")
			continue
		}
		if m.Low == m.High {
			b.WriteString(m.Label + ": " + figure.NumberWithUnit(figure.FormatNumber(m.Low, 4), unit) + ". ")
			continue
		}
		b.WriteString(m.Label + ": " + figure.FormatNumber(m.Low, 4) + " to " + figure.NumberWithUnit(figure.FormatNumber(m.High, 4), unit) + ". ")
	}
	return strings.TrimSpace(b.String())
}

func logWords(x, y bool) string {
	switch {
	case x && y:
		return "Both axes are logarithmic."
	case x:
		return "The x axis is logarithmic."
	}
	return "The y axis is logarithmic."
}

// Bare returns the plot without its finding.
func (p *Plot) Bare() figure.Picture {
	bare := *p
	bare.Finding = ""
	return &bare
}
