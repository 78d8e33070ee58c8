package derive

import (
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
)

// freeName words a claim about a name that is given and so may have any value: d = 2·r
// where d and r are given is most likely meant to define d. L = k/2 below k = L/2 is a
// slip like any other.
func (j *judge) freeName(v *Verdict, ident string) {
	if v.Kind != Fails || v.Slip == Dimensions || j.scope.variable(ident) == nil || j.above == nil || isFree(j.above.full, ident) {
		return
	}
	v.Slip, v.Also, v.Factor = "", "", nil
	v.Why = ident + " is given, so it may have any value here, and this holds only for some of them; leave " + ident +
		" out of given, and this line defines it"
}

// noValue says why a line of a type that cannot be judged has no value.
func (j *judge) noValue(e notation.Expr, t check.Type) string {
	if t.Kind == check.Invalid {
		for _, n := range notation.FreeNames(e) {
			if s, known := j.scope.symbols[n.Ident]; known && s.Kind == check.Value && s.Type.Kind == check.Invalid {
				return "this line cannot be judged: " + n.Ident + " has no value, since the line that defines it has none"
			}
		}
	}
	return "a derivation works with single values, and this is none"
}
