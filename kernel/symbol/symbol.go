// Package symbol knows what the letters of this trade stand for, so that a page can
// say it beside a value.
package symbol

import (
	"strings"

	"shaftbook/kernel/unit"
)

// usual holds the usual meaning of a letter, by the quantity that its value must be.
// Letters and names follow ISO 80000-4 where it has them (from memory); the others
// are common practice, no source.
var usual = []struct {
	letters  string // separated by spaces
	quantity string // a word of unit.Word
	meaning  string
}{
	{"T M", "torque", "torque"},
	{"k K", "torque", "stiffness"},
	{"G", "stress", "shear modulus"},
	{"E", "stress", "modulus of elasticity"},
	{"τ", "stress", "shear stress"},
	{"σ", "stress", "stress"},
	{"p", "stress", "pressure"},
	{"L l", "length", "length"},
	{"Δx", "length", "length of a segment"},
	{"d D", "length", "diameter"},
	{"r R", "length", "radius"},
	{"x", "length", "place along the shaft"},
	{"A", "area", "area"},
	{"J", "second moment of area", "polar second moment of area"},
	{"W", "section modulus", "section modulus"},
	{"ω", "angular speed", "angular speed"},
	{"n", "angular speed", "speed of rotation"},
	{"P", "power", "power"},
	{"F", "force", "force"},
	{"m", "mass", "mass"},
	{"ρ", "density", "density"},
	{"θ φ", "angle", "angle of twist"},
	{"Δθ", "angle", "twist of a segment"},
	{"γ", "angle", "shear strain"},
}

type key struct {
	letter string
	dim    unit.Dimension
}

var meanings = func() map[key]string {
	m := map[key]string{}
	for _, u := range usual {
		dim, ok := unit.Word(u.quantity)
		if !ok {
			panic("symbol: no quantity is called " + u.quantity)
		}
		for letter := range strings.FieldsSeq(u.letters) {
			m[key{letter, dim}] = u.meaning
		}
	}
	return m
}()

// Meaning returns what a name usually stands for whose value has a dimension: "T" of
// a torque and "T_1" of a torque are a "torque". It is empty where the letter has no
// usual meaning, or another one with that dimension.
func Meaning(ident string, dim unit.Dimension) string {
	letter, _, _ := strings.Cut(ident, "_")
	return meanings[key{letter, dim}]
}
