package live

import (
	"crypto/sha256"
	"encoding/binary"
	"hash"
	"maps"
	"math"
	"slices"

	"shaftbook/kernel"
)

// A state is all that a reader has changed of a lesson. Results depend on nothing
// else, so that those of one reader are those of every other in the same state. Its
// parts are never changed, only replaced.
type state struct {
	texts map[string]string // of cells, by their ids: those that differ from the lesson's
	sum   sum               // of texts; zero if there are none
	moved []kernel.Moved    // in the order of their places
}

type sum [sha256.Size]byte

// A stateKey stands for a lesson in a state.
type stateKey struct {
	lesson, texts sum
	moved         string
	first         bool // what a page of the lesson comes with, which may lack rows
}

// sumOf returns the sum of a lesson as it was given to a session.
func sumOf(name string, cells []kernel.Cell) sum {
	h := sha256.New()
	put(h, name)
	for _, c := range cells {
		put(h, c.ID, c.Name, c.Text.Name, c.Text.Content)
		_ = binary.Write(h, binary.LittleEndian, []int64{int64(c.Kind), int64(c.Text.FirstLine)}) // a hash never fails
	}
	return sum(h.Sum(nil))
}

// put writes texts so that no two lists of them are the same bytes.
func put(h hash.Hash, texts ...string) {
	for _, t := range texts {
		_ = binary.Write(h, binary.LittleEndian, int64(len(t)))
		h.Write([]byte(t))
	}
}

// withText returns the state with the text of a cell; written is the lesson's.
func (s state) withText(cell, text, written string) state {
	texts := maps.Clone(s.texts)
	if texts == nil {
		texts = map[string]string{}
	}
	if texts[cell] = text; text == written {
		delete(texts, cell)
	}
	s.texts, s.sum = nil, sum{}
	if len(texts) > 0 {
		h := sha256.New()
		for _, id := range slices.Sorted(maps.Keys(texts)) {
			put(h, id, texts[id])
		}
		s.texts, s.sum = texts, sum(h.Sum(nil))
	}
	return s
}

// withMove returns the state with a slider at a value, in the unit that it shows.
func (s state) withMove(place kernel.RowPlace, value float64) state {
	moved := slices.Clone(s.moved)
	i := slices.IndexFunc(moved, func(m kernel.Moved) bool { return m.RowPlace == place })
	if i < 0 {
		i, moved = len(moved), append(moved, kernel.Moved{})
	}
	moved[i] = kernel.Moved{RowPlace: place, Value: value, Shown: true}
	s.moved = moved
	return s
}

// key returns what stands for the state of a lesson.
func (s state) key(lesson sum) stateKey {
	return stateKey{lesson: lesson, texts: s.sum, moved: movedKey(s.moved)}
}

func movedKey(moved []kernel.Moved) string {
	if len(moved) == 0 {
		return ""
	}
	ordered := slices.Clone(moved)
	slices.SortFunc(ordered, func(a, b kernel.Moved) int { return comparePlaces(a.RowPlace, b.RowPlace) })
	var b []byte
	for _, m := range ordered {
		b = binary.AppendUvarint(b, uint64(len(m.Cell)))
		b = append(b, m.Cell...)
		b = binary.AppendUvarint(b, uint64(m.Index))
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(m.Value))
		if b = append(b, 0); m.Shown {
			b[len(b)-1] = 1
		}
	}
	return string(b)
}

func comparePlaces(a, b kernel.RowPlace) int {
	if a.Cell != b.Cell {
		if a.Cell < b.Cell {
			return -1
		}
		return 1
	}
	return a.Index - b.Index
}
