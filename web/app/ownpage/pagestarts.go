package ownpage

// A PageStart is a page to begin from and to take apart. Its numbers are invented.
type PageStart struct {
	Key, Name, About string
	Text             string
}

// PageStarts are the starting pages, in their order.
var PageStarts = []PageStart{
	{"uniform", "A uniform shaft", "A shaft with its drawing, its twist by the formula, and a slider for the diameter. Change anything.",
		`# A uniform shaft

A plain round bar carries a torque $T$ over its length $L$. It twists by

$$\theta = \frac{T L}{G J} \qquad J = \frac{\pi}{32} d^4$$

` + fence(`calc
T = 310 N·m
L = 0.9 m
G = 79 GPa
vary d from 20 mm to 60 mm by 1 mm starting at 36 mm`) + `
` + fence(`calc
J = π/32·d^4 in mm^4
θ = T·L/(G·J) in deg`) + `
The same bar as a shaft, drawn to scale:

` + fence(`shaft bar
G = G
solid d for L
torque −T at 0 m
torque T at L`) + `
` + fence(`calc
draw bar`) + `
## Can it be right?

The twist lies between those of a bar that is certainly thicker and of one that is
certainly thinner.

` + fence(`calc
θ_thick = T·L/(G·π/32·(1.1·d)^4) in deg
θ_thin = T·L/(G·π/32·(0.9·d)^4) in deg
expect θ between θ_thick and θ_thin`) + `
*Try next: change $T$, or add a calculation of your own below.*
`},
	{"taper", "A taper by segments", "A tapered shaft cut into n segments: move the slider, and watch the sum settle between its bounds.",
		`# A taper by segments

A shaft tapers from $d_0$ to $d_1$. It is cut into $n$ segments, each of them taken
as uniform with the diameter at its middle.

` + fence(`calc
T = 260 N·m
L = 0.7 m
G = 79 GPa
d_0 = 28 mm
d_1 = 44 mm
vary n from 1 to 40 by 1 starting at 4`) + `
` + fence(`calc
d(x) = d_0 + (d_1 − d_0)·x/L
θ_n = sum of T·(L/n)/(G·π/32·d((i − 0.5)·L/n)^4) for i from 1 to n in deg
trials of θ_n in deg for n at 1, 2, 4`) + `
` + fence(`shaft spindle
G = G
solid d_0 to d_1 for L
torque −T at 0 m
torque T at L`) + `
` + fence(`calc
draw spindle`) + `
## Can it be right?

The taper is stiffer than a uniform shaft as thin as its thin end, and softer than one
as thick as its thick end.

` + fence(`calc
θ_thick = T·L/(G·π/32·d_1^4) in deg
θ_thin = T·L/(G·π/32·d_0^4) in deg
expect θ_n between θ_thick and θ_thin`)},
	{"derivation", "A derivation to finish", "The twist of a taper from its integral. One line is missing: fill it in, and each step is checked.",
		`# A derivation to finish

The line with the question mark is yours. Fill it in, and the page says whether it
follows from the line above.

` + fence(`derive
given T: torque > 0, G: shear modulus > 0, L: length > 0, d_1 > d_0 > 0 mm
k = (d_1 − d_0)/L
θ = integral of T/(G·π/32·(d_0 + k·x)^4) for x from 0 m to L
  = 32·T/(π·G) · (integral of 1/(k·u^4) for u from d_0 to d_1)   with u = d_0 + k·x because du = k·dx
  = 32·T/(π·G) · (1/d_0^3 − 1/d_1^3)/(3·k)   because ∫u⁻⁴du = −u⁻³/3
  = ?   because k = (d_1 − d_0)/L`) + `
With numbers:

` + fence(`calc
T = 260 N·m
L = 0.7 m
G = 79 GPa
d_0 = 28 mm
d_1 = 44 mm
θ = 32·T·L/(3·π·G·(d_1 − d_0))·(1/d_0^3 − 1/d_1^3) in deg`)},
	{"empty", "An empty page", "Begin with nothing.", ""},
}

// fence returns a cell; the first line is its kind and name.
func fence(text string) string { return "```" + text + "\n```\n" }

// PageStartOf returns a starting page by its key.
func PageStartOf(key string) (PageStart, bool) {
	for _, s := range PageStarts {
		if s.Key == key {
			return s, true
		}
	}
	return PageStart{}, false
}
