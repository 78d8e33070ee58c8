package markdown

import "github.com/yuin/goldmark/util"

// A Covered is a piece of the text that stays covered, with its number among these.
type Covered struct {
	Start, End int // offsets in the file
	Number     int
}

// Hide writes a covered piece; open is its HTML as it is without the cover.
type Hide func(w util.BufWriter, number int, open string) error

// cutText calls f for the pieces of a text from start to end, in order: those that are
// covered, and with a nil piece what stands between them.
func cutText(start, end int, covered []Covered, f func(start, end int, piece *Covered)) {
	for i := range covered {
		c := &covered[i]
		if c.Start < start || c.End > end {
			continue
		}
		if c.Start > start {
			f(start, c.Start, nil)
		}
		f(c.Start, c.End, c)
		start = c.End
	}
	if start < end {
		f(start, end, nil)
	}
}
