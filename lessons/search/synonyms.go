package search

import (
	"slices"
	"sync"
)

// synonyms are words of the trade for one thing, as textbooks in English use them
// (common practice, no source). A query for one also finds the others; a longer
// phrase goes before a shorter one.
var synonyms = [][]string{
	{"torsion", "twist"},
	{"angle of twist", "twist"},
	{"polar moment", "polar moment of inertia", "polar second moment of area", "second moment"},
	{"moment", "torque", "couple"},
	{"convergence", "settle"},
	{"compliance", "flexibility", "soft"},
	{"rigidity", "stiffness"},
	{"shear modulus", "modulus of rigidity", "modulus"},
	{"Young’s modulus", "modulus of elasticity"},
	{"support", "fixed end", "hold", "clamp", "built in"},
	{"statically indeterminate", "held at both ends"},
	{"free body", "cut"},
	{"bracket", "bounds", "limits"},
	{"shaft", "bar", "axle", "rod"},
	{"hollow", "tube", "pipe", "bore"},
	{"taper", "cone", "conical"},
	{"segment", "slice"},
	{"quadrature", "integration", "integral"},
	{"trapezoid", "trapezium"},
	{"distributed torque", "spread torque", "torque per length"},
	{"rpm", "speed", "revolutions"},
	{"power", "horsepower", "watts"},
	{"shoulder", "step"},
	{"stress concentration", "fillet", "notch"},
	{"uncertainty", "tolerance", "error"},
	{"Poisson’s ratio", "Poisson"},
	{"allowable", "permissible"},
}

// A phrase is some words in a row.
type phrase struct {
	text  string
	stems []string
}

var groups = sync.OnceValue(func() [][]phrase {
	list := make([][]phrase, len(synonyms))
	for i, group := range synonyms {
		for _, text := range group {
			list[i] = append(list[i], phrase{text, stemsOf(wordsOf(fold(text)))})
		}
	}
	return list
})

// groupAt returns the group of the longest phrase with which the words begin, and how
// many of the words that is.
func groupAt(words []string) (group []phrase, n int) {
	var stems []string // of the words up to the one that is looked at
	for i, w := range words {
		stems = append(stems, stemsOf(wordsOf(w))...)
		for _, g := range groups() {
			if slices.ContainsFunc(g, func(p phrase) bool { return slices.Equal(p.stems, stems) }) && n <= i {
				group, n = g, i+1
			}
		}
	}
	return group, n
}
