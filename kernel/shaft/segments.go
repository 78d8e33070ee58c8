package shaft

import "fmt"

// MaxSegments is the greatest number of segments that one shaft is cut into.
const MaxSegments = 1_000_000

// A SegmentsError reports that a shaft cannot be cut into so many segments.
type SegmentsError struct {
	N, Most int // segments a piece: asked for, and the most for this shaft
}

func (e *SegmentsError) Error() string {
	return fmt.Sprintf("%d segments a piece cannot be drawn or added up here: use 1 to %d", e.N, e.Most)
}

func (s *Shaft) segmentCount(n int) error {
	most := MaxSegments / len(s.pieces)
	if n < 1 || n > most {
		return &SegmentsError{N: n, Most: most}
	}
	return nil
}

// A Segment is a stretch of a piece taken as uniform.
type Segment struct {
	From, To float64 // m, along the shaft
	Outer    float64 // diameters at mid-length, m; 0 if not round
	Bore     float64
	Depth    float64 // height to be drawn, m
	gj       float64
}

// Steps returns the shaft of n uniform segments a piece, each with the section
// that the shaft has at the segment's mid-length.
//
// Failure: *SegmentsError if n is below 1 or too large, or the error of a
// profile.
func (s *Shaft) Steps(n int) ([]Segment, error) {
	if err := s.segmentCount(n); err != nil {
		return nil, err
	}
	steps := make([]Segment, 0, n*len(s.pieces))
	for i := range s.pieces {
		if err := s.pieces[i].segments(n, func(seg Segment) { steps = append(steps, seg) }); err != nil {
			return nil, err
		}
	}
	return steps, nil
}

// segmentBlock is how many segments are asked of a profile at once.
const segmentBlock = 256

// segments calls visit with each of n segments of the piece, in order.
func (p *piece) segments(n int, visit func(Segment)) error {
	edge := func(k int) float64 { return lerp(p.start, p.end, float64(k), float64(n)) }
	if p.Section != nil {
		sl, err := p.slice(0)
		for k := 0; k < n && err == nil; k++ {
			visit(Segment{From: edge(k), To: edge(k + 1), Depth: sl.depth, gj: sl.gj})
		}
		return err
	}
	var x, outer, bore [segmentBlock]float64
	for begin := 0; begin < n; begin += segmentBlock {
		m := min(segmentBlock, n-begin)
		for i := range m {
			x[i] = lerp(0, p.end-p.start, float64(begin+i)+0.5, float64(n))
		}
		if err := p.diametersTo(outer[:m], bore[:m], x[:m]); err != nil {
			return err
		}
		for i := range m {
			k := begin + i
			sl := p.round(outer[i], bore[i])
			visit(Segment{From: edge(k), To: edge(k + 1), Outer: sl.outer, Bore: sl.bore, Depth: sl.depth, gj: sl.gj})
		}
	}
	return nil
}

// Segments returns the twist of the far end relative to x = 0, rad, of the
// shaft of Steps(n) under the same loads and holds:
//
//	θ ≈ Σ ∫T dx/(G·J at mid-length of the segment)
//
// The internal torque is not stepped; where more than one hold shares the load
// it is that of the stepped shaft. The error falls like 1/n².
//
// Failure: as Steps.
func (s *Shaft) Segments(n int) (float64, error) {
	st, err := s.stepped(n)
	if err != nil {
		return 0, err
	}
	return st.twist(st.s), nil
}

// stepped returns the statics of the shaft of Steps(n), solved. A piece that is uniform
// is one segment.
func (s *Shaft) stepped(n int) (*statics, error) {
	if s.Yields() {
		return nil, ErrYielded
	}
	if err := s.segmentCount(n); err != nil {
		return nil, err
	}
	st := s.statics.again()
	k := 0
	for i := range s.pieces {
		p := &s.pieces[i]
		count := n
		if p.uniform() {
			count = 1
		}
		err := p.segments(count, func(seg Segment) {
			k = s.addSegment(st, k, seg)
		})
		if err != nil {
			return nil, err
		}
	}
	st.solve()
	return st, nil
}

// twist returns the twist over all that was added to the spans, rad, where the holds add
// the torques of.
func (st *statics) twist(of []float64) float64 {
	theta := 0.0
	for j := range st.f {
		theta += st.a[j] + float64(st.f[j]*of[j])
	}
	return theta
}

// again returns the same loads and holds for other compliances.
func (st *statics) again() *statics {
	n := len(st.f)
	next := *st
	next.f, next.a, next.s = make([]float64, n), make([]float64, n), make([]float64, n)
	next.react = make([]float64, len(st.react))
	return &next
}

// addSegment adds the compliance of a segment to the spans it lies in. k is the
// first cell that may overlap it; the first for the next segment is returned.
func (s *Shaft) addSegment(st *statics, k int, seg Segment) int {
	for ; k < len(s.cells); k++ {
		c := &s.cells[k]
		if c.a >= seg.To {
			return k
		}
		from, to := max(c.a, seg.From), min(c.b, seg.To)
		if to > from {
			base := c.t
			base[0] -= s.statics.s[c.span]
			st.f[c.span] += (to - from) / seg.gj
			st.a[c.span] += integral(base, (from-c.a)/c.length(), (to-c.a)/c.length()) * c.length() / seg.gj
		}
		if c.b > seg.To {
			return k
		}
	}
	return k
}

// integral returns ∫ t₀ + t₁s + t₂s² ds from a to b.
func integral(t [3]float64, a, b float64) float64 {
	mid, half := float64((a+b)/2), float64((b-a)/2)
	return 2 * half * (t[0] + float64(mid*(t[1]+float64(mid*t[2]))) + float64(t[2]*half*half/3))
}
