package num

import "math"

// An end is one end of a piece, seen from inside: points lie at
// at + side·distance for 0 < distance < length.
type end struct {
	at, side, length float64
}

// point returns the place at a distance; its rounding is what limits the digits
// near an end that is not 0.
func (e end) point(distance float64) float64 { return e.at + e.side*distance }

// grain is the distance below which places near the end cannot be told apart.
func (e end) grain() float64 {
	if e.at == 0 {
		return 0
	}
	return spacing(e.at)
}

// behaviour tells how f behaves close to an end.
type behaviour struct {
	exponent float64 // of |f| as a power of the distance
	change   float64 // of |f − its limit|; 1 for a smooth f with a slope
	known    bool    // enough finite values were found
}

// regular reports whether bisection alone converges quickly at the end.
func (b behaviour) regular() bool { return !b.known || b.change > 0.9 }

// diverges reports whether ∫f up to the end has no finite value.
func (b behaviour) diverges() bool { return b.known && b.exponent <= -0.9999 }

// behave measures f at triples of distances halved in turn, and trusts the
// triple closest to the end at which places and values are still exact enough.
func (q *quadrature) behave(e end) (behaviour, error) {
	const perTriple = 3
	halvings := [...]int{100, 30, 14, 6}
	var x, y [len(halvings) * perTriple]float64
	n := 0
	for _, k := range halvings {
		nearest := math.Ldexp(e.length, -k)
		if nearest < 0x1p20*e.grain() || nearest == 0 {
			continue
		}
		for i := range perTriple {
			x[n+i] = e.point(math.Ldexp(nearest, i))
		}
		n += perTriple
	}
	if err := q.fill(y[:n], x[:n]); err != nil {
		return behaviour{}, err
	}
	for i := 0; i < n; i += perTriple {
		if b := behaviourOf(y[i], y[i+1], y[i+2]); b.known {
			return b, nil
		}
	}
	return behaviour{}, nil
}

// behaviourOf takes the values at distances δ, 2δ and 4δ.
func behaviourOf(y1, y2, y4 float64) behaviour {
	if !finite(y1) || !finite(y2) || !finite(y4) {
		return behaviour{}
	}
	d1, d2 := y2-y1, y4-y2
	if y1 == 0 || y2 == 0 || d1 == 0 || d2 == 0 {
		return behaviour{}
	}
	return behaviour{
		exponent: math.Log2(math.Abs(y2 / y1)),
		change:   math.Log2(math.Abs(d2 / d1)),
		known:    true,
	}
}

// settleEnd looks at the end at which bisection of p piled up. It reports
// whether p was settled, that is, put among the done pieces; otherwise p is
// marked so that bisection goes on.
func (q *quadrature) settleEnd(p *piece, tolerance float64) (bool, error) {
	e := end{at: p.lo, side: 1, length: p.hi - p.lo}
	if p.runHi > p.runLo {
		e.at, e.side = p.hi, -1
	}
	b, err := q.behave(e)
	if err != nil {
		return false, err
	}
	if b.diverges() {
		return false, &DivergentError{Where: e.at, Exponent: b.exponent}
	}
	p.runLo, p.runHi = 0, 0
	p.endTries++
	if b.regular() {
		return false, nil
	}
	best, err := q.bestEndRule(e, b, tolerance/10)
	if err != nil {
		return false, err
	}
	if best.err > tolerance/10 && p.endTries < 3 || best.err >= p.err {
		return false, nil
	}
	p.estimate = best
	q.done = append(q.done, *p)
	q.usedEnds = true
	return true, nil
}

// bestEndRule tries the rules for a singular end until one is good enough, and
// returns the one with the smallest error.
func (q *quadrature) bestEndRule(e end, b behaviour, enough float64) (estimate, error) {
	best, err := q.doubleExponential(e, b, enough)
	if err != nil || best.err <= enough || b.exponent > -0.05 {
		return best, err
	}
	for power := 2; power <= 4; power++ {
		tried, err := q.powerSubstitution(e, b, power, enough)
		if err != nil {
			return best, err
		}
		if tried.err < best.err {
			best = tried
		}
		if best.err <= enough {
			break
		}
	}
	return best, nil
}

// doubleExponential integrates over the piece at an end by the trapezoidal rule
// in u, with the distance from the end
//
//	δ = h/(1 + exp(−π sinh u)),   dδ/du = π cosh(u)·δ·(1 − δ/h)
//
// so that δ keeps all its digits down to the smallest numbers. The step is
// halved until two results agree; their difference, which is far above the
// error of the better one, is the estimate. Added to it are the part of the
// integral closer to the end than any point used, and what the rounding of
// places near an end other than 0 can change.
//
// Source: Takahasi, Mori: Publ. RIMS Kyoto 9 (1974) 721–741.
func (q *quadrature) doubleExponential(e end, b behaviour, enough float64) (estimate, error) {
	first := -math.Asinh(min(42/(1+b.exponent), 650) / math.Pi)
	last := math.Asinh(40 / math.Pi)
	step := 0.5
	var sum, abs, noise, tail, previous float64
	nearest := math.Inf(1)
	for level := range 6 {
		var us []float64
		for i := math.Ceil(first / step); i*step <= last; i++ {
			if level == 0 || math.Mod(i, 2) != 0 {
				us = append(us, i*step)
			}
		}
		x, weight, distance := e.abscissae(us)
		y := make([]float64, len(x))
		if err := q.fill(y, x); err != nil {
			return estimate{}, err
		}
		for i, v := range y {
			if !finite(v) {
				if distance[i] > 1e-12*e.length {
					return estimate{err: math.Inf(1)}, nil
				}
				continue
			}
			part := math.Abs(v) * weight[i]
			sum += v * weight[i]
			abs += part
			noise += part * min(1, max(1, math.Abs(b.exponent))*e.grain()/distance[i])
			if distance[i] < nearest {
				nearest = distance[i]
				tail = math.Abs(v) * nearest / (1 + b.exponent)
			}
		}
		value := sum * step
		difference := math.Abs(value - previous)
		previous = value
		doubt := max(difference+tail+noise*step, 50*ulp*abs*step)
		if level >= 2 && (doubt <= enough || level == 5) {
			return estimate{value: value, err: doubt, abs: abs * step}, nil
		}
		step /= 2
	}
	panic("unreachable")
}

// abscissae returns the places for the parameters us, with their weights and
// distances from the end. Places that fall on an end of the piece are left out.
func (e end) abscissae(us []float64) (x, weight, distance []float64) {
	for _, u := range us {
		s := math.Pi * math.Sinh(u)
		near, far := 1/(1+math.Exp(-s)), 1/(1+math.Exp(s))
		d := e.length * near
		place := e.point(d)
		if place == e.at || place == e.point(e.length) {
			continue
		}
		x = append(x, place)
		weight = append(weight, math.Pi*math.Cosh(u)*d*far)
		distance = append(distance, d)
	}
	return x, weight, distance
}

// powerSubstitution integrates over the piece at an end in t, with the distance
// δ = t^power: f(δ)·power·t^(power−1) is smooth if f is a smooth function of
// δ^(1/power), and the points keep away from the end, where places that are
// not near 0 have lost their digits. At most 8 panels are used.
func (q *quadrature) powerSubstitution(e end, b behaviour, power int, enough float64) (estimate, error) {
	n := float64(power)
	type panel struct {
		lo, hi float64
		estimate
	}
	measure := func(lo, hi float64) (panel, error) {
		var t, x, y [panelPoints]float64
		panelAbscissae(t[:], lo, hi)
		for i := range t {
			x[i] = e.point(math.Pow(t[i], n))
		}
		if err := q.fill(y[:], x[:]); err != nil {
			return panel{}, err
		}
		noise := 0.0
		for i := range t {
			distance := math.Pow(t[i], n)
			y[i] *= n * distance / t[i]
			if !finite(y[i]) || x[i] == e.at {
				return panel{lo, hi, estimate{err: math.Inf(1)}}, nil
			}
			noise += math.Abs(y[i]) * kronrodW[min(i, 14-i)] * min(1, e.grain()/distance)
		}
		p := panel{lo, hi, panelEstimate(y[:], (hi-lo)/2)}
		p.err += noise * (hi - lo) / 2
		return p, nil
	}
	whole, err := measure(0, math.Pow(e.length, 1/n))
	if err != nil {
		return estimate{}, err
	}
	panels := []panel{whole}
	for {
		total, worst := estimate{}, 0
		for i, p := range panels {
			total.value += p.value
			total.err += p.err
			total.abs += p.abs
			if p.err > panels[worst].err {
				worst = i
			}
		}
		if total.err <= enough || len(panels) == 8 || math.IsInf(total.err, 1) {
			return total, nil
		}
		p := panels[worst]
		middle := p.lo/2 + p.hi/2
		lower, err := measure(p.lo, middle)
		if err != nil {
			return estimate{}, err
		}
		upper, err := measure(middle, p.hi)
		if err != nil {
			return estimate{}, err
		}
		panels[worst] = lower
		panels = append(panels, upper)
	}
}

// findPole searches a piece for the place where |f| is largest, down to
// neighbouring numbers, and tells whether f is singular there. A pole over
// which f has no integral is an error.
func (q *quadrature) findPole(p piece) (at float64, isPole bool, err error) {
	lo, hi := p.lo, p.hi
	for hi-lo > 2*max(spacing(lo), spacing(hi)) {
		var x, y [panelPoints]float64
		for i := range x {
			x[i] = lo + (hi-lo)*float64(i+1)/(panelPoints+1)
		}
		if err := q.fill(y[:], x[:]); err != nil {
			return 0, false, err
		}
		largest := 0
		for i := range y {
			if !finite(y[i]) {
				largest = i
				break
			}
			if math.Abs(y[i]) > math.Abs(y[largest]) {
				largest = i
			}
		}
		at = x[largest]
		if !finite(y[largest]) {
			break
		}
		if largest > 0 {
			lo = x[largest-1]
		}
		if largest < panelPoints-1 {
			hi = x[largest+1]
		}
	}
	for _, e := range []end{{at, -1, at - p.lo}, {at, 1, p.hi - at}} {
		b, err := q.behave(e)
		if err != nil {
			return 0, false, err
		}
		if b.diverges() {
			return 0, false, &DivergentError{Where: at, Exponent: b.exponent}
		}
		isPole = isPole || !b.regular()
	}
	return at, isPole, nil
}
