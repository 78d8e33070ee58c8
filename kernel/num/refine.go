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
	tooNarrow := p.hi-p.lo <= 8*max(spacing(p.lo), spacing(p.hi)) || middle <= p.lo || middle >= p.hi
	if tooNarrow || p.stuck >= 4 || p.depth >= deepest {
		q.done = append(q.done, p)
		return nil, nil
	}
	piled := max(p.runLo, p.runHi) >= pileDepth && p.slow >= pileSlow
	if piled && p.endTries < 3 {
		settled, err := q.settleEnd(&p, tolerance)
		if settled || err != nil {
			return nil, err
		}
	}
	grows := p.abs > 8*average*(p.hi-p.lo)
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

// add evaluates pieces and puts them on the heap. The fields estimate of a
// half still hold what was known of the piece it came from.
func (q *quadrature) add(pieces []piece) error {
	x := make([]float64, MaxBlock)
	y := make([]float64, MaxBlock)
	const together = MaxBlock / panelPoints
	for len(pieces) > 0 {
		n := min(len(pieces), together)
		for i, p := range pieces[:n] {
			panelAbscissae(x[i*panelPoints:], p.lo, p.hi)
		}
		if err := q.fill(y[:n*panelPoints], x[:n*panelPoints]); err != nil {
			q.done = append(q.done, pieces...)
			return err
		}
		for i, p := range pieces[:n] {
			from, to := i*panelPoints, (i+1)*panelPoints
			if err := q.accept(p, x[from:to], y[from:to]); err != nil {
				return err
			}
		}
		pieces = pieces[n:]
	}
	return nil
}

// accept puts one evaluated piece on the heap, or splits it where its one
// missing value lies.
func (q *quadrature) accept(p piece, x, y []float64) error {
	missing := -1
	for i := range y {
		if finite(y[i]) {
			continue
		}
		if missing >= 0 {
			return &UndefinedError{Where: x[missing], Value: y[missing]}
		}
		missing = i
	}
	if missing >= 0 {
		if !(x[missing] > p.lo && x[missing] < p.hi) || p.depth > 200 {
			return &UndefinedError{Where: x[missing], Value: y[missing]}
		}
		p.estimate = estimate{}
		// One bisection short of a pile, so that the far end of the piece that
		// is then looked at is an ordinary point.
		return q.add(split(p, x[missing], pileDepth-1))
	}
	before := p.estimate
	p.estimate = panelEstimate(y, p.hi/2-p.lo/2)
	switch {
	case before.err == 0: // the whole range, or beside a missing value
	case p.err > before.err*smoothRatio:
		p.slow++
	default:
		p.slow = 0
	}
	if before.err > 0 && p.depth > 4 {
		sameError := p.err >= 0.495*before.err
		sameValue := math.Abs(p.value-before.value/2) <= 1e-3*math.Abs(p.value)
		if sameError && sameValue {
			p.stuck++
		} else {
			p.stuck = 0
		}
	}
	heap.Push(&q.open, p)
	return nil
}
