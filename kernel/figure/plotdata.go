package figure

import (
	"slices"
	"strings"
)

// maxRows bounds the table behind a figure; longer curves are thinned evenly,
// first and last points kept.
const maxRows = 41

// Data returns the curves as a table: one column of x and one for each curve
// if they share their x, else a pair of columns for each curve.
func (p *Plot) Data() *Data {
	d := &Data{}
	if len(p.Curves) == 0 {
		return d
	}
	shared := true
	for i := range p.Curves {
		shared = shared && slices.Equal(p.Curves[i].X, p.Curves[0].X)
	}
	xHead := header(p.X.Label, "x", p.X.Unit)
	var columns [][]float64
	for i := range p.Curves {
		c := &p.Curves[i]
		if i == 0 || !shared {
			d.Headers = append(d.Headers, xHead)
			columns = append(columns, thin(c.X))
		}
		d.Headers = append(d.Headers, header(p.curveName(i), "", p.Y.Unit))
		columns = append(columns, thin(c.Y))
	}
	d.fill(columns)
	return d
}

func header(label, otherwise, unit string) string {
	if label == "" {
		label = otherwise
	}
	if unit == "" {
		return label
	}
	return label + ", " + unit
}

// thin keeps at most maxRows values, evenly spread.
func thin(vs []float64) []float64 {
	if len(vs) <= maxRows {
		return vs
	}
	out := make([]float64, maxRows)
	for i := range out {
		out[i] = vs[i*(len(vs)-1)/(maxRows-1)]
	}
	return out
}

// fill turns columns into rows of text.
func (d *Data) fill(columns [][]float64) {
	n := 0
	for _, c := range columns {
		n = max(n, len(c))
	}
	for r := range n {
		cells := make([]string, len(columns))
		for k, c := range columns {
			if r < len(c) {
				cells[k] = format(c[r], 5)
			}
		}
		d.Rows = append(d.Rows, cells)
	}
}

// Description says what is plotted and how each curve runs.
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
			return spaced(format(c.Y[k], 4), p.Y.Unit) + " at " + x + " = " + spaced(format(c.X[k], 4), p.X.Unit)
		}
		b.WriteString(quoted(p.curveName(i)) + ": ")
		if n == 0 {
			b.WriteString(at(0) + ". ")
			continue
		}
		b.WriteString("from " + at(0) + " to " + at(n))
		lo, hi := extremes(c.Y)
		if lo != 0 && lo != n {
			b.WriteString(", least " + at(lo))
		}
		if hi != 0 && hi != n {
			b.WriteString(", greatest " + at(hi))
		}
		b.WriteString(". ")
	}
	for _, m := range p.Marks {
		unit := p.X.Unit
		if m.Way == AcrossY {
			unit = p.Y.Unit
		}
		if m.Low == m.High && strings.Contains(m.Label, format(m.Low, 4)) {
			b.WriteString("Marked: " + m.Label + ". ")
			continue
		}
		if m.Low == m.High {
			b.WriteString(m.Label + ": " + spaced(format(m.Low, 4), unit) + ". ")
			continue
		}
		b.WriteString(m.Label + ": " + format(m.Low, 4) + " to " + spaced(format(m.High, 4), unit) + ". ")
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

func spaced(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + " " + unit
}

// extremes returns the places of the least and greatest value, the first or
// last place if a value there is as small or as large.
func extremes(vs []float64) (lo, hi int) {
	for i, v := range vs {
		if v < vs[lo] {
			lo = i
		}
		if v > vs[hi] {
			hi = i
		}
	}
	n := len(vs) - 1
	if vs[n] == vs[lo] && lo != 0 {
		lo = n
	}
	if vs[n] == vs[hi] && hi != 0 {
		hi = n
	}
	return lo, hi
}
