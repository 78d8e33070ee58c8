package shaft

// Holds divide the shaft into spans: span 0 before the first hold, span n after
// the last of n holds. In a span the internal torque is a base torque, that of
// the loads in the span, plus a constant S that only the holds decide. So the
// span's own stiffness enters by two numbers:
//
//	f = ∫ dx/(G·J)        α = ∫ base/(G·J) dx
//
// The base is, in span 0, minus the loads before x; in any later span, the
// loads of the span beyond x, without those at the hold that ends it, less what
// makes it 0 in the softest cell of the span. S is 0 in the first and the last
// span. Were the base torque of a soft neck not 0, its twist would come out as
// the difference of two large ones, and drown the twist of what is stiff.
//
// With c the compliance of a hold (0 if rigid), P the point torque right at it,
// B and E the base torques at the beginning and the end of a span, and i counting
// a hold and the span before it, balance at hold i reads
//
//	Rᵢ = (Sᵢ + Eᵢ) − (Sᵢ₊₁ + Bᵢ₊₁) − Pᵢ
//
// and the rotations −c·R of neighbouring holds differ by the twist between
// them, which leaves a symmetric tridiagonal system with a positive definite
// matrix for the S of the inner spans:
//
//	−cᵢ₋₁Sᵢ₋₁ + (fᵢ + cᵢ₋₁ + cᵢ)Sᵢ − cᵢSᵢ₊₁ = −αᵢ − cᵢ(Eᵢ − Bᵢ₊₁ − Pᵢ) + cᵢ₋₁(Eᵢ₋₁ − Bᵢ − Pᵢ₋₁)
//
// This is the force method; Gere, Mechanics of Materials, section 3.8, treats
// the case of two rigid holds.
type statics struct {
	c, p  []float64 // of each hold
	w, e  []float64 // of each span: base torque at its beginning and at its end
	f, a  []float64 // of each span
	by    []float64 // of each span: what was taken from its base torque
	s     []float64 // of each span, the result
	react []float64 // of each hold, the result
}

// load fills the base torques of the cells, and the loads of holds and spans.
func (s *Shaft) load(spec *Spec) *statics {
	n := len(spec.Supports)
	st := &statics{
		c: make([]float64, n), p: make([]float64, n), react: make([]float64, n),
		w: make([]float64, n+1), e: make([]float64, n+1), by: make([]float64, n+1), f: make([]float64, n+1), a: make([]float64, n+1), s: make([]float64, n+1),
	}
	for i, h := range spec.Supports {
		if h.Elastic {
			st.c[i] = 1 / h.Stiffness
		}
	}
	points := make([]float64, len(s.cells)+1) // point torques at the nodes between cells
	for _, t := range spec.Torques {
		points[s.node(t.X)] += t.Value
	}
	firstCell := make([]int, n+2)
	for i, h := range spec.Supports {
		k := s.node(h.X)
		st.p[i], points[k] = points[k], 0
		firstCell[i+1] = k
	}
	firstCell[n+1] = len(s.cells)
	for j := 0; j <= n; j++ {
		for k := firstCell[j]; k < firstCell[j+1]; k++ {
			s.cells[k].span = int32(j)
		}
	}
	if n > 0 {
		st.e[0] = s.loadForward(spec, points, firstCell[1])
	}
	for j := min(n, 1); j <= n; j++ {
		st.w[j] = s.loadBackward(spec, points, firstCell[j], firstCell[j+1])
		if j < n {
			st.shift(j, s.cells[firstCell[j]:firstCell[j+1]])
		}
	}
	return st
}

// shift takes from the base torque of an inner span what it is in the middle of
// its softest cell.
func (st *statics) shift(span int, cells []cell) {
	softest := 0
	for k := range cells {
		if cells[k].m[0] > cells[softest].m[0] {
			softest = k
		}
	}
	if len(cells) == 0 {
		return
	}
	by := cells[softest].torque(0.5)
	for k := range cells {
		cells[k].t[0] -= by
	}
	st.w[span], st.e[span], st.by[span] = st.w[span]-by, -by, by
}

// node returns the index of the node at the break x.
func (s *Shaft) node(x float64) int {
	if x >= s.length {
		return len(s.cells)
	}
	return s.find(x)
}

// loadForward sets the base torques of the first cells up to end, and returns
// the one at their far end.
func (s *Shaft) loadForward(spec *Spec, points []float64, end int) float64 {
	torque := 0.0
	for k := 0; k < end; k++ {
		torque -= points[k]
		torque = s.cells[k].spreadFrom(torque, spec.DistributedTorques)
	}
	return torque
}

// loadBackward sets the base torques of the cells [begin, end) from the far
// end, and returns the one at their start.
func (s *Shaft) loadBackward(spec *Spec, points []float64, begin, end int) float64 {
	torque := 0.0
	for k := end - 1; k >= begin; k-- {
		torque += points[k+1]
		c := &s.cells[k]
		torque += c.spread(spec.DistributedTorques)
		c.spreadFrom(torque, spec.DistributedTorques)
	}
	return torque
}

// intensity returns the torque per length at the two ends of the cell.
func (c *cell) intensity(spreads []DistributedTorque) (wa, wb float64) {
	for i := range spreads {
		p := &spreads[i]
		if p.From > c.a || p.To < c.b {
			continue
		}
		wa += lerp(p.Start, p.End, c.a-p.From, p.To-p.From)
		wb += lerp(p.Start, p.End, c.b-p.From, p.To-p.From)
	}
	return wa, wb
}

// spread returns the whole of the spread torque on the cell.
func (c *cell) spread(spreads []DistributedTorque) float64 {
	wa, wb := c.intensity(spreads)
	return c.length() * (wa + wb) / 2
}

// spreadFrom sets the base torque of the cell from that at its start, and
// returns that at its end.
func (c *cell) spreadFrom(start float64, spreads []DistributedTorque) float64 {
	wa, wb := c.intensity(spreads)
	h := c.length()
	c.t = [3]float64{start, -h * wa, -h * (wb - wa) / 2}
	return start - float64(h*(wa+wb)/2)
}

// solve finds the constant torque of each span and the reactions.
func (st *statics) solve() {
	n := len(st.c)
	if n > 1 {
		st.solveInner(n)
	}
	for i := range n {
		st.react[i] = (st.s[i] + st.e[i]) - (st.s[i+1] + st.w[i+1]) - st.p[i]
	}
}

// solveInner solves the tridiagonal system of the inner spans by elimination
// without pivoting, which is stable for a diagonally dominant matrix.
func (st *statics) solveInner(n int) {
	diag, rhs := make([]float64, n), make([]float64, n)
	for i := 1; i < n; i++ {
		left, right := st.c[i-1], st.c[i]
		diag[i] = st.f[i] + left + right
		rhs[i] = -st.a[i] - float64(right*(st.e[i]-st.w[i+1]-st.p[i])) + float64(left*(st.e[i-1]-st.w[i]-st.p[i-1]))
		if i == 1 {
			continue
		}
		ratio := left / diag[i-1]
		diag[i] -= float64(ratio * left)
		rhs[i] += float64(ratio * rhs[i-1])
	}
	for i := n - 1; i >= 1; i-- {
		if i < n-1 {
			rhs[i] += float64(st.c[i] * st.s[i+1])
		}
		st.s[i] = rhs[i] / diag[i]
	}
}

// solveReactions solves the statics and puts the torques and twists into the cells.
func (s *Shaft) solveReactions(st *statics) {
	for k := range s.cells {
		c := &s.cells[k]
		st.f[c.span] += c.m[0]
		st.a[c.span] += dot(c.t, c.m)
	}
	st.solve()
	theta := 0.0
	for k := range s.cells {
		c := &s.cells[k]
		c.t[0] += st.s[c.span]
		c.theta = theta
		theta += dot(c.t, c.m)
	}
	s.twist = theta
	s.reactions, s.statics = st.react, st
	s.flexibility = 0
	for _, f := range st.f {
		s.flexibility += f
	}
	if len(st.c) > 0 {
		first, _ := s.Twist(s.holds[0].X)
		s.turned = float64(-st.c[0]*st.react[0]) - first
	}
}
