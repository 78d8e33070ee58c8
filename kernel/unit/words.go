package unit

import (
	"strconv"
	"strings"
)

// A quantity ties a dimension to the trade's words for it.
type quantity struct {
	dim   Dimension
	shown string   // with its article, as in a message
	words []string // names accepted in a given
}

// quantities lists the words, ISO 80000-3 and 80000-4 where they have one
// (those names from memory; spread torque and twist per length: common
// practice, no source). No dimension is listed twice.
var quantities = []quantity{
	{si(), "a pure number", []string{"number", "ratio", "angle", "twist", "strain", "solid angle"}},
	{si(1), "a length", []string{"length", "diameter", "radius", "thickness"}},
	{si(2), "an area", []string{"area"}},
	{si(3), "a volume", []string{"volume", "section modulus"}},
	{si(4), "a second moment of area or torsion constant", []string{"second moment of area", "polar second moment of area", "polar second moment", "polar moment", "torsion constant"}},
	{si(-1), "an angle per length", []string{"twist per length", "angle per length", "curvature"}},
	{si(0, 1), "a mass", []string{"mass"}},
	{si(0, 0, 1), "a time", []string{"time"}},
	{si(0, 0, -1), "an angular speed", []string{"speed", "angular speed", "angular velocity", "frequency"}},
	{si(0, 0, -2), "an angular acceleration", []string{"angular acceleration"}},
	{si(1, 0, -1), "a velocity", []string{"velocity"}},
	{si(1, 0, -2), "an acceleration", []string{"acceleration"}},
	{si(-3, 1), "a density", []string{"density", "mass density"}},
	{si(-1, 1), "a mass per length", []string{"mass per length"}},
	{si(2, 1), "a mass moment of inertia", []string{"mass moment of inertia"}},
	{si(1, 1, -1), "a momentum", []string{"momentum"}},
	{si(2, 1, -1), "an angular momentum", []string{"angular momentum"}},
	{si(1, 1, -2), "a force or torque per length", []string{"force", "weight", "torque per length", "distributed torque", "spread torque"}},
	{si(2, 1, -2), "a torque", []string{"torque", "moment", "energy", "work", "stiffness", "rotational stiffness", "torsional stiffness"}},
	{si(-1, 1, -2), "a stress", []string{"stress", "shear stress", "pressure", "modulus", "shear modulus"}},
	{si(0, 1, -2), "a force per length", []string{"force per length", "spring stiffness", "shear flow"}},
	{si(-2, 1, -2), "a force per volume", []string{"force per volume", "specific weight"}},
	{si(3, 1, -2), "a torsional rigidity", []string{"torsional rigidity"}},
	{si(2, 1, -3), "a power", []string{"power"}},
	{si(3, 0, -1), "a volume per time", []string{"volume per time", "flow"}},
	{si(0, 1, -1), "a mass per time", []string{"mass per time"}},
	{si(-2, -1, 2), "an angle per torque", []string{"flexibility", "torsional flexibility"}},
	{si(0, 0, 0, 0, 1), "a temperature", []string{"temperature"}},
	{si(0, 0, 0, 1), "an electric current", []string{"current"}},
	{si(2, 1, -3, -1), "a voltage", []string{"voltage"}},
}

var byDimension = func() map[Dimension]string {
	m := make(map[Dimension]string, len(quantities))
	for _, q := range quantities {
		m[q.dim] = q.shown
	}
	return m
}()

var byWord = func() map[string]Dimension {
	m := make(map[string]Dimension, 3*len(quantities))
	for _, q := range quantities {
		for _, w := range q.words {
			m[w] = q.dim
		}
	}
	return m
}()

// Describe returns the trade's word for a dimension, with an article:
// "a torque", "an area". A dimension without a word of its own
// is "a quantity in m²·kg".
func Describe(d Dimension) string {
	if s, ok := byDimension[d]; ok {
		return s
	}
	return "a quantity in " + d.String()
}

// Word returns the dimension that a trade word names: "torque", "second moment
// of area". In this trade a speed is an angular speed, and a stiffness a torque
// per angle. A word may have a power, length^4. ok is false for a word that names none.
func Word(name string) (d Dimension, ok bool) {
	word, power, hasPower := strings.Cut(name, "^")
	d, ok = byWord[word]
	if !ok || !hasPower {
		return d, ok
	}
	n, err := strconv.Atoi(power)
	r, fits := NewRational(n, 1)
	if err != nil || !fits {
		return Dimension{}, false
	}
	return d.Pow(r)
}

// Words lists every word that Word reads, grouped by dimension.
func Words() []string {
	var words []string
	for _, q := range quantities {
		words = append(words, q.words...)
	}
	return words
}

// IsNamed reports whether the trade has a word for a dimension.
func IsNamed(d Dimension) bool {
	_, ok := byDimension[d]
	return ok
}
