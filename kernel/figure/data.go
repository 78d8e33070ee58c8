package figure

// Data is the table behind a figure: for each column a header with its unit,
// then rows of formatted numbers; a missing value is an empty string.
type Data struct {
	Caption string // what this table holds; empty for that of a plot
	Headers []string
	Rows    [][]string
	Further []*Data // the tables of the diagrams under a drawing
}

// MaxRows bounds the table behind a figure; longer curves are thinned evenly,
// first and last points kept.
const MaxRows = 41

// ColumnHeader returns the header of a column, “quantity / unit”: label, or
// otherwise where that is empty.
func ColumnHeader(label, otherwise, unit string) string {
	if label == "" {
		label = otherwise
	}
	return DivideByUnit(label, unit)
}

// Thin keeps at most MaxRows values, evenly spread.
func Thin(vs []float64) []float64 {
	if len(vs) <= MaxRows {
		return vs
	}
	out := make([]float64, MaxRows)
	for i := range out {
		out[i] = vs[i*(len(vs)-1)/(MaxRows-1)]
	}
	return out
}

// Fill turns columns into rows of text.
func (d *Data) Fill(columns [][]float64) {
	n := 0
	for _, c := range columns {
		n = max(n, len(c))
	}
	for r := range n {
		cells := make([]string, len(columns))
		for k, c := range columns {
			if r < len(c) {
				cells[k] = FormatNumber(c[r], 5)
			}
		}
		d.Rows = append(d.Rows, cells)
	}
}

// Extremes returns the places of the least and greatest value, the first or
// last place if a value there is as small or as large.
func Extremes(vs []float64) (lo, hi int) {
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
