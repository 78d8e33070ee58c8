package figure

import (
	"fmt"
	"math"
)

// An Error is the reason why a figure cannot be drawn, with the part at fault.
type Error struct {
	Part   string // "curve “twist”", "y axis", "piece 2"
	Reason string // "has a value that is not a number"
	Repair string // what to do; may be empty
}

func (e *Error) Error() string {
	s := e.Part + " " + e.Reason
	if e.Repair != "" {
		s += ": " + e.Repair
	}
	return s
}

// Errorf returns an error at a part of a figure, without a repair.
func Errorf(part, format string, args ...any) *Error {
	return &Error{Part: part, Reason: fmt.Sprintf(format, args...)}
}

// Numbers beyond this cannot be scaled without leaving float64.
const Largest = 1e300

// CheckValue returns a nil *Error for a value that can be drawn.
func CheckValue(part, axis string, v float64, log bool) *Error {
	switch {
	case math.IsNaN(v):
		return Errorf(part, "has a value of %s that is not a number", axis)
	case math.IsInf(v, 0):
		return Errorf(part, "has an infinite value of %s", axis)
	case math.Abs(v) > Largest:
		return Errorf(part, "has a value of %s too large to draw (%s)", axis, FormatNumber(v, 3))
	case log && v <= 0:
		e := Errorf(part, "has the value %s = %s, which has no place on a logarithmic axis", axis, FormatNumber(v, 4))
		e.Repair = "leave out values that are not above zero, or drop the log axes"
		return e
	case log && v < 1/Largest:
		return Errorf(part, "has a value of %s too close to zero to draw (%s)", axis, FormatNumber(v, 3))
	}
	return nil
}

// Quoted puts typographic quotation marks around s.
func Quoted(s string) string { return "“" + s + "”" }
