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
func gapsOf(l *lessons.Lesson) []string {
	gaps := []string{headGap}
	for _, c := range l.CellsOf(lessons.Exercise) {
		gaps = append(gaps, gap(c))
	}
	return gaps
}

// cut returns the parts of a page: its gaps, and what stands between them, which is
// compressed while a learner's exercises are made.
func cut(text []byte, gaps []string) (parts []part) {
	for {
		at, first := len(text), ""
		for _, g := range gaps {
			if i := bytes.Index(text[:at], []byte(g)); i >= 0 {
				at, first = i, g
			}
		}
		parts = append(parts, part{piece: compress.NewPiece(text[:at]).Prepare()})
		if first == "" {
			return parts
		}
		parts = append(parts, part{compress.NewPiece([]byte(first)), first})
		text = text[at+len(first):]
	}
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
