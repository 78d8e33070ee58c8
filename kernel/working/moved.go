package working

import "shaftbook/kernel/notation"

// A Moved is a slider that a reader has moved: the place of its statement, and the
// value, in the unit of the slider if it is Shown, which is how pages send it, and else
// in SI base units.
type Moved struct {
	RowPlace
	Value float64
	Shown bool
}

// Moved returns the sliders that were moved, in the order of the document. Together
// with the texts of the cells it is all that results depend on.
func (w *Working) Moved() []Moved {
	var list []Moved
	for _, it := range w.items {
		if it.hasVaried {
			list = append(list, Moved{it.rowPlace(), it.varied, it.isShown})
		}
	}
	return list
}

// SetMoved moves the sliders of a list and no others: those get their starting values.
// A place without a slider is left out.
func (w *Working) SetMoved(list []Moved) {
	at := make(map[RowPlace]Moved, len(list))
	for _, m := range list {
		at[m.RowPlace] = m
	}
	for _, it := range w.items {
		if !it.isVary() {
			continue
		}
		m, is := at[it.rowPlace()]
		switch {
		case !is && it.hasVaried:
			it.hasVaried, it.dirty = false, true
		case is && (!it.hasVaried || it.varied != m.Value || it.isShown != m.Shown):
			it.varied, it.isShown, it.hasVaried, it.dirty = m.Value, m.Shown, true, true
		}
	}
}

// A SliderPlace is where the slider of a name is, and between which values it may be put.
type SliderPlace struct {
	RowPlace
	Low, High float64 // in its unit; they hold only if IsKnown
	Whole     bool    // no other values
	IsKnown   bool    // its statement has been evaluated, and has no error
}

// Allows reports whether the slider may be put at a value. One of which nothing is known
// allows every value: it is kept within its ends when it is evaluated.
func (s SliderPlace) Allows(value float64) bool {
	return !s.IsKnown || s.Low <= value && value <= s.High && (!s.Whole || whole(value))
}

// Sliders returns the slider of each name that can be varied.
func (w *Working) Sliders() map[string]SliderPlace {
	places := map[string]SliderPlace{}
	for _, it := range w.items {
		if !it.isVary() {
			continue
		}
		if name := notation.Canonical(it.defines); places[name] == (SliderPlace{}) {
			place := SliderPlace{RowPlace: it.rowPlace()}
			if s := it.result.Slider; s != nil && !it.dirty && !it.recheck {
				place.Low, place.High, place.Whole, place.IsKnown = s.Low, s.High, s.Whole, true
			}
			places[name] = place
		}
	}
	return places
}

func (it *item) rowPlace() RowPlace { return RowPlace{it.cell.id, it.index} }
