package working

import (
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/plot"
)

// What is kept takes about so many bytes, as measured on the heap of a 64-bit machine
// with texts of 64 kB. The check of Working.Size in size_test.go measures it again.
const (
	workingSize    = 2000
	itemSize       = 1200 // a statement, beside its tree
	treeSize       = 75   // of the tree, for a byte of its text
	diagnosticSize = 600
	numberSize     = 50 // of a table: the number, its text and what is certain of it
	pointSize      = 16
	pictureSize    = 6000
)

// Size returns about how many bytes the working takes. It is counted from texts,
// statements and results, so that the same working has the same size everywhere.
func (w *Working) Size() int64 {
	n := int64(workingSize)
	for _, c := range w.cells {
		n += int64(len(c.text.Content))
		for _, it := range c.items {
			n += itemSize + treeSize*int64(len(it.key)) + it.result.size()
			n += diagnosticSize * int64(len(it.parsed)+len(it.checked)+len(it.blamed)+len(it.result.Diagnostics))
		}
	}
	return n
}

// size is about what the numbers of a result take.
func (r *Result) size() int64 {
	var n int64
	if r.Table != nil {
		n += numberSize * int64(len(r.Table.Rows)) * int64(len(r.Table.Headers)+1)
	}
	if r.Figure != nil {
		n += pictureBytes(r.Figure)
	}
	return n
}

func pictureBytes(p figure.Picture) int64 {
	n := int64(pictureSize)
	if p, ok := p.(*plot.Plot); ok {
		for _, c := range p.Curves {
			n += pointSize * int64(len(c.X))
		}
	}
	return n
}

// mostHeld is what the tables and figures of one working may take, in bytes. It is
// room for 300,000 numbers.
const mostHeld = 16 << 20

// full reports whether there is no more room for what the statement would keep.
func (e *evaluation) full() bool {
	switch e.r.Kind {
	case KindTable, KindPlot, KindDraw, KindTrials:
		return e.w.held > mostHeld
	}
	return false
}
