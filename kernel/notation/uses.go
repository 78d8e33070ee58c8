package notation

// Uses returns the names that a statement or a shaft cell needs from the rest
// of the working: the free names of its expressions, less the name it defines,
// the parameters of a function, the name a table or plot runs over, and the x
// of a profile. The functions of calls are among them, built-in ones too; the
// shaft that a gear drives is not, since the two are solved together.
func Uses(n Node) []*Name {
	var free []*Name
	var bound *binding
	collect := func(name *Name) bool {
		free = append(free, name)
		return true
	}
	switch n := n.(type) {
	case *Define:
		eachFree(n.Expr, bound, collect)
	case *DefineFunc:
		for _, p := range n.Params {
			bound = &binding{p.Ident, bound}
		}
		eachFree(n.Body, bound, collect)
	case *Vary:
		for _, e := range present(n.From, n.To, n.Step, n.Start, n.TypedFrom, n.TypedTo) {
			eachFree(e, bound, collect)
		}
	case *Table:
		rangeUses(n.Columns, n.Range, collect)
	case *Plot:
		rangeUses(n.Columns, n.Range, collect)
	case *Readings:
		for i, x := range n.Xs {
			eachFree(x, bound, collect)
			eachFree(n.Ys[i], bound, collect)
		}
	case *Line:
		free = append(free, n.Through)
		for _, e := range n.Without {
			eachFree(e, bound, collect)
		}
	case *ShaftCell:
		for _, line := range n.Lines {
			free = append(free, Uses(line)...)
		}
	case *ShaftGear:
		for _, e := range present(n.Teeth, n.X, n.OtherTeeth, n.OtherX) {
			eachFree(e, bound, collect)
		}
	case *ShaftProfile:
		eachFree(n.Length, bound, collect)
		bound = &binding{"x", bound}
		for _, e := range present(n.D, n.Bore) {
			eachFree(e, bound, collect)
		}
	default:
		for _, c := range Children(n) {
			eachFree(c, bound, collect)
		}
		if name, ok := n.(*Name); ok {
			free = append(free, name)
		}
	}
	return free
}

// rangeUses collects the uses of a table or plot: its name is bound in the
// columns, not in its own range.
func rangeUses(columns []*Column, r *Range, f func(*Name) bool) {
	if r == nil {
		return
	}
	for _, e := range present(r.From, r.To, r.Step, r.Rows, r.Mark) {
		eachFree(e, nil, f)
	}
	bound := &binding{r.Var.Ident, nil}
	for _, c := range columns {
		eachFree(c, bound, f)
	}
}
