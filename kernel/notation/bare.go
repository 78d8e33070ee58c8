package notation

// BareNumber returns the value of a number without a unit, perhaps with a sign; ok is
// false of anything else.
func BareNumber(e Expr) (v float64, ok bool) {
	switch e := e.(type) {
	case *Number:
		return e.Value, true
	case *Unary:
		if v, ok = BareNumber(e.X); ok && e.Op == OpNeg {
			v = -v
		}
		return v, ok
	}
	return 0, false
}
