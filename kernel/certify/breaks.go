package certify

import (
	"math"

	"shaftbook/kernel/interval"
)

// breakIn looks for a place in a panel where a branch that matters changes, and
// returns neighbours on either side of it between which it certainly changes.
// Without one it returns false: the branch is then only in doubt because the
// panel is wide.
func (q *quadrature) breakIn(p panel) (lo, hi float64, ok bool) {
	s := &q.sheets[p.sheet]
	fr := s.frame
	s.args[len(s.args)-1] = interval.Interval{Lo: p.lo, Hi: p.hi}
	fr.over(s.args)
	id := fr.undecided()
	if id < 0 {
		return 0, 0, false
	}
	level := fr.level(id)
	sign := func(x float64) int {
		s.args[len(s.args)-1] = point(x)
		fr.over(s.args)
		return fr.signOf(id, level)
	}
	at := func(x float64) float64 {
		sign(x)
		return fr.decider(id, level)
	}
	from, to := sign(p.lo), sign(p.hi)
	if from == 0 && to == 0 || from == to && from != 0 {
		return 0, 0, false
	}
	lo, hi = p.lo, p.hi
	// An end at which the sign is not known lies at the break itself.
	if from == 0 || to == 0 {
		return q.breakAtEnd(p, sign, from == 0)
	}
	// The difference that decides is close to a straight line near its zero, as a
	// rule: regula falsi (Illinois) finds it in a few steps.
	gLo, gHi := at(p.lo), at(p.hi)
	side := 0
	for range 80 {
		grain := 2 * max(spacing(lo), spacing(hi))
		if hi-lo <= grain {
			return lo, hi, true
		}
		m := lo - float64(gLo*((hi-lo)/(gHi-gLo)))
		if !(m > lo && m < hi) || side > 3 || side < -3 {
			m = float64(lo/2) + float64(hi/2)
			side = 0
		}
		m = min(max(m, lo+float64(grain/2)), hi-float64(grain/2))
		sg := sign(m)
		g := fr.decider(id, level)
		switch sg {
		case from:
			lo, gLo = m, g
			if side > 0 {
				gHi /= 2
			}
			side = max(side, 0) + 1
		case to:
			hi, gHi = m, g
			if side < 0 {
				gLo /= 2
			}
			side = min(side, 0) - 1
		default:
			// m is within rounding of the break: step away on both sides
			return away(m, lo, from, sign), away(m, hi, to, sign), true
		}
		// one step across: the break is next to m, as a rule
		if near := m + math.Copysign(grain, float64(side)); near > lo && near < hi {
			switch s := sign(near); {
			case s == to && side > 0:
				hi, gHi = near, fr.decider(id, level)
			case s == from && side < 0:
				lo, gLo = near, fr.decider(id, level)
			case s == 0:
				return away(near, lo, from, sign), away(near, hi, to, sign), true
			}
		}
	}
	return lo, hi, true
}

// away returns the place nearest to m in the direction of known, in steps that
// double, that has the sign wanted.
func away(m, known float64, want int, sign func(float64) int) float64 {
	step := math.Copysign(spacing(m), known-m)
	for range 60 {
		x := m + step
		if step > 0 && x >= known || step < 0 && x <= known {
			return known
		}
		if sign(x) == want {
			return x
		}
		step *= 2
	}
	return known
}

// breakAtEnd cuts off the part next to an end where the sign is in doubt.
func (q *quadrature) breakAtEnd(p panel, sign func(float64) int, atLower bool) (lo, hi float64, ok bool) {
	if atLower {
		x := closeIn(p.hi, p.lo, sign(p.hi), sign)
		if x >= p.hi {
			return 0, 0, false
		}
		return x, x, x > p.lo
	}
	x := closeIn(p.lo, p.hi, sign(p.lo), sign)
	if x <= p.lo {
		return 0, 0, false
	}
	return x, x, x < p.hi
}

// closeIn returns the place between known and doubtful, nearest to doubtful but
// for a factor of 2, that has the sign of known.
func closeIn(known, doubtful float64, want int, sign func(float64) int) float64 {
	for range 60 {
		m := float64(known/2) + float64(doubtful/2)
		if m == known || m == doubtful || sign(m) != want {
			break
		}
		known = m
	}
	return known
}

// undecided returns an operation whose side is in doubt over the panel and on
// which the result depends, or −1.
func (fr *frame) undecided() int32 {
	seen := make([]bool, len(fr.f.code))
	return fr.search(fr.f.result, seen)
}

func (fr *frame) search(id int32, seen []bool) int32 {
	if id < 0 || seen[id] {
		return -1
	}
	seen[id] = true
	in := &fr.f.code[id]
	children := [3]int32{in.a, in.b, in.c}
	switch in.op {
	case opConst, opInput:
		return -1
	case opSelect:
		switch fr.iv[in.a] {
		case yes:
			children = [3]int32{in.b, -1, -1}
		case no:
			children = [3]int32{in.c, -1, -1}
		}
	case opMin, opMax:
		switch sign := fr.side(id); {
		case sign == 0:
		case (in.op == opMax) == (sign > 0):
			children = [3]int32{in.a, -1, -1}
		default:
			children = [3]int32{in.b, -1, -1}
		}
	}
	for _, c := range children {
		if found := fr.search(c, seen); found >= 0 {
			return found
		}
	}
	if in.op >= opSum && in.op <= opIntegral {
		for _, c := range fr.f.loops[in.n].captures {
			if found := fr.search(c, seen); found >= 0 {
				return found
			}
		}
	}
	switch in.op {
	case opAbs, opMin, opMax:
		if fr.side(id) == 0 && isSound(fr.iv[in.a]) {
			return id
		}
	case opFloor, opCeil, opRound:
		if isSound(fr.iv[id]) && !fr.iv[id].IsPoint() {
			return id
		}
	case opLess, opLessEq, opEqual, opNotEqual:
		if fr.iv[id] == maybe {
			return id
		}
	}
	return -1
}

// level returns the value of the operand at which an operation changes: for
// floor and its like, which take several values over the panel, the jump nearest
// to the middle of the operand.
func (fr *frame) level(id int32) float64 {
	in := &fr.f.code[id]
	v, r := fr.iv[in.a], fr.iv[id]
	switch in.op {
	case opFloor:
		return min(max(math.Round(v.Mid()), r.Lo+1), r.Hi)
	case opCeil:
		return min(max(math.Round(v.Mid()), r.Lo), r.Hi-1)
	case opRound:
		return min(max(math.Floor(v.Mid())+0.5, r.Lo+0.5), r.Hi-0.5)
	}
	return 0
}

// signOf returns the sign of what decides an operation, 0 if it is in doubt.
func (fr *frame) signOf(id int32, level float64) int {
	x, y := fr.compared(id, level)
	switch {
	case x.Lo > y.Hi:
		return 1
	case x.Hi < y.Lo:
		return -1
	}
	return 0
}

// compared returns the two values whose difference decides an operation.
func (fr *frame) compared(id int32, level float64) (x, y interval.Interval) {
	in := &fr.f.code[id]
	x, y = fr.iv[in.a], point(level)
	switch in.op {
	case opMin, opMax, opLess, opLessEq, opEqual, opNotEqual:
		y = fr.iv[in.b]
	}
	return x, y
}

// decider returns about the difference that decides an operation.
func (fr *frame) decider(id int32, level float64) float64 {
	x, y := fr.compared(id, level)
	return x.Mid() - y.Mid()
}
