package shaft

// A SegmentTwist is one segment of Steps(n) with what it adds to the twist.
type SegmentTwist struct {
	Segment
	X      float64 // mid-length, m
	J      float64 // polar second moment of area there, m⁴; see Shaft.J
	Torque float64 // internal torque of the shaft there, N·m
	Twist  float64 // of the segment, rad
	Sum    float64 // of the segments from x = 0 to the end of this one, rad
}

// SegmentTwists returns the segments of Steps(n), in order, with the twist of each and
// the running sum, of which the last is Segments(n) to the last bit.
//
// Failure: as Steps.
func (s *Shaft) SegmentTwists(n int) ([]SegmentTwist, error) {
	solved, err := s.stepped(n)
	if err != nil {
		return nil, err
	}
	list := make([]SegmentTwist, 0, n*len(s.pieces))
	sums := s.statics.again() // of the segments so far
	for i := range s.pieces {
		before := sums.copy()
		err := s.pieces[i].segments(n, func(seg Segment) {
			own := s.statics.again()
			s.addSegment(own, 0, seg)
			s.addSegment(sums, 0, seg)
			list = append(list, SegmentTwist{Segment: seg, X: (seg.From + seg.To) / 2, Twist: own.twist(solved.s), Sum: sums.twist(solved.s)})
		})
		if err != nil {
			return nil, err
		}
		if !s.pieces[i].uniform() {
			continue
		}
		// Segments adds such a piece at once, which rounds otherwise.
		sums = before
		if err := s.pieces[i].segments(1, func(seg Segment) { s.addSegment(sums, 0, seg) }); err != nil {
			return nil, err
		}
		list[len(list)-1].Sum = sums.twist(solved.s)
	}
	for i := range list {
		g := &list[i]
		if g.J, err = s.J(g.X); err != nil {
			return nil, err
		}
		if g.Torque, err = s.Torque(g.X); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// copy returns the same with compliances of its own.
func (st *statics) copy() *statics {
	next := st.again()
	copy(next.f, st.f)
	copy(next.a, st.a)
	return next
}
