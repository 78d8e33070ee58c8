package shaft

// A Section is a section that is not a solid or hollow circle, known by its
// torsion constant. Such sections warp, and J is not the polar second moment of
// area.
type Section struct {
	Kind  string  // for messages and drawings: "square"
	J     float64 // torsion constant, m⁴: dθ/dx = T/(G·J)
	W     float64 // torsion section modulus, m³: greatest shear stress = T/W
	Depth float64 // height to be drawn, m
}
