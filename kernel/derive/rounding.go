package derive

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// roundedNumber returns the half unit of the last digit of a number as it is
// written, in SI base units: 0.005 MPa for 45.85 MPa. ok is false for anything
// but a number or a quantity, perhaps with a sign.
func roundedNumber(e notation.Expr) (half float64, u *unit.Unit, ok bool) {
	switch e := notation.Unparen(e).(type) {
	case *notation.Unary:
		return roundedNumber(e.X)
	case *notation.Number:
		return lastDigit(e.Text) / 2, nil, true
	case *notation.Quantity:
		return lastDigit(e.Number.Text) * math.Abs(e.Unit.Unit.Factor) / 2, &e.Unit.Unit, true
	}
	return 0, nil, false
}

// lastDigit is one unit of the last digit of a literal: 0.01 for 45.85, 1 for
// 1200, 0.1e-3 for 3.2e-4.
func lastDigit(text string) float64 {
	mantissa, power, _ := strings.Cut(strings.ToLower(notation.Decimal(text)), "e")
	n, _ := strconv.Atoi(power)
	if _, decimals, ok := strings.Cut(mantissa, "."); ok {
		n -= len(decimals)
	}
	return elementary.Pow(10, float64(n))
}

// leastRounded is how many half units of its last digit a number must be for an
// error of one unit to count as rounding on the way: three figures. Where the line
// above has the digits written exactly, nothing but ≈ excuses another last digit.
const leastRounded = 200

// leastDigits is half a unit of the last of 15 figures.
const leastDigits = 5e-16

// wholeUnits reports whether a value is a whole number of units of the last digit
// written, so that it has the digits written without any rounding: 144 against 145.
func wholeUnits(x bigfloat.Value, half float64) bool {
	units := math.Abs(x.Float64()) / (2 * half)
	return math.Abs(units-math.Round(units)) < 1e-6
}

// rounds judges a number at the end of a chain: it is right if the line above
// rounds to it at the digits written. It reports whether it could tell.
func (j *judge) rounds(v *Verdict, a, b *statement, op notation.Op) bool {
	half, u, ok := roundedNumber(b.expr)
	if !ok || a.typ.Dim != b.typ.Dim {
		return false
	}
	for _, n := range notation.FreeNames(a.full) {
		if j.scope.variable(n.Ident) != nil {
			return false
		}
	}
	j.eval.left = stepNodes
	x, err1 := j.eval.value(a.full, point{})
	y, err2 := j.eval.value(b.full, point{})
	if err1 != nil || err2 != nil {
		return false
	}
	difference, err := bigfloat.Sub(x, y)
	if err != nil {
		return false
	}
	if half < leastDigits*math.Abs(y.Float64()) {
		return false // more digits than values are compared to here
	}
	off := math.Abs(difference.Float64())
	doubt := float64(2*(x.Radius()+y.Radius())) + float64(half*1e-12)
	written := strings.ReplaceAll(strings.TrimSpace(notation.Print(b.expr)), " °", "°")
	switch {
	case y.Float64() == 0 && off > float64(2*(x.Radius()+y.Radius())):
		v.Kind, v.Exact = Fails, !x.Estimated()
		v.Why = "0 has no figure that counts: the line above is " + j.shownCloser(x, a, u, float64(off/200))
		v.Above, v.Claimed = j.shownCloser(x, a, u, float64(off/200)), written
	case off <= half-doubt, off <= half+doubt && !x.Estimated():
		v.Kind, v.Exact = Follows, !x.Estimated()
		v.Why = "the line above rounds to " + written + " at the digits written"
		if x.Estimated() {
			v.Kind, v.Points = Agrees, 1
		}
	case off <= float64(2*half)+doubt && math.Abs(y.Float64()) >= leastRounded*half && (op == notation.OpApprox || !wholeUnits(x, half)):
		v.Kind, v.Points = Agrees, 1
		v.Why = fmt.Sprintf("the last digit is off by one, as happens when a value is rounded on the way: the line above is %s", j.shownCloser(x, a, u, half))
	default:
		v.Kind, v.Exact, v.Slip = Fails, !x.Estimated(), NoSlip
		v.Why = fmt.Sprintf("the line above is %s, which does not round to %s", j.shownCloser(x, a, u, half), written)
		j.recogniseNumber(v, a, b, [2]bigfloat.Value{x, y}, half, doubt)
		v.Above, v.Claimed = j.shownCloser(x, a, u, half), written
	}
	return true
}

// recogniseNumber names the slip of a number at the end of a chain. A slip must
// give the number at the digits written, which must be three or more, or give it
// exactly. values are those of the line above and the number.
func (j *judge) recogniseNumber(v *Verdict, a, b *statement, values [2]bigfloat.Value, half, doubt float64) {
	for _, room := range []float64{half, half * trailingZeros(b.expr)} {
		enough := math.Abs(values[1].Float64()) >= leastRounded*room
		if !enough {
			room = 0
		}
		j.eval.left = recogniseNodes
		if found := j.matching(a, b, j.atDigits(values, room+doubt)); len(found) > 0 && !found[0].general {
			v.Slip = found[0].slip
			v.Why += ": " + j.named(v, found)
			return
		}
		if !enough {
			return
		}
		if early := j.roundedEarly(a, values, room+doubt); early != "" {
			v.Slip = Rounded
			v.Why += ": " + early
			return
		}
		if room != half || trailingZeros(b.expr) == 1 {
			return
		}
	}
}

// trailingZeros is 100 for 4500: its zeros may be written for want of a power of
// ten. It is 1 for a number with decimals.
func trailingZeros(e notation.Expr) float64 {
	if u, ok := notation.Unparen(e).(*notation.Unary); ok {
		return trailingZeros(u.X)
	}
	n, ok := notation.Unparen(e).(*notation.Number)
	if q, isQuantity := notation.Unparen(e).(*notation.Quantity); isQuantity {
		n, ok = q.Number, true
	}
	if !ok || strings.ContainsAny(n.Text, ".,e") {
		return 1
	}
	return elementary.Pow(10, float64(len(n.Text)-len(strings.TrimRight(n.Text, "0"))))
}

// atDigits returns whether a slip gives a number within room. values are those of
// the line above and the number.
func (j *judge) atDigits(values [2]bigfloat.Value, room float64) func(mistaken) bool {
	x, y := values[0].Float64(), values[1].Float64()
	return func(s mistaken) bool {
		full, err := j.scope.full(s.expr)
		if err != nil {
			return false
		}
		value, err := j.eval.value(full, point{})
		if err != nil {
			return false
		}
		got := value.Float64()
		if s.undone {
			return math.Abs(got-x) <= room*math.Abs(x/y)
		}
		return math.Abs(got-y) <= room
	}
}

// roundedEarly recognises a number that comes of rounding a value on the way: the
// line above itself, before it was converted, or a defined name in it. It
// reproduces the number at the digits written.
func (j *judge) roundedEarly(a *statement, values [2]bigfloat.Value, room float64) string {
	x, y := values[0], values[1]
	near := func(value float64) bool { return math.Abs(value-y.Float64()) <= room }
	const least, most = 2, 4
	for _, e := range j.levels(a) {
		for _, ident := range distinctNames(e) {
			value, defined := j.scope.values[ident]
			if !defined {
				continue
			}
			exact, err := j.eval.value(value, point{})
			if err != nil {
				continue
			}
			for figures := least; figures <= most; figures++ {
				full, err := j.scope.full(put(e, ident, makerAt(e).roundedTo(exact.Float64(), figures)))
				if err != nil {
					break
				}
				if got, err := j.eval.value(full, point{}); err == nil && near(got.Float64()) {
					return fmt.Sprintf("%s was rounded to %d figures on the way; keep more until the end", ident, figures)
				}
			}
		}
	}
	for figures := 1; figures <= most; figures++ {
		rounded, err := j.eval.value(makerAt(a.expr).roundedTo(x.Float64(), figures), point{})
		if err == nil && near(rounded.Float64()) {
			return "the value was rounded to " + words.Count(figures, "figure") + " before it was converted; keep more until the end"
		}
	}
	return ""
}

// shownCloser shows a value with a digit more than the last one written.
func (j *judge) shownCloser(x bigfloat.Value, a *statement, u *unit.Unit, half float64) string {
	f := x.Float64()
	shown := unit.Choose(f, a.typ.Dim, j.settings.Prefer, unit.NoHint)
	if u != nil {
		shown = *u
	}
	figures := 6
	if f != 0 {
		figures = int(math.Floor(elementary.Log10(math.Abs(f))) - math.Floor(elementary.Log10(2*half)) + 2)
	}
	return unit.Format(f, shown, unit.Rounding{Figures: min(max(figures, 2), 15)})
}
