package derive

import (
	"fmt"
	"strings"

	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// Points is the least number of random points at which a step must agree if it
// is judged by evaluation. Costly steps (sums in a limit) get FewPoints.
const (
	Points    = 12
	FewPoints = 4
)

// A Kind is what is said of a step.
type Kind int

// The kinds of verdicts.
const (
	Follows Kind = iota // proved
	Fails               // refuted
	Open                // neither
	Gap                 // left for the learner
	Agrees              // not proved, but it holds at every point tried
)

// Kinds is the number of kinds.
const Kinds = 5

// String returns the word that the headless output uses.
func (k Kind) String() string { return [...]string{"follows", "fails", "open", "gap", "agrees"}[k] }

// A Slip is what kind of mistake a step makes, as far as it was recognised.
type Slip string

// The slips that are recognised. README.md lists what each is found by.
const (
	NoSlip Slip = ""

	// Of integrals and sums.
	ChainRule     Slip = "chain-rule"     // the slope of an inner function is missing
	SwappedLimits Slip = "swapped-limits" // the limits changed places
	OldLimits     Slip = "old-limits"     // limits not changed with the variable
	LostLimit     Slip = "lost-limit"     // the antiderivative was taken at one limit only
	WrongEnd      Slip = "wrong-end"      // a value taken at the other end
	OneEnd        Slip = "one-end"        // an integrand taken at one end for the whole range
	MeanValue     Slip = "mean-value"     // an integrand taken at mid-length for the whole range
	MeanStiffness Slip = "mean-stiffness" // the stiffnesses at the two ends averaged
	MeanTwist     Slip = "mean-twist"     // the integrands at the two ends averaged

	// Of the trade.
	RadiusSlip    Slip = "radius-diameter"
	Bending       Slip = "bending-torsion" // π/64·d⁴ for π/32·d⁴, or 32 for 16
	Modulus       Slip = "modulus"         // Young's modulus for the shear modulus
	WrongAngle    Slip = "angle-unit"      // degrees and radians
	WrongSpeed    Slip = "speed-unit"      // the 60 or the 2π of revolutions per minute
	WrongUnits    Slip = "units"           // millimetres for metres and their like
	DecimalPlace  Slip = "decimal-place"
	Rounded       Slip = "rounded"        // a number was rounded
	Slope         Slip = "slope"          // the slope of a taper upside down, or without its length
	Series        Slip = "series"         // stiffnesses added where compliances add
	OneTorque     Slip = "one-torque"     // one torque for every piece
	EqualSections Slip = "equal-sections" // unequal sections treated as equal

	// Of algebra.
	WrongFactor      Slip = "factor"            // off by a constant factor
	WrongSign        Slip = "sign"              // off by −1, or the sign of one term
	WrongPower       Slip = "power"             // off by powers of names, or a wrong exponent
	Powers           Slip = "split-power"       // (a − b)ⁿ taken for aⁿ − bⁿ, or the reverse
	SplitDenominator Slip = "split-denominator" // 1/(a + b) taken for 1/a + 1/b, or the reverse
	AbsoluteValue    Slip = "absolute-value"    // √(u²) taken for u
	DroppedTerm      Slip = "dropped-term"      // a term was left out
	WrongName        Slip = "wrong-name"        // one name stands for another
	SpecialCase      Slip = "special-case"      // holds only in a special case
	Dimensions       Slip = "dimension"
)

// A NamedQuantity is the value of a name: Text as a reader would write it, SI
// the same in SI base units.
type NamedQuantity struct {
	Name string
	Text string
	SI   float64
}

// A Verdict is what is said of one claimed step.
type Verdict struct {
	Span   source.Span
	Line   int // line of the file
	Step   int // counts the claimed steps of the cell from 1
	Kind   Kind
	Exact  bool   // decided by exact arithmetic
	Points int    // of a step that agrees: at how many points it was tried
	Why    string // a sentence without its full stop and without the values of the example

	// Of a step that fails.
	Factor         *float64 // claimed ÷ true, if it is the same at all points
	Counterexample []NamedQuantity
	Above, Claimed string // the two values there, as shown
	OwnLeft        bool   // Above is the value of the left side that the line itself has
	Slip           Slip
	Also           Slip // a second slip that explains the line as well
}

// Is reports whether a slip is one of those that the verdict names.
func (v *Verdict) Is(s Slip) bool { return s != NoSlip && (v.Slip == s || v.Also == s) }

// Reason returns Why with the values of the example, where there is one.
func (v *Verdict) Reason() string { return v.reason("") }

// ReasonWith is Reason with the values of the letters, where they stand nowhere else.
func (v *Verdict) ReasonWith() string { return v.reason(v.exampleWith()) }

func (v *Verdict) reason(with string) string {
	switch {
	case v.Kind != Fails || v.Above == "" || v.Slip == Dimensions || strings.Contains(v.Why, v.Above):
		return v.Why
	case v.OwnLeft:
		return fmt.Sprintf("%s; for example%s the left side is %s and the right side %s", v.Why, with, v.Above, v.Claimed)
	}
	return fmt.Sprintf("%s; for example%s the line above is %s and this one %s", v.Why, with, v.Above, v.Claimed)
}

// exampleWith says the values of the letters: ", with T = 300 N·m and L = 2 m,".
func (v *Verdict) exampleWith() string {
	if len(v.Counterexample) == 0 {
		return ""
	}
	var list []string
	for _, q := range v.Counterexample {
		list = append(list, q.Name+" = "+q.Text)
	}
	return ", with " + words.And(list) + ","
}

// A Report is the outcome for a whole derivation.
type Report struct {
	Verdicts    []Verdict
	Diagnostics source.List // what could not be read or has no meaning
}

// Failed reports whether a step fails or a line is in error.
func (r Report) Failed() bool {
	for _, v := range r.Verdicts {
		if v.Kind == Fails {
			return true
		}
	}
	return r.Diagnostics.HasErrors()
}

// Settings of a judgement. The zero Settings is usable.
type Settings struct {
	Prefer []unit.Unit // units in which values are shown
	Memory *Memory     // of steps judged before; nil remembers nothing
}
