package store

import "time"

// A Hint is one hint that a learner has had shown. Hints cost nothing; they are
// kept so that they stay shown, and so that an instructor sees where help was
// needed.
type Hint struct {
	Place
	Level int // counts from 1; a hint is shown after those of lower level
	At    time.Time
}

// Validate returns an error that wraps [ErrInvalid] for a hint that no store
// may keep.
func (h *Hint) Validate() error {
	if err := h.Place.validate(); err != nil {
		return err
	}
	if h.Level < 1 {
		return invalid("the levels of hints count from 1")
	}
	if h.At.IsZero() {
		return invalid("a hint needs a time")
	}
	return nil
}
