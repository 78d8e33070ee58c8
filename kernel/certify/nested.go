package certify

import (
	"shaftbook/kernel/interval"
)

// innerPieces is how many pieces an inner integral is cut into where only its size
// matters.
const innerPieces = 16

// thin is the relative width up to which a captured value counts as a number
// that is meant to be one, so that an inner integral is worth its digits.
const thin = 1e-11

// nested encloses an inner integral for the captured values that over was asked
// for: with all its digits if they are known closely, else roughly.
func (fr *frame) nested(in *instr) interval.Interval {
	l := fr.f.loops[in.n]
	from, to := fr.iv[in.a], fr.iv[in.b]
	args := make([]interval.Interval, len(l.captures)+1)
	close := isThin(from) && isThin(to)
	for i, c := range l.captures {
		args[i] = fr.iv[c]
		if !isSound(args[i]) {
			return unsound
		}
		close = close && isThin(args[i])
	}
	if !isSound(from) || !isSound(to) {
		return unsound
	}
	if close {
		work := 0
		e, err := integrate(l.body, args[:len(l.captures)], from, to, Options{Work: nestedWork, Stop: fr.stop}, &work)
		fr.spend(work)
		if err != nil || !e.Certain {
			return unsound
		}
		return e.Interval()
	}
	return fr.sliced(l, args, from, to)
}

// nestedWork bounds the work for one value of an inner integral.
const nestedWork = 4000

func isThin(v interval.Interval) bool {
	return isSound(v) && v.Hi-v.Lo <= thin*max(-v.Lo, v.Hi)
}

// sliced encloses (to − from)·∫ f(from + (to − from)·t) dt for t from 0 to 1 by
// the range of f over innerPieces.
func (fr *frame) sliced(l *loop, args []interval.Interval, from, to interval.Interval) interval.Interval {
	body := l.body.take()
	defer body.give()
	body.work, body.stop = fr.work, fr.stop
	length := minus(to, from)
	var sum interval.Sum
	for k := range innerPieces {
		t := interval.Interval{Lo: float64(k) / innerPieces, Hi: float64(k+1) / innerPieces}
		args[len(args)-1] = plus(from, times(length, t))
		v := body.over(args)
		if !isSound(v) {
			return unsound
		}
		sum.Add(v)
	}
	return times(over(sound(sum.Value()), point(innerPieces)), length)
}

// nestedDisc bounds the continuation of an inner integral over discs of the
// captured values, in the same way.
func (fr *frame) nestedDisc(in *instr) disc {
	l := fr.f.loops[in.n]
	a, b := fr.disc[in.a], fr.disc[in.b]
	from, to := fr.iv[in.a], fr.iv[in.b]
	args := make([]interval.Interval, len(l.captures)+1)
	for i, c := range l.captures {
		args[i] = fr.iv[c]
		if !isSound(args[i]) || !fr.disc[c].ok() {
			return badDisc
		}
	}
	if !isSound(from) || !isSound(to) || !a.ok() || !b.ok() {
		return badDisc
	}
	body := l.body.take()
	defer body.give()
	body.work, body.stop = fr.work, fr.stop
	length := b.sub(a)
	realLength := minus(to, from)
	total := disc{}
	for k := range innerPieces {
		t := interval.Interval{Lo: float64(k) / innerPieces, Hi: float64(k+1) / innerPieces}
		args[len(args)-1] = plus(from, times(realLength, t))
		body.over(args)
		for i, c := range l.captures {
			if id := body.f.inputs[i]; id >= 0 {
				body.disc[id] = fr.disc[c]
			}
		}
		v := body.continued(a.add(length.mul(discOf(t))))
		if !v.ok() {
			return badDisc
		}
		total = total.add(v)
	}
	return total.mul(length).scale(1.0 / innerPieces)
}
