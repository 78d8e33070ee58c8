package num

import (
	"container/heap"
	"math"
)

// refine replaces each piece of the batch by something better: a singular end
// by its own rule, a piece that narrows on a pole by an error or a split
// there, any other by its halves. If that fails the batch stays as it was.
// average is ∫|f| over the whole range divided by its length.
func (q *quadrature) refine(batch []piece, tolerance, average float64) error {
	var halves []piece
	for i, p := range batch {
		parts, err := q.replace(p, tolerance, average)
		if err != nil {
			q.done = append(q.done, batch[i:]...)
			return err
		}
		halves = append(halves, parts...)
	}
	return q.add(halves)
}

// replace returns the pieces that take the place of p and have yet to be
// evaluated; none if p was put among the done pieces.
func (q *quadrature) replace(p piece, tolerance, average float64) ([]piece, error) {
	middle := p.lo/2 + p.hi/2
	grows := p.abs > 8*average*(p.hi-p.lo)
	grain := 8 * max(spacing(p.lo), spacing(p.hi))
	if grows { // the outermost points of a panel must not fall on its ends
		grain = max(256*grain, 0x1p-1000)
	}
	tooNarrow := p.hi-p.lo <= grain || middle <= p.lo || middle >= p.hi
	if tooNarrow || p.stuck >= 3 || p.depth >= deepest {
		q.done = append(q.done, p)
		return nil, nil
	}
	piled := max(p.runLo, p.runHi) >= pileDepth && p.slow >= pileSlow
	if piled && p.endTries < endTries {
		settled, err := q.settleEnd(&p, tolerance)
		if settled || err != nil {
			return nil, err
		}
	}
	if p.depth >= poleDepth && p.slow >= poleDepth/2 && grows && !p.poleSought {
		p.poleSought = true
		at, isPole, err := q.findPole(p)
		if err != nil {
			return nil, err
		}
		if isPole && at > p.lo && at < p.hi {
			return split(p, at, pileDepth), nil
		}
	}
	return split(p, middle, 0), nil
}

// split cuts p in two. A run above 0 says that the cut is singular and that so
// many bisections towards it count as done.
func split(p piece, at float64, run int) []piece {
	lower, upper := p, p
	lower.hi, upper.lo = at, at
	lower.depth, upper.depth = p.depth+1, p.depth+1
	lower.runLo, lower.runHi = p.runLo+1, run
	upper.runLo, upper.runHi = run, p.runHi+1
	if run > 0 {
		lower.slow, upper.slow = pileSlow, pileSlow
		lower.endTries, upper.endTries = 0, 0
	}
	return []piece{lower, upper}
}

// quarter replaces the whole range by its quarters: 15 equal values may be the
// background of something narrow.
func (q *quadrature) quarter(a, b float64) error {
	q.open = q.open[:0]
	var quarters []piece
	for i := range 4 {
		lo, hi := a+(b-a)*float64(i)/4, a+(b-a)*float64(i+1)/4
		if i == 3 {
			hi = b
		}
		quarters = append(quarters, piece{lo: lo, hi: hi, depth: 2})
	}
	return q.add(quarters)
}

// add evaluates pieces, halves of one piece side by side, and puts them on the
// heap. Their estimate still holds what was known of the piece they came from.
func (q *quadrature) add(pieces []piece) error {
	const together = MaxBlock / panelPoints / 2 * 2 // even, to keep halves together
	var x, y [together * panelPoints]float64
	for len(pieces) > 0 {
		n := min(len(pieces), together)
		for i, p := range pieces[:n] {
			panelAbscissae(x[i*panelPoints:], p.lo, p.hi)
		}
		if err := q.fill(y[:n*panelPoints], x[:n*panelPoints]); err != nil {
			q.done = append(q.done, pieces...)
			return err
		}
		var accepted []piece
		for i, p := range pieces[:n] {
			from, to := i*panelPoints, (i+1)*panelPoints
			missing, err := missingValue(p, x[from:to], y[from:to])
			switch {
			case err != nil:
				return err
			case missing >= 0:
				p.estimate = estimate{}
				// One bisection short of a pile, so that the far end of the piece
				// that is then looked at is an ordinary point.
				if err := q.add(split(p, x[from+missing], pileDepth-1)); err != nil {
					return err
				}
				continue
			}
			before := p.err
			p.before, p.estimate = p.estimate, panelEstimate(y[from:to], p.hi/2-p.lo/2)
			p.slow++
			if before == 0 || p.err <= before*smoothRatio {
				p.slow = 0
			}
			accepted = append(accepted, p)
		}
		for i := range accepted {
			if i > 0 {
				compareHalves(&accepted[i-1], &accepted[i])
			}
		}
		for _, p := range accepted {
			heap.Push(&q.open, p)
		}
		pieces = pieces[n:]
	}
	return nil
}

// missingValue returns the index of the one value of a panel that does not
// exist, or −1. More than one is an error.
func missingValue(p piece, x, y []float64) (int, error) {
	missing := -1
	for i := range y {
		if finite(y[i]) {
			continue
		}
		atEnd := x[i] <= p.lo || x[i] >= p.hi
		if missing >= 0 || atEnd || p.depth > deepest {
			return 0, &UndefinedError{Where: x[i], Value: y[i]}
		}
		missing = i
	}
	return missing, nil
}

// compareHalves counts a bisection that gained nothing: the two halves add up
// to the value of the whole, yet their errors add up to its error and both
// have a part in it. That is the mark of rounding or noise; a jump leaves one
// half without error, an unresolved wave changes the value.
//
// Source: QUADPACK, routine QAGE, counter iroff1; the condition on both halves
// is ours.
func compareHalves(p, r *piece) {
	if p.hi != r.lo || p.depth != r.depth || p.before != r.before || p.depth <= 4 {
		return
	}
	whole := p.before
	same := math.Abs(p.value+r.value-whole.value) <= 1e-5*(p.abs+r.abs)
	if same && p.err+r.err >= 0.7*whole.err && min(p.err, r.err) >= 0.1*whole.err {
		p.stuck, r.stuck = p.stuck+1, r.stuck+1
	}
}
