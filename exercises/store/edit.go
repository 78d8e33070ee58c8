package store

import "time"

// EditKind is the part of a lesson that was changed.
type EditKind string

// What of a lesson can be changed.
const (
	CellText    EditKind = "text"  // the text of a cell; Key is the cell's ID
	VariedValue EditKind = "value" // the value of a driven name; Key is the name
)

// An Edit is one thing in which a learner's copy of a lesson differs from the
// lesson as written.
type Edit struct {
	Kind EditKind
	Key  string

	// Content is the whole text of the cell, or the value as the page writes it
	// in the unit of its slider.
	Content string

	// Basis is a fingerprint of what the lesson said there when the edit was
	// made. A page that restores an edit can tell by it that the lesson has been
	// changed since.
	Basis string

	// Original asks, in a change to be saved, to drop the learner's edit and
	// fall back to the lesson. The store never returns it set.
	Original bool

	// Revision is the revision of the working in which this edit was saved. The
	// store sets it.
	Revision int64

	// At is the time of saving. The store takes it from the call.
	At time.Time
}

// A Working is a learner's copy of a lesson: everything that differs from the
// lesson as written, ordered by kind and key. Revision grows by one with each
// save that changes something; 0 is a lesson that was never changed.
type Working struct {
	Revision int64
	Edits    []Edit
}

// Saved is the outcome of saving changes.
type Saved struct {
	Revision int64

	// Overwritten holds what another device had saved, unseen by the device
	// that has now replaced it. The page can offer it to the learner.
	Overwritten []Edit
}

// ValidateEdits returns an error that wraps [ErrInvalid] for changes that no
// store may keep.
func ValidateEdits(learner, lesson string, changes []Edit, at time.Time) error {
	if learner == "" || lesson == "" {
		return invalid("an edit needs a learner and a lesson")
	}
	if at.IsZero() {
		return invalid("an edit needs a time")
	}
	if err := texts(field{"learner", learner, maxName}, field{"lesson", lesson, maxName}); err != nil {
		return err
	}
	type target struct {
		kind EditKind
		key  string
	}
	seen := make(map[target]bool, len(changes))
	for _, e := range changes {
		t := target{e.Kind, e.Key}
		switch {
		case e.Kind != CellText && e.Kind != VariedValue:
			return invalid("an edit changes a text or a value")
		case e.Key == "":
			return invalid("an edit needs a cell or a name")
		case seen[t]:
			return invalid("one save changes the same thing twice")
		}
		seen[t] = true
		if err := texts(field{"key", e.Key, maxName}, field{"basis", e.Basis, maxName},
			field{"content", e.Content, maxText}); err != nil {
			return err
		}
	}
	return nil
}
