package marking

import (
	"maps"
	"slices"

	"shaftbook/kernel/source"
)

// A VerdictKind is a rung of the ladder on which an answer is judged. An answer
// gets the first that applies, read from the bottom of its faults: an answer
// that cannot be read has no dimension, one of the wrong dimension has no size,
// and so on.
type VerdictKind string

// The rungs.
const (
	Unreadable     VerdictKind = "unreadable"      // it cannot be read, or is not one value of what is asked
	Ambiguous      VerdictKind = "ambiguous"       // it can be read in several ways, and the learner is asked
	WrongDimension VerdictKind = "wrong-dimension" // a torque where an angle is asked
	UnitMissing    VerdictKind = "unit-missing"    // a pure number where a unit is needed
	OutsideBounds  VerdictKind = "outside-bounds"  // it cannot be right
	SlipMade       VerdictKind = "slip"            // a recognised wrong turn
	Off            VerdictKind = "off"             // inside the bounds, but not right
	RoundedEarly   VerdictKind = "rounded-early"   // right in method, too few figures
	Right          VerdictKind = "right"
)

var verdictWords = map[VerdictKind]string{
	Unreadable: "Cannot be marked", Ambiguous: "Two readings", WrongDimension: "Wrong quantity", UnitMissing: "A unit is needed",
	OutsideBounds: "Cannot be right", SlipMade: "A common slip", Off: "Not yet", RoundedEarly: "Right, but rounded early", Right: "Right",
}

// VerdictKinds lists the rungs in alphabetical order.
func VerdictKinds() []VerdictKind { return slices.Sorted(maps.Keys(verdictWords)) }

// Word returns the verdict in the learner's words.
func (k VerdictKind) Word() string { return verdictWords[k] }

// IsTry reports whether an answer of this verdict uses up a graded try. An
// answer that cannot be read or can be read in two ways, a missing unit and
// another quantity than the one that is asked do not: nothing was claimed yet.
func (k VerdictKind) IsTry() bool {
	switch k {
	case Unreadable, Ambiguous, UnitMissing, WrongDimension:
		return false
	}
	return true
}

// A Verdict is the result of marking one answer. It never holds the expected
// value.
type Verdict struct {
	Kind    VerdictKind `json:"verdict"`
	Slips   []string    `json:"slips,omitempty"` // recognised slips; more than one if they cannot be told apart
	Message string      `json:"message"`         // the reason and the next step
	Points  float64     `json:"points"`
	Read    string      `json:"read,omitempty"` // the value that was understood, "0.971 deg"

	// Text is the answer in the notation. It has one reading, so that marking it
	// gives the same verdict. Empty for what cannot be read.
	Text string `json:"text,omitempty"`

	// Choices are the ways to read an answer that is ambiguous or has no unit, and
	// what may be meant by one that cannot be read or is of another quantity.
	Choices []Choice `json:"choices,omitempty"`

	// Compared reports whether the verdict depends on what is right, although it uses
	// no try: such an answer counts among those that are marked in a minute.
	Compared bool `json:"-"`

	offers     []string // what may be meant, to be proved
	short      string   // the message without its repair in words
	isUnproved bool     // whether the repair is a replacement, which may mean something else

	// At is the place in the answer where the trouble is, if it has one.
	At source.Position `json:"-"`
}
