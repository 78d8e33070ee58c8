package marking

import (
	"context"
	"fmt"
	"math"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// earlyShare is the part of the points that an answer gets which is right in
// method and rounded too early, if it is no more than nearMiss away.
const (
	earlyShare = 0.5
	nearMiss   = 0.05
)

// coarsest is the largest share of a value for which its rounding may account.
const coarsest = 1.0 / 40

// markNumber judges a value.
func (m *Marker) markNumber(ctx context.Context, r *typed) Verdict {
	k, got := m.Key, r.got
	if got.Value.Dim != k.Dim {
		if got.Value.Dim.IsNumber() && HasAngleUnit(r.expr) {
			return Verdict{Kind: WrongDimension, Read: got.Text, Message: fmt.Sprintf("This reads as an angle, %s, but the question asks for %s.", got.Text, m.wanted())}
		}
		return m.wrongDimension(got)
	}
	g := numericAnswer{value: got.Value.Number, factor: k.Factor}
	g.readLiteral(r.expr)
	if r.kept && k.Angle && !g.hasUnit && math.Abs(g.value*math.Pi/180-k.Value) <= m.Scheme.Tolerance.Width(k.Value, math.Pi/180) {
		return Verdict{Kind: UnitMissing, Read: got.Text, Message: "An angle without a unit is read in radians. If you mean degrees, write deg after the number."}
	}
	verdict := m.judge(ctx, g)
	verdict.Read = got.Text
	return verdict
}

// A numericAnswer is an answer as a value, with the precision in which it was written.
type numericAnswer struct {
	value   float64
	factor  float64 // of the unit it was written in
	literal bool    // one number, perhaps with a unit
	hasUnit bool
	half    float64 // half a unit of the last figure written, in SI; 0 for a formula
	figures int
}

func (m *Marker) judge(ctx context.Context, g numericAnswer) Verdict {
	a, k := m.Scheme, m.Key
	if math.Abs(g.value-k.Value) <= a.Tolerance.Width(k.Value, g.factor) {
		return Verdict{Kind: Right, Points: a.Points, Message: rightMessage(a, k)}
	}
	if v, is := m.isGiven(ctx, g); is {
		return v
	}
	if k.Bounded {
		if verdict, is := m.impossible(ctx, g); is {
			return verdict
		}
	}
	if g.roundsFrom(k.Value) {
		return early(a, k, g, "This agrees with the answer as far as you wrote it, but the question asks for more figures. Carry more figures and round once, at the end.")
	}
	if slips := m.recognised(ctx, g); len(slips) > 0 {
		return Verdict{Kind: SlipMade, Slips: names(slips), Message: slipMessage(slips)}
	}
	if m.roundedBetween(ctx, g) {
		return early(a, k, g, "The method is right, but a value was rounded on the way. Until the end, carry two more figures than you report.")
	}
	return Verdict{Kind: Off, Message: offMessage(a, k, g)}
}

// impossible returns the verdict on a value outside the certain bounds. A slip may
// be a bound itself: where it is recognised, a value that leaves the bound by no
// more than its rounding and the tolerance is that slip.
func (m *Marker) impossible(ctx context.Context, g numericAnswer) (Verdict, bool) {
	k := m.Key
	edge := 1e-9 * max(math.Abs(k.Low), math.Abs(k.High))
	if g.value >= k.Low-edge && g.value <= k.High+edge {
		return Verdict{}, false
	}
	slips := m.recognised(ctx, g)
	if len(slips) > 0 && !isOutside(m.Scheme, k, g) {
		return Verdict{Kind: SlipMade, Slips: names(slips), Message: slipMessage(slips)}, true
	}
	return Verdict{Kind: OutsideBounds, Slips: names(slips), Message: outsideMessage(m.Scheme, k, g, slips)}, true
}

// isGiven returns the verdict on an answer that only repeats a value that is
// given, unless that is a slip that the author expects.
func (m *Marker) isGiven(ctx context.Context, g numericAnswer) (Verdict, bool) {
	if !g.literal || len(m.Key.match(m.Key.Slips, g, m.Scheme.Tolerance)) > 0 {
		return Verdict{}, false
	}
	for i, given := range m.Numbers.Givens() {
		v, text, ok := m.Numbers.GivenValue(i)
		if !ok || given.IsFunc || v.IsBracket || v.IsTruth || v.Dim != m.Key.Dim || v.Number == 0 {
			continue
		}
		if math.Abs(v.Number-g.value) <= 1e-9*math.Abs(v.Number) {
			return Verdict{Kind: Unreadable, Message: fmt.Sprintf("This reads as %s, which is %s and is given. Work out what is asked from what is given.", text, given.Head)}, true
		}
	}
	return Verdict{}, false
}

func rightMessage(a *Scheme, k *Key) string {
	switch {
	case a.Why != "":
		return "Right. " + Sentence(a.Why)
	case k.Bounded:
		return "Right: within tolerance, and inside the certain bounds."
	}
	return "Right: within tolerance."
}

func early(a *Scheme, k *Key, g numericAnswer, message string) Verdict {
	verdict := Verdict{Kind: RoundedEarly, Message: message}
	if n := k.figuresWanted(a, g.factor); n > 0 {
		verdict.Message += " The answer needs at least " + words.Count(n, "figure") + "."
	}
	if math.Abs(g.value-k.Value) <= nearMiss*math.Abs(k.Value) {
		verdict.Points = earlyShare * a.Points
		verdict.Message += " As rounded, it gives half of the points."
	} else {
		verdict.Message += fmt.Sprintf(" As rounded, it gives no points, since it is more than %g %% off.", 100*nearMiss)
	}
	return verdict
}

// mostFigures is the greatest number of figures that a message asks for.
const mostFigures = 12

// figuresWanted returns the least number of figures to which any value of this
// size can be rounded, in the unit of an answer, without leaving the tolerance; 0
// for none up to mostFigures.
func (k *Key) figuresWanted(a *Scheme, factor float64) int {
	t := a.Tolerance
	for n := 1; n <= mostFigures; n++ {
		half := 0.5 * math.Pow(10, float64(1-n)) // of the smallest mantissa, 1
		if t.Figures == n || t.Relative*slack >= half || t.Absolute > 0 && halfUnit(k.Value/factor, n)*factor <= t.Absolute*slack {
			return n
		}
	}
	return 0
}

// readLiteral notes how an answer was written.
func (g *numericAnswer) readLiteral(x notation.Expr) {
	x = notation.Unparen(x)
	if u, ok := x.(*notation.Unary); ok {
		x = notation.Unparen(u.X)
	}
	var number *notation.Number
	switch x := x.(type) {
	case *notation.Number:
		number, g.factor = x, 1
	case *notation.Quantity:
		number, g.factor, g.hasUnit = x.Number, x.Unit.Unit.Factor, true
	default:
		g.hasUnit = HasAngleUnit(x)
		return
	}
	g.literal = true
	digits, place := written(notation.Decimal(number.Text))
	g.figures, g.half = digits, 0.5*math.Pow(10, float64(place))*g.factor
}

// Written returns the value of one number, perhaps with a sign and a unit, and half a unit
// of the last figure in which it is written, both in SI units. ok is false for any other
// expression.
func Written(x notation.Expr) (value, half float64, ok bool) {
	x, sign := notation.Unparen(x), 1.0
	if u, is := x.(*notation.Unary); is {
		x, sign = notation.Unparen(u.X), -1
	}
	var g numericAnswer
	if g.readLiteral(x); !g.literal {
		return 0, 0, false
	}
	switch x := x.(type) {
	case *notation.Number:
		value = x.Value
	case *notation.Quantity:
		value = x.Number.Value * x.Unit.Unit.Factor
	}
	return sign * value, g.half, true
}

// HasAngleUnit reports whether a formula gives the unit of its angle.
func HasAngleUnit(x notation.Expr) bool {
	found := false
	notation.Inspect(x, func(n notation.Node) bool {
		q, isQuantity := n.(*notation.Quantity)
		found = found || isQuantity && q.Unit.Unit.Dim.IsNumber() && q.Unit.Text != "%"
		return !found
	})
	return found
}

// written returns how many significant figures a decimal has and the power of
// ten of the last one.
func written(decimal string) (figures, place int) {
	mantissa, exponent, _ := strings.Cut(strings.ToLower(decimal), "e")
	if _, err := fmt.Sscan(exponent, &place); err != nil {
		place = 0
	}
	whole, fraction, _ := strings.Cut(mantissa, ".")
	return len(strings.TrimLeft(whole+fraction, "0-+")), place - len(fraction)
}

// roundsFrom reports whether the exact value, rounded to the figures of the
// answer, is the answer.
func (g numericAnswer) roundsFrom(e float64) bool {
	return g.literal && g.value != 0 && math.Abs(g.value-e) <= g.half*slack
}

// match returns the slips whose value the answer is, as nearly as it was
// written but never by more than a fortieth.
func (k *Key) match(slips []SlipValues, g numericAnswer, t Tolerance) []*Slip {
	var found []*Slip
	for _, s := range slips {
		for _, value := range s.Values {
			if math.Abs(g.value-value) <= max(t.Width(value, g.factor), min(g.half, coarsest*math.Abs(value))) {
				found = append(found, s.Slip)
				break
			}
		}
	}
	return found
}

func names(slips []*Slip) []string {
	var list []string
	for _, s := range slips {
		list = append(list, s.Name)
	}
	return list
}

// slipMessage explains one slip, or asks which of several it was.
func slipMessage(slips []*Slip) string {
	if len(slips) == 1 {
		return Sentence(slips[0].Says) + " " + Sentence(slips[0].Next)
	}
	text := "Two common slips lead to this value. Which was it?"
	if len(slips) > 2 {
		text = "Several common slips lead to this value. Which was it?"
	}
	for i, s := range slips {
		text += fmt.Sprintf(" (%c) %s", 'a'+i, Sentence(s.Says))
	}
	return text + " Look at that step again."
}

// isOutside reports whether an answer is outside a bound by more than its rounding
// and the tolerance.
func isOutside(a *Scheme, k *Key, g numericAnswer) bool {
	return g.value < k.Low-a.Tolerance.Width(k.Low, g.factor)-min(g.half, math.Abs(k.Low)/40) ||
		g.value > k.High+a.Tolerance.Width(k.High, g.factor)+min(g.half, math.Abs(k.High)/40)
}

// outsideMessage words by which bound an answer is impossible, and roughly by how
// much.
func outsideMessage(a *Scheme, k *Key, g numericAnswer, slips []*Slip) string {
	side, bound, is := "too large", k.High, a.HighIs
	if g.value < k.Low {
		side, bound, is = "too small", k.Low, a.LowIs
	}
	text := fmt.Sprintf("This is %s to be right: it lies %s.", side, beyond(g.value, bound, side == "too small", is))
	if len(slips) > 0 {
		return text + " " + slipMessage(slips)
	}
	if k.Angle && !g.hasUnit {
		text += " An angle without a unit is read in radians."
	}
	return text + " Work out that bound yourself, then look for a power of ten, a unit, or a letter that means something else."
}

// beyond words by how much a value passes a bound, to one figure.
func beyond(value, bound float64, below bool, is string) string {
	name := "the largest possible value"
	if below {
		name = "the smallest possible value"
	}
	if is != "" {
		name += ", " + strings.TrimSuffix(is, ".")
		name += ","
	}
	where := "above"
	if below {
		where = "below"
	}
	ratio := math.Max(value/bound, bound/value)
	if !(ratio > 0) || math.IsInf(ratio, 0) {
		return where + " " + name + " and has the opposite sign, or is 0"
	}
	if ratio < 2 {
		return fmt.Sprintf("%s %s by about %s", where, name, unit.FormatNumber((math.Abs(value-bound)/math.Abs(bound))*100, unit.Rounding{Figures: 1})+" %")
	}
	return fmt.Sprintf("%s %s by a factor of about %s", where, name, unit.FormatNumber(ratio, unit.Rounding{Figures: 1}))
}

// offMessage words what to look at; how far off the answer is, roughly, only if
// the author lets it.
func offMessage(a *Scheme, k *Key, g numericAnswer) string {
	text := "This is not right yet"
	if k.Bounded {
		text = "This lies inside the certain bounds, so it could be right, but it is not"
	}
	if a.Rough {
		text += ": it is " + rough(g.value/k.Value)
	}
	return text + ". Check the unit of every factor, then try a case whose answer you know, then work it out by another route."
}

// rough words how far off an answer is, in bands so wide that they do not give
// it away.
func rough(ratio float64) string {
	if ratio <= 0 {
		return "of the opposite sign"
	}
	word, far := "too large", ratio
	if ratio < 1 {
		word, far = "too small", 1/ratio
	}
	switch {
	case far < 1.1:
		return word + " by less than a tenth"
	case far < 2:
		return word + " by more than a tenth and less than double"
	case far < 10:
		return word + " by more than double and less than ten times"
	}
	return word + " by ten times or more"
}

// example returns a unit to write, with no number before it.
func (k *Key) example(a *Scheme) string { return k.Unit(a).Text }

// Unit is the unit in which the answer is said: the author's, or the trade's
// habit.
func (k *Key) Unit(a *Scheme) unit.Unit {
	if a.Unit != nil {
		return *a.Unit
	}
	hint := unit.NoHint
	if k.Angle {
		hint = unit.Angle
	}
	return unit.Choose(k.Value, k.Dim, nil, hint)
}

// Shown writes a value beside the answer to a part, in SI units, to the figures
// that are asked and at least four.
func (k *Key) Shown(a *Scheme, value float64) string {
	return unit.Format(value, k.Unit(a), unit.Rounding{Figures: max(4, a.Tolerance.Figures)})
}
