package notation

// Inspect calls f for n and, where f returns true, for each part of n, in the
// order in which they stand. Absent parts are skipped; n may be nil.
func Inspect(n Node, f func(Node) bool) {
	if isNil(n) || !f(n) {
		return
	}
	for _, child := range Children(n) {
		Inspect(child, f)
	}
}

// isNil reports whether an optional part is absent.
func isNil(n Node) bool {
	switch n := n.(type) {
	case nil:
		return true
	case *Name:
		return n == nil
	case *UnitRef:
		return n == nil
	case *Compare:
		return n == nil
	case *Range:
		return n == nil
	}
	return false
}

// Children returns the parts of a node in the order in which they stand,
// without absent ones. The name that a Bind binds is one of them; a GivenItem's
// domain is not, since its names share it.
func Children(n Node) []Node {
	switch n := n.(type) {
	case *ShaftCell:
		return nodes(n.Lines)
	case *Column:
		return present(n.Expr, n.Display.Unit)
	case *Range:
		return present(n.Var, n.From, n.To, n.Step, n.Rows, n.Mark)
	case Expr:
		return operands(n)
	case Stmt:
		return statementChildren(n)
	case ShaftLine:
		return shaftChildren(n)
	case DeriveLine:
		return deriveChildren(n)
	}
	return nil
}

func operands(e Expr) []Node {
	switch e := e.(type) {
	case *Quantity:
		return present(e.Number, e.Unit)
	case *Call:
		return append(present(e.Fun), nodes(e.Args)...)
	case *Field:
		return append(present(e.X), nodes(e.Args)...)
	case *Unary:
		return present(e.X)
	case *Binary:
		return present(e.X, e.Y)
	case *Paren:
		return present(e.X)
	case *Abs:
		return present(e.X)
	case *Root:
		return present(e.X)
	case *Between:
		return present(e.Low, e.High)
	case *PlusMinus:
		return present(e.Mid, e.Half)
	case *Bind:
		return present(e.Body, e.Var, e.From, e.To)
	case *If:
		return present(e.Cond, e.Then, e.Else)
	case *Compare:
		return nodes(e.Xs)
	case *Logic:
		return present(e.X, e.Y)
	}
	return nil
}

func statementChildren(s Stmt) []Node {
	switch s := s.(type) {
	case *Define:
		return present(s.Name, s.Expr, s.Display.Unit)
	case *DefineFunc:
		return append(append(present(s.Name), nodes(s.Params)...), present(s.Body)...)
	case *Show:
		return present(s.Expr, s.Display.Unit)
	case *Vary:
		return present(s.Name, s.From, s.To, s.Step, s.Start, s.TypedFrom, s.TypedTo)
	case *Expect:
		return present(s.X, s.Low, s.High, s.Bracket, s.Approx, s.Tolerance, s.Cond)
	case *Table:
		return append(nodes(s.Columns), present(s.Range)...)
	case *Plot:
		return append(nodes(s.Columns), present(s.Range)...)
	case *SegmentTable:
		return present(s.Shaft, s.Segments, s.Display.Unit)
	case *ToleranceTable:
		return present(s.Expr, s.Display.Unit)
	case *Trials:
		return trialsChildren(s)
	case *Readings:
		return readingsChildren(s)
	case *Line:
		return append(present(s.Name, s.Through), nodes(s.Without)...)
	case *PlotLine:
		return present(s.Of)
	case *Draw:
		return present(s.Shaft, s.X, s.Segments, s.Times)
	case *Prefer:
		return nodes(s.Units)
	}
	return nil
}

func trialsChildren(s *Trials) []Node {
	list := append(nodes(s.Columns), present(s.Low, s.High, s.Bracket, s.Var)...)
	list = append(list, nodes(s.Tried)...)
	for _, g := range s.Guesses {
		list = append(list, present(g.Value, g.At)...)
	}
	return list
}

// readingsChildren leaves out the names of the axes, which are headings.
func readingsChildren(s *Readings) []Node {
	list := present(s.Name, s.X.Unit, s.Y.Unit)
	for i, x := range s.Xs {
		list = append(list, present(x, s.Ys[i])...)
	}
	return list
}

func shaftChildren(line ShaftLine) []Node {
	switch s := line.(type) {
	case *ShaftModulus:
		return present(s.G)
	case *ShaftYield:
		return present(s.Stress)
	case *ShaftSolid:
		return present(s.D0, s.D1, s.Length)
	case *ShaftHollow:
		return present(s.D0, s.D1, s.B0, s.B1, s.Length)
	case *ShaftProfile:
		return present(s.D, s.Bore, s.Length)
	case *ShaftMeasured:
		var list []Node
		for i, x := range s.X {
			list = append(list, present(x, s.D[i])...)
		}
		return list
	case *ShaftSection:
		return append(nodes(s.Sizes), present(s.Length)...)
	case *ShaftCore:
		return present(s.D, s.G)
	case *ShaftHold:
		return present(s.X, s.Stiffness)
	case *ShaftTorque:
		return present(s.T, s.X)
	case *ShaftSpread:
		return present(s.T0, s.T1, s.From, s.To)
	case *ShaftPower:
		return present(s.P, s.Speed, s.X)
	case *ShaftAllow:
		return present(s.Limit)
	case *ShaftGear:
		return present(s.Teeth, s.X, s.Other, s.OtherTeeth, s.OtherX)
	}
	return nil
}

func deriveChildren(line DeriveLine) []Node {
	switch s := line.(type) {
	case *Given:
		var list []Node
		for _, item := range s.Items {
			list = append(list, present(item.Name, item.Unit)...)
		}
		return list
	case *DeriveDefine:
		return append(append(present(s.Name, s.Over), nodes(s.Params)...), present(s.Expr)...)
	case *DeriveStep:
		return append(append(present(s.Left, s.X, s.Domain), nodes(s.Constant)...), present(s.Small, s.SmallTo, s.With, s.WithX)...)
	}
	return nil
}

// present drops the absent parts of a list.
func present(list ...Node) []Node {
	out := list[:0]
	for _, n := range list {
		if !isNil(n) {
			out = append(out, n)
		}
	}
	return out
}

func nodes[N Node](list []N) []Node {
	out := make([]Node, len(list))
	for i, n := range list {
		out[i] = n
	}
	return out
}

// FreeNames returns the uses of names in e that no form inside e binds, in the
// order in which they stand. The functions of calls are among them.
func FreeNames(e Expr) []*Name {
	var free []*Name
	eachFree(e, nil, func(n *Name) bool {
		free = append(free, n)
		return true
	})
	return free
}

// HasFree reports whether e uses a name that is wanted and that no form inside e
// binds.
func HasFree(e Expr, wanted func(ident string) bool) bool {
	return !eachFree(e, nil, func(n *Name) bool { return !wanted(n.Ident) })
}

// A binding is a bound name around a part, with those around it.
type binding struct {
	ident string
	outer *binding
}

func (b *binding) binds(ident string) bool {
	for ; b != nil; b = b.outer {
		if b.ident == ident {
			return true
		}
	}
	return false
}

// eachFree calls f for the free names of n until it returns false, and reports
// whether it never did. Most trees are of the forms that need no list of parts.
func eachFree(n Node, bound *binding, f func(*Name) bool) bool {
	switch n := n.(type) {
	case nil:
		return true
	case *Number, *Quantity:
		return true
	case *Name:
		return bound.binds(n.Ident) || f(n)
	case *Paren:
		return eachFree(n.X, bound, f)
	case *Unary:
		return eachFree(n.X, bound, f)
	case *Binary:
		return eachFree(n.X, bound, f) && eachFree(n.Y, bound, f)
	case *Call:
		if !eachFree(n.Fun, bound, f) {
			return false
		}
		for _, a := range n.Args {
			if !eachFree(a, bound, f) {
				return false
			}
		}
		return true
	case *Field:
		if n.X != nil && !eachFree(n.X, bound, f) {
			return false
		}
		for _, a := range n.Args {
			if !eachFree(a, bound, f) {
				return false
			}
		}
		return true
	case *Bind:
		return eachFree(n.Body, &binding{n.Var.Ident, bound}, f) && eachFree(n.From, bound, f) && eachFree(n.To, bound, f)
	}
	for _, c := range Children(n) {
		if !eachFree(c, bound, f) {
			return false
		}
	}
	return true
}
