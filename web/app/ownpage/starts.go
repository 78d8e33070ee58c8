package ownpage

// A Start is something to begin a derivation from.
type Start struct {
	Key   string // in forms
	Name  string // of the derivation that is begun
	About string // a sentence on what there is to do
	Text  string
}

// Starts are the starting points, in their order.
var Starts = []Start{
	{"uniform", "Twist of a uniform shaft", "Two steps are there; the step between them is yours to fill in.",
		`given T: torque > 0, G: shear modulus > 0, L: length > 0, d: length > 0
J = π/32·d^4
θ = integral of T/(G·J) for x from 0 m to L
  = T/(G·J) · (integral of 1 for x from 0 m to L)   because T, G and J are the same everywhere
  = ?   because the integral of 1 over the length is L
  = 32·T·L/(π·G·d^4)   because J = π/32·d⁴`},
	{"taper", "Twist of a tapered shaft", "A change of variable turns the integral into a power of u; the last line is yours.",
		`given T: torque > 0, G: shear modulus > 0, L: length > 0, d_1 > d_0 > 0 mm
k = (d_1 − d_0)/L
θ = integral of T/(G·π/32·(d_0 + k·x)^4) for x from 0 m to L
  = 32·T/(π·G) · (integral of 1/(k·u^4) for u from d_0 to d_1)   with u = d_0 + k·x because du = k·dx
  = 32·T/(π·G) · (1/d_0^3 − 1/d_1^3)/(3·k)   because ∫u⁻⁴du = −u⁻³/3
  = ?   because k = (d_1 − d_0)/L`},
	{"bounds", "A tapered shaft between two uniform ones", "A proof with ≤ and ≥: the taper is stiffer than its thin end and softer than its thick end.",
		`given T: torque > 0, G: shear modulus > 0, L: length > 0, d_1 > d_0 > 0 mm
d(x) = d_0 + (d_1 − d_0)·x/L
J(x) = π/32·d(x)^4
J_0 = π/32·d_0^4
J_1 = π/32·d_1^4
J(x) ≥ J_0 for 0 m ≤ x ≤ L   because the thin end is the thinnest place
J(x) ≤ J_1 for 0 m ≤ x ≤ L
θ = integral of T/(G·J(x)) for x from 0 m to L
  ≤ integral of T/(G·J_0) for x from 0 m to L   because a smaller J twists more
  = T·L/(G·J_0)
θ ≥ T·L/(G·J_1)   because no place is thicker than the thick end`},
	{"mistake", "A derivation with a mistake", "Find the wrong line, and see what the other two lines still need.",
		`# a tapered shaft, taken as uniform with its mean diameter
given T: torque > 0, G: shear modulus > 0, L: length > 0, d_0: length > 0, d_1: length > 0
d_m = (d_0 + d_1)/2
  = (d_1^2 − d_0^2)/(2·(d_1 − d_0))   because d₁² − d₀² = (d₁ − d₀)·(d₁ + d₀)
θ = 32·T·L/(π·G·d_m^4)
  = 512·T·L/(π·G·(d_0 + d_1)^4)   because 32·2⁴ = 512
  = 512·T·L/(π·G·(d_0^4 + d_1^4))
θ ∝ L/d_m^4`},
	{"empty", "New derivation", "An empty page: begin with what is given, then write one line for each step.", ""},
}

// StartOf returns a starting point by its key.
func StartOf(key string) (Start, bool) {
	for _, s := range Starts {
		if s.Key == key {
			return s, true
		}
	}
	return Start{}, false
}
