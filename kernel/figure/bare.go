package figure

// Bare returns a picture without what was worked out for it, for whoever is to
// work that out: a drawing without twist, diagrams and finding, a plot without
// its finding. The curves of a plot are its author's and stay. The picture
// itself is not changed.
func Bare(p Picture) Picture {
	switch p := p.(type) {
	case *ShaftDrawing:
		bare := *p
		bare.Finding, bare.Twist, bare.Diagrams = "", nil, nil
		return &bare
	case *Plot:
		bare := *p
		bare.Finding = ""
		return &bare
	}
	return p
}
