package num

import (
	"math"

	"shaftbook/kernel/elementary"
)

// An end is one end of a piece, seen from inside: points lie at
// at + side·distance for 0 < distance < length.
type end struct {
	at, side, length float64
}

// point returns the place at a distance; its rounding is what limits the digits
// near an end that is not 0.
func (e end) point(distance float64) float64 { return e.at + float64(e.side*distance) }

// grain is the distance below which places near the end cannot be told apart.
func (e end) grain() float64 {
	if e.at == 0 {
		return 0
	}
	return spacing(e.at)
}

// behaviour is how f behaves close to an end.
type behaviour struct {
	exponent float64 // of |f| as a power of the distance
	change   float64 // of |f − its limit|; 1 for a smooth f with a slope
	known    bool    // enough finite values were found
	diverges bool    // ∫f up to the end has no finite value
	erratic  bool    // the exponent is another one farther out: f oscillates, perhaps
}

// regular reports whether the end is better left to bisection.
func (b behaviour) regular() bool { return !b.known || b.erratic || b.change > 0.9 }

// noIntegral is the exponent from which on a function is said to have no
// integral. It leaves room for the rounding of the values it is measured from;
// with an exponent between it and −1, nine tenths and more of the integral lie
// closer to the end than the smallest number, so no value is lost.
const noIntegral = -0.9999

// behave measures f at triples of distances halved in turn, and trusts the
// triple closest to the end at which places and values are still exact enough.
// A divergent integral must show in all values, not in one pair of them, since
// an oscillating f can look like any power for one pair.
func (q *quadrature) behave(e end) (behaviour, error) {
	const perTriple = 3
	halvings := [...]int{100, 50, 30, 20, 14, 10, 6, 3}
	var x, y [len(halvings) * perTriple]float64
	var ks []int
	for _, k := range halvings {
		nearest := math.Ldexp(e.length, -k)
		if nearest < 0x1p20*e.grain() || nearest < 0x1p-900 {
			continue
		}
		for i := range perTriple {
			x[len(ks)*perTriple+i] = e.point(math.Ldexp(nearest, i))
		}
		ks = append(ks, k)
	}
	n := len(ks) * perTriple
	if err := q.fill(y[:n], x[:n]); err != nil {
		return behaviour{}, err
	}
	var found behaviour
	var nearest float64 // |f| at the closest point
	var nearestK, triples int
	for i, k := range ks {
		y1, y2, y4 := y[i*perTriple], y[i*perTriple+1], y[i*perTriple+2]
		b := behaviourOf(y1, y2, y4)
		if !b.known {
			continue
		}
		triples++
		if triples == 2 {
			found.erratic = math.Abs(b.exponent-found.exponent) > 0.5 || math.Abs(b.change-found.change) > 0.5
			found.diverges = found.diverges && b.exponent < -0.5
		}
		if triples == 1 {
			found, nearest, nearestK = b, math.Abs(y1), k
		} else {
			grown := math.Ldexp(math.Abs(y1), (nearestK-k)/4)
			found.diverges = found.diverges && nearest > grown
		}
	}
	found.diverges = found.diverges && triples > 1
	return found, nil
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
	exponent, next := elementary.Log2(math.Abs(y2/y1)), elementary.Log2(math.Abs(y4/y2))
	return behaviour{
		exponent: exponent,
		change:   elementary.Log2(math.Abs(d2 / d1)),
		known:    true,
		diverges: exponent <= noIntegral && next <= noIntegral+0.01 && (y1 > 0) == (y4 > 0),
	}
}

// settleEnd looks at the end at which bisection of p piled up. It makes p final
// if a rule for singular ends can take it; otherwise p is marked so that
// bisection goes on.
func (q *quadrature) settleEnd(p *piece, tolerance float64) error {
	e := end{at: p.lo, side: 1, length: p.hi - p.lo}
	if p.runHi > p.runLo {
		e.at, e.side = p.hi, -1
	}
	b, err := q.behave(e)
	if err != nil {
		return err
	}
	if b.diverges {
		return &DivergentError{Where: e.at, Exponent: b.exponent}
	}
	p.runLo, p.runHi = 0, 0
	p.endTries++
	if b.regular() {
		return nil
	}
	enough := tolerance / 8
	best, err := q.bestEndRule(e, b, enough)
	if err != nil {
		return err
	}
	// Bisection makes a piece easier, but brings back no digits that places
	// near the end have lost. On a steep singularity the panels' own error
	// estimate is too small to be taken instead.
	hopeless := best.lost > best.err/2 || p.endTries == endTries && (b.exponent < -0.3 || best.err < p.err)
	if best.err > enough && (!hopeless || math.IsInf(best.err, 1)) {
		return nil
	}
	p.estimate = best.estimate
	p.lower, p.upper = math.NaN(), math.NaN()
	p.final, q.usedEnds = true, true
	return nil
}

// An endEstimate is the result of a rule for a singular end. lost is the part
// of its error that comes from the part of the integral beyond the closest
// place, and from the rounding of places.
type endEstimate struct {
	estimate
	lost float64
}

var unusable = endEstimate{estimate: estimate{err: math.Inf(1)}}

// bestEndRule tries the rules for a singular end until one is good enough, and
// returns the one with the smallest error.
func (q *quadrature) bestEndRule(e end, b behaviour, enough float64) (endEstimate, error) {
	best, err := q.doubleExponential(e, b, enough)
	if err != nil || best.err <= enough || b.exponent > -0.05 {
		return best, err
	}
	for power := 2; power <= 4; power++ {
		tried, err := q.powerSubstitution(e, power, enough)
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
// places near an end other than 0 can change (independent from place to place,
// so that the squares add).
//
// Source: Takahasi, Mori: Publ. RIMS Kyoto 9 (1974) 721–741.
func (q *quadrature) doubleExponential(e end, b behaviour, enough float64) (endEstimate, error) {
	first := -math.Asinh(min(42/(1+min(b.exponent, 0)), 650) / math.Pi)
	last := math.Asinh(40 / math.Pi)
	step := 0.5
	var sum, abs, squares, tail, previous float64
	nearest := math.Inf(1)
	nearestValue := 0.0
	var result endEstimate
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
			return endEstimate{}, err
		}
		for i, v := range y {
			if !finite(v) {
				if distance[i] > 1e-12*e.length {
					return unusable, nil
				}
				continue
			}
			part := float64(math.Abs(v) * weight[i])
			sum += float64(v * weight[i])
			abs += part
			moved := part * min(1, e.grain()/distance[i])
			squares += float64(moved * moved)
			if actual := math.Abs(x[i] - e.at); actual < nearest {
				tail = beyond(actual, nearest, math.Abs(v), nearestValue, b.exponent)
				nearest, nearestValue = actual, math.Abs(v)
			}
		}
		value := float64(sum * step)
		difference := math.Abs(value - previous)
		previous = value
		lost := tail + float64(math.Sqrt(squares)*step)
		result.lost = lost
		result.estimate = estimate{value: value, err: max(difference+lost, 50*ulp*abs*step), abs: abs * step}
		if level >= 2 && (result.err <= enough || difference < lost/8) {
			break
		}
		step /= 2
	}
	return result, nil
}

// beyond estimates the part of ∫|f| within a distance of the end from the two
// values closest to it: f·δ/(1+p), where p is the exponent there. Where p is
// not the exponent farther out, as with powers of ln δ, it goes on changing,
// and the estimate is raised.
func beyond(distance, next, value, nextValue, exponent float64) float64 {
	if !math.IsInf(next, 1) && distance < next/2 && value > 0 && nextValue > 0 && distance < 1e-30 {
		local := elementary.Ln(nextValue/value) / elementary.Ln(next/distance)
		if math.Abs(local-exponent) > 1e-3 {
			return 4 * value * distance / max(1+min(local, exponent), 1e-4)
		}
	}
	return value * distance / (1 + exponent)
}

// abscissae returns the places for the parameters us, with their weights and
// distances from the end. Places that fall on an end of the piece are left out.
func (e end) abscissae(us []float64) (x, weight, distance []float64) {
	for _, u := range us {
		s := math.Pi * elementary.Sinh(u)
		near, far := 1/(1+elementary.Exp(-s)), 1/(1+elementary.Exp(s))
		d := e.length * near
		place := e.point(d)
		if place == e.at || place == e.point(e.length) {
			continue
		}
		x = append(x, place)
		weight = append(weight, math.Pi*elementary.Cosh(u)*d*far)
		distance = append(distance, d)
	}
	return x, weight, distance
}

// powerSubstitution integrates over the piece at an end in t, with the distance
// δ = t^power: f(δ)·power·t^(power−1) is smooth if f is a smooth function of
// δ^(1/power), and the points keep away from the end, where places that are
// not near 0 have lost their digits. At most 8 panels are used.
func (q *quadrature) powerSubstitution(e end, power int, enough float64) (endEstimate, error) {
	n := float64(power)
	type panel struct {
		lo, hi float64
		endEstimate
	}
	measure := func(lo, hi float64) (panel, error) {
		var t, x, y [panelPoints]float64
		panelAbscissae(t[:], lo, hi)
		for i := range t {
			x[i] = e.point(elementary.Pow(t[i], n))
		}
		if err := q.fill(y[:], x[:]); err != nil {
			return panel{}, err
		}
		squares := 0.0
		for i := range t {
			distance := elementary.Pow(t[i], n)
			y[i] *= n * distance / t[i]
			if !finite(y[i]) || x[i] == e.at {
				return panel{lo, hi, unusable}, nil
			}
			moved := y[i] * kronrodW[min(i, 14-i)] * min(1, e.grain()/distance)
			squares += float64(moved * moved)
		}
		p := panel{lo, hi, endEstimate{panelEstimate(y[:], (hi-lo)/2), float64(math.Sqrt(squares) * (hi - lo) / 2)}}
		p.err += p.lost
		return p, nil
	}
	whole, err := measure(0, elementary.Pow(e.length, 1/n))
	if err != nil {
		return endEstimate{}, err
	}
	panels := []panel{whole}
	for {
		total, worst := endEstimate{}, 0
		for i, p := range panels {
			total.value += p.value
			total.err += p.err
			total.lost += p.lost
			total.abs += p.abs
			if p.err > panels[worst].err {
				worst = i
			}
		}
		if total.err <= enough || total.lost > total.err/2 || len(panels) == 8 || math.IsInf(total.err, 1) {
			return total, nil
		}
		p := panels[worst]
		middle := float64(p.lo/2) + float64(p.hi/2)
		lower, err := measure(p.lo, middle)
		if err != nil {
			return endEstimate{}, err
		}
		upper, err := measure(middle, p.hi)
		if err != nil {
			return endEstimate{}, err
		}
		panels[worst] = lower
		panels = append(panels, upper)
	}
}

// findPole searches a piece for the place where |f| is largest, down to
// neighbouring numbers, and returns whether f is singular there. A pole over
// which f has no integral is an error.
func (q *quadrature) findPole(p piece) (at float64, isPole bool, err error) {
	lo, hi := p.lo, p.hi
	for hi-lo > 2*max(spacing(lo), spacing(hi)) {
		var x, y [panelPoints]float64
		for i := range x {
			x[i] = lo + float64((hi-lo)*float64(i+1)/(panelPoints+1))
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
	if p.lo < 0 && p.hi > 0 && math.Abs(at) < 1e-100*(p.hi-p.lo) {
		at = 0 // the search stops where values overflow
	}
	if margin := 0x1p-20 * (p.hi - p.lo); at-p.lo < margin || p.hi-at < margin {
		return 0, false, nil // an end of the piece, for the rules for singular ends
	}
	for _, e := range []end{{at, -1, at - p.lo}, {at, 1, p.hi - at}} {
		b, err := q.behave(e)
		if err != nil {
			return 0, false, err
		}
		if b.diverges {
			return 0, false, &DivergentError{Where: at, Exponent: b.exponent}
		}
		isPole = isPole || !b.regular()
	}
	return at, isPole, nil
}
