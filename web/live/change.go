package live

import (
	"fmt"
	"slices"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
)

// A change is one thing that the reader did and that has not been evaluated.
type change struct {
	kind  changeKind
	key   string // cell or name
	text  string
	value float64
	quiet bool // from an opening message: a name that is gone is no news
}

type changeKind int

const (
	edited changeKind = iota
	varied
	restored
	askedAll     // send every row
	askedLacking // send what the page lacks
)

// An advance is what some changes make of a session.
type advance struct {
	state   state
	sliders map[string]kernel.SliderPlace // of the texts of state; nil if they are not known
	edited  []int                         // cells of which the page is to be told how many rows they have
	moved   []kernel.RowPlace
	unknown []string // names of which there is no slider
	beyond  []string // sentences about values that were not taken
	all     bool     // every row is to be sent
	changes int      // of which it was worked out
}

// advance works out what the pending changes make of the session. Where the texts have
// to be read for that, it needs a bench; without one ok is then false.
func (s *session) advance(b *bench) (a advance, ok bool, err error) {
	e := &s.evaluation
	if e.next != nil && e.next.changes == len(e.pending) {
		return *e.next, true, nil
	}
	a = advance{state: e.state, sliders: e.sliders, changes: len(e.pending)}
	for _, c := range e.pending {
		switch c.kind {
		case edited:
			i := s.number(c.key)
			written := s.cells[i].Text.Content
			a.edited = append(a.edited, i)
			if before, is := a.state.texts[c.key]; is && before == c.text || !is && written == c.text {
				continue
			}
			next := a.state.withText(c.key, c.text, written)
			if len(next.moved) > 0 { // the edit may take a slider away, or move it to another line
				if b == nil {
					return a, false, nil
				}
				if err := b.bring(a.state); err != nil {
					return a, false, err
				}
				next.moved = nil
				if err := b.edit(c.key, next); err != nil {
					return a, false, err
				}
				next.moved = b.working.Moved()
			}
			a.state, a.sliders = next, nil
		case varied:
			if a.sliders == nil {
				if b == nil {
					return a, false, nil
				}
				if err := b.bring(a.state); err != nil {
					return a, false, err
				}
				a.sliders = b.working.Sliders()
			}
			slider, known := a.sliders[notation.Canonical(c.key)]
			switch {
			case known && !c.quiet && !slider.Allows(c.value):
				a.beyond = append(a.beyond, beyond(c.key, slider))
				a.moved = append(a.moved, slider.RowPlace) // the page is to be told where it is
			case known:
				a.state = a.state.withMove(slider.RowPlace, c.value)
				a.moved = append(a.moved, slider.RowPlace)
			case !c.quiet:
				a.unknown = append(a.unknown, c.key)
			}
		case restored:
			a.state, a.sliders = state{}, nil
			for i := range s.cells {
				a.edited = append(a.edited, i)
			}
		case askedAll:
			a.all = true
		}
	}
	e.next = &a
	return a, true, nil
}

// number returns the number of a cell of the lesson; handle has checked its id.
func (s *session) number(cell string) int {
	return slices.IndexFunc(s.cells, func(c kernel.Cell) bool { return c.ID == cell })
}

// commit makes an advance what the session stands at.
func (s *session) commit(a advance) {
	e := &s.evaluation
	e.pending, e.next = nil, nil
	e.state, e.sliders = a.state, a.sliders
	if a.all || e.shown == nil {
		e.shown = make(shown, len(s.cells))
	}
	for _, i := range a.edited {
		e.shown.edited(i)
		if !slices.Contains(e.untold, i) {
			e.untold = append(e.untold, i)
		}
	}
	if a.all {
		for i := range s.cells {
			if !slices.Contains(e.untold, i) {
				e.untold = append(e.untold, i)
			}
		}
	}
	for _, place := range a.moved {
		e.shown.moved(s.cells, place)
	}
	for _, name := range a.unknown {
		s.refuse(problem("unknown-name", 404, "There is no slider of that name", name))
	}
	for _, sentence := range a.beyond {
		s.refuse(problem("beyond", 422, "This value was not taken", sentence))
	}
}

// beyond returns the sentence about a value that a slider does not allow.
func beyond(name string, s kernel.SliderPlace) string {
	kind := ""
	if s.Whole {
		kind = " in whole numbers"
	}
	return fmt.Sprintf("%s goes from %.12g to %.12g%s", name, s.Low, s.High, kind)
}
