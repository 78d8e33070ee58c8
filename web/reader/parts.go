package reader

import (
	"bytes"

	"shaftbook/lessons"
	"shaftbook/web/compress"
)

// A part is a piece of a page that all learners share, and the gap that it stands for,
// if it is one.
type part struct {
	piece *compress.Piece
	gap   string
}

// gapsOf returns the gaps that the page of a lesson may have.
func gapsOf(l *lessons.Lesson, c *covers) []string {
	gaps := append([]string{headGap}, c.gaps(l)...)
	for _, c := range l.CellsOf(lessons.Exercise) {
		gaps = append(gaps, gap(c))
	}
	return gaps
}

// cut returns the parts of a page: its gaps, which are comments of HTML, and what stands between them, which is
// compressed while a learner's exercises are made.
func cut(text []byte, gaps []string) (parts []part) {
	is := map[string]bool{}
	for _, g := range gaps {
		is[g] = true
	}
	add := func(piece []byte) { parts = append(parts, part{piece: compress.NewPiece(piece).Prepare()}) }
	done := 0 // what stands before it is in parts
	for at := 0; ; {
		start := bytes.Index(text[at:], []byte("<!--"))
		if start < 0 {
			break
		}
		start += at
		length := bytes.Index(text[start:], []byte("-->"))
		if length < 0 {
			break
		}
		at = start + length + len("-->")
		if g := string(text[start:at]); is[g] {
			add(text[done:start])
			parts = append(parts, part{compress.NewPiece([]byte(g)), g})
			done = at
		}
	}
	add(text[done:])
	return parts
}

// filled returns the pieces of a page whose gaps are filled. A gap without anything to
// fill it stays.
func filled(parts []part, by map[string][]byte) []*compress.Piece {
	pieces := make([]*compress.Piece, len(parts))
	for i, p := range parts {
		pieces[i] = p.piece
		if body, ok := by[p.gap]; ok {
			pieces[i] = compress.NewPiece(body)
		}
	}
	return pieces
}
