package notation

// Uses returns the names that a statement or a shaft cell needs from the rest
// of the working: the free names of its expressions, less the name it defines,
// the parameters of a function, the name a table or plot runs over, and the x
// of a profile. The functions of calls are among them, built-in ones too; the
// shaft that a gear drives is not, since the two are solved together.
func Uses(n Node) []*Name {
	var free []*Name
	bound := map[string]int{}
	switch n := n.(type) {
	case *Define:
		collectFree(n.Expr, bound, &free)
	case *DefineFunc:
		for _, p := range n.Params {
			bound[p.Ident]++
		}
		collectFree(n.Body, bound, &free)
	case *Vary:
		for _, e := range present(n.From, n.To, n.Step, n.Start) {
			collectFree(e, bound, &free)
		}
	case *Table:
		rangeUses(n.Columns, n.Range, &free)
	case *Plot:
		rangeUses(n.Columns, n.Range, &free)
	case *ShaftCell:
		for _, line := range n.Lines {
			free = append(free, Uses(line)...)
		}
	case *ShaftGear:
		for _, e := range present(n.Teeth, n.X, n.OtherTeeth, n.OtherX) {
			collectFree(e, bound, &free)
		}
	case *ShaftProfile:
		collectFree(n.Length, bound, &free)
		bound["x"]++
		for _, e := range present(n.D, n.Bore) {
			collectFree(e, bound, &free)
		}
	default:
		for _, c := range Children(n) {
			collectFree(c, bound, &free)
		}
		if name, ok := n.(*Name); ok {
			free = append(free, name)
		}
	}
	return free
}

// rangeUses collects the uses of a table or plot: its name is bound in the
// columns, not in its own range.
func rangeUses(columns []*Column, r *Range, free *[]*Name) {
	if r == nil {
		return
	}
	for _, e := range present(r.From, r.To, r.Step, r.Rows) {
		collectFree(e, map[string]int{}, free)
	}
	bound := map[string]int{r.Var.Ident: 1}
	for _, c := range columns {
		collectFree(c, bound, free)
	}
}
