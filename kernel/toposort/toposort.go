// Package toposort orders statements so that each comes after what it needs, and
// finds the ones that need themselves.
package toposort

// Order sorts the nodes 0…n-1 so that each comes after its dependencies. Ties
// keep the given order, so the result is deterministic. deps(i) lists the
// nodes that i needs; a number outside 0…n-1 is passed over.
//
// Nodes on a cycle, and those that need one, are left out of order. Each cycle
// is returned once as a path that ends where it starts: [2 5 2].
func Order(n int, deps func(i int) []int) (order []int, cycles [][]int) {
	s := search{deps: deps, state: make([]state, n)}
	for i := range n {
		s.visit(i)
	}
	return s.order, s.cycles
}

type state uint8

const (
	unseen  state = iota
	open          // on the path that is being followed
	ordered       // it and all it needs are ordered
	blocked       // it is on a cycle or needs one
)

type search struct {
	// immutable
	deps func(i int) []int

	// search state
	state []state
	path  []int

	// result
	order  []int
	cycles [][]int
}

// visit orders i after its dependencies; it reports whether that was possible.
func (s *search) visit(i int) bool {
	if i < 0 || i >= len(s.state) {
		return true
	}
	switch s.state[i] {
	case ordered:
		return true
	case blocked:
		return false
	case open:
		s.cycle(i)
		return false
	}
	s.state[i] = open
	s.path = append(s.path, i)
	ok := true
	for _, d := range s.deps(i) {
		ok = s.visit(d) && ok
	}
	s.path = s.path[:len(s.path)-1]
	if !ok {
		s.state[i] = blocked
		return false
	}
	s.state[i] = ordered
	s.order = append(s.order, i)
	return true
}

// cycle records the part of the path from i on, closed with i.
func (s *search) cycle(i int) {
	for at, j := range s.path {
		if j == i {
			s.cycles = append(s.cycles, append(append([]int{}, s.path[at:]...), i))
			return
		}
	}
}
