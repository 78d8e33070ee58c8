package working

import (
	"math"
	"strconv"

	"shaftbook/kernel/typeset"
)

// File returns the table for a file that other programs read: a row of headers, each
// with the unit of its column, then the numbers in these units with all the digits of a
// float64; a cell without a value is empty.
func (t *Table) File() [][]string {
	rows := make([][]string, 0, len(t.Numbers)+1)
	var head []string
	for _, h := range t.Headers {
		name := h.Label
		if name == "" {
			name = typeset.Plain(h.Expr)
		}
		if h.Unit != "" {
			name += " / " + h.Unit
		}
		head = append(head, name)
	}
	rows = append(rows, head)
	for i, numbers := range t.Numbers {
		row := make([]string, len(numbers))
		for k, v := range numbers {
			switch {
			case math.IsNaN(v):
			case t.Headers[k].Words || k >= len(t.bare):
				row[k] = t.Rows[i][k]
			default:
				row[k] = strconv.FormatFloat(v/t.bare[k].Factor, 'g', -1, 64)
			}
		}
		rows = append(rows, row)
	}
	return rows
}
