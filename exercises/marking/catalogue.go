package marking

import (
	"maps"
	"math"
	"slices"
)

// A General slip is a slip that many problems share. Its value is computed from
// the exercise's own working, with some names taken wrongly, or from the answer
// itself. A slip without values has words only, and the exercise gives the
// wrong formula.
type General struct {
	Says, Next  string
	TakesFactor bool
	compute     func(c *slipCase) ([]float64, error)
}

// LookupSlip returns the general slip of a name.
func LookupSlip(name string) (*General, bool) {
	g, ok := catalogue[name]
	return g, ok
}

// HasValue reports whether the catalogue can compute what the slip leads to.
func (g *General) HasValue() bool { return g.compute != nil }

// Catalogue lists the names of the general slips.
func Catalogue() []string { return slices.Sorted(maps.Keys(catalogue)) }

const reread = "Write down what each letter of the formula stands for before you put numbers in."

// catalogue holds the common slips of torsion problems (common practice, no
// source, unless said). The factor in a comment is that on the twist of a
// uniform solid shaft.
var catalogue = map[string]*General{
	"radius-for-diameter": { // ×16
		Says: "It looks as though a radius went where the formula has a diameter.", Next: reread,
		compute: scaled(diameters, 0.5)},
	"diameter-for-radius": { // ÷16
		Says: "It looks as though a diameter went where the formula has a radius.", Next: reread,
		compute: func(c *slipCase) ([]float64, error) {
			if names := c.named(radii); len(names) > 0 {
				return c.scale(names, 2)
			}
			return scaled(diameters, 2)(c)
		}},
	"bending-for-torsion": { // ×2
		Says:    "It looks as though the second moment of area for bending, π/64·d⁴, was used instead of the polar one.",
		Next:    "About which axis does the section turn here?",
		compute: softer(2)},
	"young-for-shear": { // ×G/E
		Says:    "It looks as though Young's modulus was used instead of the shear modulus.",
		Next:    "Which of the two describes how a material resists shear?",
		compute: youngForShear},
	"radians-for-degrees": {
		Says:    "It looks as though a number in radians was given the unit of degrees.",
		Next:    "The formula gives radians; convert, or write rad.",
		compute: radiansOut},
	"degrees-for-radians": {
		Says:    "It looks as though a number in degrees was put in as if it were in radians, or an angle was converted twice.",
		Next:    "Write the unit beside the number at every step.",
		compute: degreesIn},
	"millimetres": {
		Says:    "It looks as though a millimetre was taken for a metre somewhere, or a prefix such as kilo or giga was left out: the answer is off by a power of a thousand.",
		Next:    "Put every quantity into the formula with its unit, and change mm⁴ to m⁴ with all four powers.",
		compute: powersOf(1000, 6)},
	"power-of-ten": {
		Says:    "It looks as though a power of ten was lost: the point slipped by some places, or a prefix such as milli, kilo or giga was left out.",
		Next:    "Put every quantity into the formula with its unit, and compare the size of the result with a case you know.",
		compute: powerOfTen},
	"percent-for-fraction": {
		Says:    "It looks as though a percentage was given where a fraction was meant, or the other way.",
		Next:    "0.25 and 25 % are the same number. Write the % sign if you count in hundredths.",
		compute: percent},
	"flipped-sign": {
		Says:    "It looks as though the sense is the opposite one.",
		Next:    "Compare it with what counts as positive, which is said beside the question.",
		compute: flippedSign},
	"one-piece": {
		Says:    "It looks as though one piece was counted and the others were left out.",
		Next:    "Add what every piece contributes, each with its own torque, length and diameter.",
		compute: onePiece},
	"decimal-place": {
		Says:    "It looks as though the decimal point of one value slipped by a place.",
		Next:    "Compare each number you put in with the given one.",
		compute: decimalPlace},
	"mean-diameter": {
		Says:    "It looks as though the whole taper was treated as a uniform shaft of the mean diameter.",
		Next:    "Stiffness grows with the fourth power of the diameter, so the mean diameter does not give the mean twist. Cut the shaft into segments.",
		compute: uniform(func(a, b float64) float64 { return (a + b) / 2 })},
	"mean-of-moments": {
		Says:    "It looks as though the mean of J at the two ends was used for the whole taper.",
		Next:    "It is 1/J that adds up along the shaft, not J.",
		compute: uniform(func(a, b float64) float64 { return math.Pow((math.Pow(a, 4)+math.Pow(b, 4))/2, 0.25) })},
	"mean-of-twists": {
		Says:    "It looks as though the twists of two uniform shafts, one with each end's diameter, were averaged.",
		Next:    "The thin part is only a short stretch of the shaft. Cut the shaft into segments and see which of them twist most.",
		compute: meanOfEnds},
	"small-end": {
		Says:    "It looks as though the smallest diameter was used for the whole length.",
		Next:    "That shaft is certainly softer than this one. Let the diameter change along the shaft.",
		compute: uniform(math.Min)},
	"large-end": {
		Says:    "It looks as though the largest diameter was used for the whole length.",
		Next:    "That shaft is certainly stiffer than this one. Let the diameter change along the shaft.",
		compute: uniform(math.Max)},
	"wrong-end": {
		Says:    "It looks as though the stress was worked out at the thick end.",
		Next:    "At which section does the torque have the least material to carry it?",
		compute: uniform(math.Max)},
	"taper-reversed": {
		Says:    "It looks as though the slope of the taper has the wrong sign.",
		Next:    "Put x = 0 and x = L into your d(x) and see whether both ends come out.",
		compute: taperReversed},
	"dropped-factor": {
		Says:        "It looks as though a constant factor was lost, perhaps when a power was integrated.",
		Next:        "Differentiate your integral and see whether the integrand comes back.",
		TakesFactor: true,
		compute:     byFactor},
	"torque-twice": { // ×2
		Says:    "It looks as though the torque was counted twice.",
		Next:    "Cut the shaft and draw what acts on one side of the cut: inside, the two end torques are one and the same.",
		compute: scaled(torques, 2)},
	"torque-sign": {
		Says:    "It looks as though a torque that acts in the opposite sense was added.",
		Next:    "Draw the torques along the shaft, each with its sense.",
		compute: torqueSign},
	"bore-before-power": {
		Says:    "It looks as though the bore was subtracted from the diameter before taking the fourth power.",
		Next:    "Subtract the J of the bore from the J of the full section.",
		compute: boreFirst},
	"bore-forgotten": {
		Says:    "It looks as though the shaft was taken to be solid.",
		Next:    "Subtract the J of the bore from the J of the full section.",
		compute: boreForgotten},
	"split-by-length": {
		Says:    "It looks as though the torque was shared by length alone, as in a shaft of uniform diameter.",
		Next:    "Both parts twist by the same angle; include the J of each part.",
		compute: splitByLength},
	"revolutions-for-radians": {
		Says:    "It looks as though a speed in revolutions was used as if it were in radians.",
		Next:    "Power is torque times angular speed in rad/s; one revolution is 2π rad.",
		compute: revolutions},
	"stiffnesses-added": {
		Says:    "It looks as though the stiffnesses of parts in series were added.",
		Next:    "What is the same for parts in series, the torque or the twist? The other one adds up.",
		compute: stiffnessesAdded},
	"one-torque-everywhere": {
		Says:    "It looks as though the same torque was used for every part of the shaft.",
		Next:    "Cut the shaft in each part and find the torque there from what acts on one side.",
		compute: oneTorque},
	"wrong-power": { // ×3 on a taper
		Says:    "It looks as though a power came out wrong.",
		Next:    "Check each exponent. If you integrated, differentiate your integral and see whether the integrand comes back.",
		compute: wrongPower},
	"chain-rule": { // ×k on a taper
		Says:    "It looks as though the factor 1/k from substituting u for the diameter was lost.",
		Next:    "With u = d_0 + k·x, write down what dx is.",
		compute: chainRule},
	"stiffness-per-degree": { // ×π/180 or ×180/π
		Says:    "It looks as though a stiffness per degree was given as one per radian, or the other way.",
		Next:    "A degree is a smaller angle than a radian, so it takes less torque. Write the unit of the angle beside every stiffness.",
		compute: stiffnessPerDegree},
	"wrong-length": {
		Says: "It looks as though the length of another part was used.",
		Next: "Mark in the figure where each part begins and ends."},
}
