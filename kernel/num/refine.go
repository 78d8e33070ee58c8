package num

import "math"

// refine replaces each piece of the batch by something better: a singular end
// by its own rule, a piece that narrows on a pole by an error or a split
// there, any other by its halves.
func (q *quadrature) refine(batch []int, tolerance, abs float64) error {
	average := abs / (q.pieces[len(q.pieces)-1].hi - q.pieces[0].lo)
	pieces := make([]piece, 0, len(q.pieces)+len(batch))
	for i := range q.pieces {
		p := q.pieces[i]
		if len(batch) == 0 || batch[0] != i {
			pieces = append(pieces, p)
			continue
		}
		batch = batch[1:]
		parts, err := q.replace(p, tolerance, average)
		if err != nil {
			return err
		}
		pieces = append(pieces, parts...)
	}
	q.pieces = pieces
	return q.evaluate()
}

// replace returns what takes the place of p: its halves, or p made final.
func (q *quadrature) replace(p piece, tolerance, average float64) ([]piece, error) {
	middle := float64(p.lo/2) + float64(p.hi/2)
	grows := p.abs > 4*average*(p.hi-p.lo)
	grain := 8 * max(spacing(p.lo), spacing(p.hi))
	if grows { // the outermost points of a panel must not fall on its ends
		grain = max(256*grain, 0x1p-1000)
	}
	tooNarrow := p.hi-p.lo <= grain || middle <= p.lo || middle >= p.hi
	if tooNarrow || p.stuck >= 3 || p.depth >= deepest {
		p.final = true
		return []piece{p}, nil
	}
	piled := max(p.runLo, p.runHi) >= pileDepth && p.slow >= pileSlow
	if piled && p.endTries < endTries {
		err := q.settleEnd(&p, tolerance)
		if p.final || err != nil {
			return []piece{p}, err
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

// split cuts p in two. A run above 0 means that the cut is singular and that so
// many bisections towards it count as done.
func split(p piece, at float64, run int) []piece {
	lower, upper := p, p
	lower.hi, upper.lo = at, at
	for _, half := range []*piece{&lower, &upper} {
		half.before = p.estimate
		half.value, half.abs, half.err = p.value/2, p.abs/2, p.err/2
		half.depth++
		half.fresh, half.compared = true, false
		if run > 0 {
			half.slow, half.endTries = pileSlow, 0
		}
	}
	lower.runLo, lower.runHi = p.runLo+1, run
	upper.runLo, upper.runHi = run, p.runHi+1
	return []piece{lower, upper}
}

// quarter replaces the whole range by its quarters: 15 equal values may be the
// background of something narrow.
func (q *quadrature) quarter() error {
	p := q.pieces[0]
	halves := split(p, float64(p.lo/2)+float64(p.hi/2), 0)
	q.pieces = append(split(halves[0], float64(halves[0].lo/2)+float64(halves[0].hi/2), 0), split(halves[1], float64(halves[1].lo/2)+float64(halves[1].hi/2), 0)...)
	return q.evaluate()
}

// evaluate fills the estimates of the fresh pieces, a block at a time. A piece
// with one missing value is split there and its halves are evaluated in turn.
func (q *quadrature) evaluate() error {
	const most = MaxBlock / panelPoints
	fresh := 0
	for i := range q.pieces {
		if q.pieces[i].fresh {
			fresh++
		}
	}
	together := min(max(fresh, 1), most)
	if need := together * panelPoints; len(q.x) < need {
		q.x, q.y = make([]float64, need), make([]float64, need)
	}
	x, y := q.x, q.y
	for i := 0; i < len(q.pieces); {
		first, n := i, 0
		for ; i < len(q.pieces) && n < together; i++ {
			if q.pieces[i].fresh {
				panelAbscissae(x[n*panelPoints:], q.pieces[i].lo, q.pieces[i].hi)
				n++
			}
		}
		if err := q.fill(y[:n*panelPoints], x[:n*panelPoints]); err != nil {
			return err
		}
		from := 0
		for j := first; j < i; j++ {
			p := &q.pieces[j]
			if !p.fresh {
				continue
			}
			to := from + panelPoints
			missing, err := missingValue(*p, x[from:to], y[from:to])
			if err != nil {
				return err
			}
			if missing >= 0 {
				p.value, p.abs, p.err = 0, 0, 0
				// One bisection short of a pile, so that the far end of the piece
				// that is then looked at is an ordinary point.
				halves := split(*p, x[from+missing], pileDepth-1)
				q.pieces = append(q.pieces[:j], append(halves, q.pieces[j+1:]...)...)
				i = j // evaluate again from here
				break
			}
			p.accept(y[from:to])
			from = to
		}
	}
	for j := 1; j < len(q.pieces); j++ {
		compareHalves(&q.pieces[j-1], &q.pieces[j])
	}
	return nil
}

// accept sets the estimate of a piece from its 15 values.
func (p *piece) accept(y []float64) {
	p.estimate = panelEstimate(y, float64(p.hi/2)-float64(p.lo/2))
	p.fresh = false
	p.slow++
	if p.before.err == 0 || p.err <= p.before.err*smoothRatio {
		p.slow = 0
	}
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
	if p.compared || r.compared || p.depth != r.depth || p.before != r.before || p.depth <= 4 {
		return
	}
	p.compared, r.compared = true, true
	whole := p.before
	same := math.Abs(p.value+r.value-whole.value) <= 1e-5*(p.abs+r.abs)
	if same && p.err+r.err >= 0.7*whole.err && min(p.err, r.err) >= 0.1*whole.err {
		p.stuck, r.stuck = p.stuck+1, r.stuck+1
	}
}
