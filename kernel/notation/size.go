package notation

// Within counts the parts of trees up to a bound. A part that stands in several
// places of a tree, as one that was put in for a name does, counts in each of them:
// what walks over the tree meets it as often, and the count doubles with every level
// of names put into names.
type Within struct {
	Left int // how many parts may still be met
}

// Holds takes the parts of e off what is left, and reports whether they fit. It
// looks at no more parts than fit.
func (w *Within) Holds(e Expr) bool {
	return w.holds(e)
}

// holds goes by the forms that most trees are made of without lists of their parts.
func (w *Within) holds(n Node) bool {
	if w.Left--; w.Left < 0 {
		return false
	}
	switch n := n.(type) {
	case *Number, *Name:
		return true
	case *Paren:
		return w.holds(n.X)
	case *Unary:
		return w.holds(n.X)
	case *Binary:
		return w.holds(n.X) && w.holds(n.Y)
	}
	for _, part := range Children(n) {
		if !w.holds(part) {
			return false
		}
	}
	return true
}

// AtMost reports whether a tree has at most so many parts, counted as Within does.
func AtMost(e Expr, most int) bool {
	w := Within{Left: most}
	return w.Holds(e)
}
