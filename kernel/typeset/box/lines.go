package box

import (
	"strings"
	"unicode/utf8"
)

// long is how many characters of a formula are surely set on one line, in the
// narrowest window that pages are made for (320 px).
const long = 20

// WriteLines writes a box as one <math> element or, if it is long, as several side by
// side, between which a browser may begin a new line: no browser breaks the lines of
// one element today. A new line begins with its relation, its + or −, or what follows
// a comma, unless it stands inside brackets, a fraction or a root. The annotation with
// the TeX, if there is one, goes to the first.
func (m Element) WriteLines(b Box) string {
	pieces := Pieces(b)
	if len(pieces) < 2 || utf8.RuneCountInString(Plain(b)) <= long {
		return m.Write(b)
	}
	m.Display, m.Block = m.Display || m.Block, false
	var w strings.Builder
	for i, piece := range pieces {
		if i > 0 {
			m.TeX = ""
		}
		w.WriteString(m.Write(piece))
	}
	return w.String()
}

// Pieces returns the parts of a formula of which each may begin a line.
func Pieces(b Box) []Row {
	var pieces []Row
	var here Row
	end := func() {
		if len(here) > 0 {
			pieces = append(pieces, here)
		}
		here = nil
	}
	for _, child := range flat(b, nil) {
		begins := false
		switch c := child.(type) {
		case Op:
			begins = c.Form == Relation || c.Form == Infix && (c.Sign == "+" || c.Sign == "−")
		case Text:
			begins = strings.HasPrefix(string(c), " ")
		}
		if begins && !isPrefix(here) {
			end()
		}
		here = append(here, child)
		if op, ok := child.(Op); ok && op.Form == Comma {
			end()
		}
	}
	end()
	return pieces
}

// isPrefix reports whether a piece is a sign alone, which is not parted from what
// follows.
func isPrefix(row Row) bool {
	if len(row) != 1 {
		return len(row) == 0
	}
	op, ok := row[0].(Op)
	return ok && op.Form != Comma
}

// flat returns the boxes of nested rows in order.
func flat(b Box, to Row) Row {
	row, ok := b.(Row)
	if !ok {
		return append(to, b)
	}
	for _, child := range row {
		to = flat(child, to)
	}
	return to
}
