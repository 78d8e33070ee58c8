// Package shaft solves straight shafts in torsion: it finds the internal
// torque, the twist and the greatest shear stress of a shaft made of pieces,
// exactly within slice theory.
//
// Slice theory takes each thin slice of the shaft as a uniform shaft:
//
//	dθ/dx = T(x)/(G·J(x))        τ = T(x)·r/J(x)
//
// with T the internal torque (N·m), G the shear modulus (Pa), J the polar
// second moment of area of the section (m⁴), r the radius (m), θ the angle of
// twist (rad). Gere, Mechanics of Materials, Eqs 3-12, 3-14 and 3-22.
//
// Every number is in SI base units. The package has no notion of units, names
// or notation: a caller fills a Spec, and gets errors back at the Span it gave.
//
// # Signs
//
// Torques act about the +x axis by the right-hand rule. Twist(x) is the
// rotation of the section at x relative to the section at x = 0, positive the
// same way. Torque(x) is the internal torque that the part beyond x exerts on
// the part before it. A reaction is the torque that a hold exerts on the shaft.
//
// At a section where something jumps (a point torque, a hold, a step in
// diameter) a value at x is the value just after x; at the far end it is the
// value just before. So Torque(0) of a shaft held at x = 0 is the torque just
// inside the hold, and Torque(Length()) is the torque put on at the far end.
// TorqueSides gives both sides. Stress is the one exception: at a jump it is
// the greater of the two sides.
//
// # Tolerances
//
// NewTolerant bounds every value of a shaft for all choices of its diameters,
// bores, moduli and torques within their tolerances, and Shares says how much
// of the width of the twist each makes.
//
// # What slice theory cannot see
//
// Slices know the diameter but not its slope, so they miss what happens where
// the outline turns: the stress concentration at a shoulder, a fillet, a groove
// or a keyway, the softening that a keyway or a spline adds, and the local
// twist near a sudden step. For a smooth cone the error is known exactly, see
// Cone. Round sections stay plane; others warp, and where a hold or a
// neighbouring piece keeps a section from warping the shaft is stiffer near
// there than its torsion constant suggests, markedly so for thin open sections.
// Shafts are taken as straight, elastic and isotropic, with small rotations.
package shaft
