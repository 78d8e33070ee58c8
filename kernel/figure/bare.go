package figure

// Bare returns a picture without the results that its reader is to find: a
// drawing without twist, diagrams and finding, a plot without its finding. The
// curves of a plot are its author's and stay. p itself is not changed; a
// picture without results is returned as it is.
func Bare(p Picture) Picture {
	if b, ok := p.(interface{ Bare() Picture }); ok {
		return b.Bare()
	}
	return p
}
