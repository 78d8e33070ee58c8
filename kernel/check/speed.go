package check

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// An angle stays a pure number, so rpm, rad/s, Hz and 1/s are one dimension and
// no base quantity tells turns from cycles. What a speed counts is a mark on its
// type: its unit decides it, a factor with π (2·π·f) or an angle (f·1 rev) makes
// a rotational speed of a frequency, and dividing by one goes back.

const turnsRepair = "one turn is 2·π rad, so 2·π·f makes a rotational speed of a frequency f in turns, and n/(2·π) a frequency of a rotational speed n"

// turnsAndCycles reports whether one of two speeds is rotational and the other a
// frequency.
func turnsAndCycles(a, b unit.Speed) bool {
	return a != b && a != unit.AnySpeed && b != unit.AnySpeed
}

// isTurnFactor reports whether a factor turns cycles into radians.
func isTurnFactor(t Type) bool { return t.Dim.IsNumber() && (t.Pi || t.Angle == IsAngle) }

// speedTimes returns the marks of x·y.
func speedTimes(x, y Type) (unit.Speed, bool) {
	if x.Dim.IsNumber() {
		x, y = y, x
	}
	switch {
	case x.Speed == unit.AnySpeed || !y.Dim.IsNumber():
		return unit.AnySpeed, x.Pi || y.Pi
	case x.Speed == unit.Cycling && isTurnFactor(y):
		return unit.Turning, false
	}
	return x.Speed, x.Pi || y.Pi
}

// speedOver returns the marks of x/y.
func speedOver(x, y Type) (unit.Speed, bool) {
	switch {
	case x.Speed == unit.AnySpeed || !y.Dim.IsNumber():
		return unit.AnySpeed, x.Pi != y.Pi
	case x.Speed == unit.Turning && isTurnFactor(y) && !x.Pi:
		return unit.Cycling, false
	}
	return x.Speed, x.Pi != y.Pi
}

// noteTurns remarks on a power divided by 2π times a rotational speed, whose 2π
// is in it already.
func (c *Checker) noteTurns(e *notation.Binary, x, y Type) {
	if x.Dim != powerDim || y.Speed != unit.Turning || !x.Pi && !y.Pi {
		return
	}
	c.list.Notef(e.Span(), CodeTurns, "this divides by 2·π twice, since a speed in rpm has it already (1 rpm = 2·π/60 rad/s)").
		Repair = "leave 2·π out; the torque of a power P at the speed n is P/n"
}

// rotational infers the speed of a power and insists on one that turns.
func (c *Checker) rotational(e notation.Expr) {
	t := c.wanted(e, speedDim, "a speed of rotation", "1450 rpm")
	if t.Speed != unit.Cycling {
		return
	}
	d := c.list.Addf(e.Span(), CodeTurns, "%s does not say whether it counts turns or radians, which differ by 2·π", c.describe(e, t))
	q, ok := notation.Unparen(e).(*notation.Quantity)
	turns, radians, known := readings(q, ok)
	if !known {
		d.Repair = "for turns write 2·π·(" + piece(e) + "), for radians (1 rad)·(" + piece(e) + ")"
		return
	}
	d.Repair = "for turns write " + turns + ", for radians " + radians
	d.Fix = &source.Fix{Span: e.Span(), Text: turns}
}

// readings returns a frequency as written, once read as turns and once as
// radians.
func readings(q *notation.Quantity, ok bool) (turns, radians string, known bool) {
	if !ok {
		return "", "", false
	}
	n := q.Number.Text + " "
	switch q.Unit.Unit.Factor {
	case 1:
		return n + "rev/s", n + "rad/s", true
	case perMinute:
		return n + "rpm", n + "rad/min", true
	}
	return "", "", false
}

// perMinute is the factor of 1/min.
var perMinute = func() float64 { u, _ := unit.Parse("1/min"); return u.Factor }()

// wordOf says what a value is, with its article; of a speed, which one.
func wordOf(t Type) string {
	if t.Speed == unit.AnySpeed {
		return Word(t.Dim)
	}
	return "a " + bareSpeed(t.Speed)
}

func bareSpeed(s unit.Speed) string {
	if s == unit.Turning {
		return "rotational speed"
	}
	return "frequency"
}
